"""How a finished plan looks on a map, a page, a layer file; it draws and never calculates."""

from lawnmap.sheets.picture import draw_picture
from lawnmap.sheets.writer import write

__all__ = ["draw_picture", "write"]
