"""The local page where a yard is traced: paper, scale, shapes, and the folder they are kept in."""

from lawnmap.drawing.imagery import place_at
from lawnmap.drawing.launch import open_browser, redirect_file
from lawnmap.drawing.paper import grid, open_paper
from lawnmap.drawing.server import Service
from lawnmap.drawing.sketch import Sketch
from lawnmap.drawing.start import sketch_of
from lawnmap.drawing.studio import Studio, open_folder, write_pocket

__all__ = [
    "Service",
    "Sketch",
    "Studio",
    "grid",
    "open_browser",
    "open_folder",
    "open_paper",
    "place_at",
    "redirect_file",
    "sketch_of",
    "write_pocket",
]
