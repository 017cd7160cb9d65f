"""How each kind of file writes a boundary down, and how to mend it; no areas."""
