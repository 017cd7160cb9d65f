"""How each kind of file writes a boundary down, and how to mend it; no areas."""

from lawnmap.survey.features import Feature, Sheet
from lawnmap.survey.listing import Layer, list_layers
from lawnmap.survey.reading import read, read_all
from lawnmap.survey.source import Source
from lawnmap.survey.tape.form import TEMPLATE as TAPE_SHEET
from lawnmap.survey.writing import write_yard

__all__ = [
    "TAPE_SHEET",
    "Feature",
    "Layer",
    "Sheet",
    "Source",
    "list_layers",
    "read",
    "read_all",
    "write_yard",
]
