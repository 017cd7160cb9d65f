"""How a DXF drawing writes a yard down: entities on layers, arcs as bulges, blocks inserted many times."""
