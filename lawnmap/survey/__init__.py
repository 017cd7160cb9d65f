"""How each kind of file writes a boundary down, and how to mend it; no areas."""

from lawnmap.survey.features import Feature, Sheet
from lawnmap.survey.reading import read, read_all
from lawnmap.survey.source import Source
from lawnmap.survey.writing import write_yard

__all__ = ["Feature", "Sheet", "Source", "read", "read_all", "write_yard"]
