"""How a finished plan looks on a map, a page, a layer file; it draws and never calculates."""
