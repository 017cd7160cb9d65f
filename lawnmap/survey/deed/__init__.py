"""How a deed describes land: calls of bearing and distance, and curves, from a point of beginning."""
