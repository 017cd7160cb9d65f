"""How each kind of file writes a boundary down, and how to mend it; no areas."""

from lawnmap.survey.catalogue import Contents, Part
from lawnmap.survey.features import Feature, Sheet
from lawnmap.survey.listing import Layer, list_layers
from lawnmap.survey.parts import contents, read_each, read_part
from lawnmap.survey.reading import read, read_all
from lawnmap.survey.source import Source
from lawnmap.survey.tape.form import TEMPLATE as TAPE_SHEET
from lawnmap.survey.writing import write_yard

__all__ = [
    "TAPE_SHEET",
    "Contents",
    "Feature",
    "Layer",
    "Part",
    "Sheet",
    "Source",
    "contents",
    "list_layers",
    "read",
    "read_all",
    "read_each",
    "read_part",
    "write_yard",
]
