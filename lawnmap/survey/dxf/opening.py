"""Opening a drawing, mending a damaged one, and what it says of its units and its place on the earth."""

from __future__ import annotations

import logging
from importlib import import_module
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import numpy as np
from lazy_loader import load

from lawnmap.errors import FileError
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from pathlib import Path

    from numpy.typing import NDArray

ezdxf = load("ezdxf")
# The library logs each repair; the user reads them as one finding.
logging.getLogger("ezdxf").addHandler(logging.NullHandler())

INSUNITS: Final[dict[int, tuple[str, float]]] = {
    1: ("in", 1.0),
    2: ("ft", 1.0),
    3: ("mi", 1.0),
    4: ("cm", 0.1),
    5: ("cm", 1.0),
    6: ("m", 1.0),
    7: ("km", 1.0),
    10: ("yd", 1.0),
    14: ("m", 0.1),
    21: ("us_survey_ft", 1.0),
    22: ("us_survey_ft", 1 / 12),
    23: ("us_survey_ft", 3.0),
    24: ("us_survey_ft", 5280.0),
}
"""$INSUNITS to a unit of `lawnmap.units` and how many of it one drawing unit is (DXF reference, HEADER)."""


class Georeference(NamedTuple):
    """From the drawing to a CRS: ``points @ matrix + shift``."""

    crs: str
    matrix: NDArray[np.float64]
    shift: NDArray[np.float64]

    def apply(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Take vertices into the CRS. [drawing units] to [its units]"""
        return points @ self.matrix + self.shift

    @property
    def stretch(self) -> float:
        """Units of the CRS in one drawing unit. [1]"""
        return float(np.linalg.norm(self.matrix, 2)) or 1.0


def open_drawing(path: Path) -> tuple[Any, tuple[Finding, ...]]:
    """Open a DXF file, in ASCII or binary, of any release, damaged if need be.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    document : ezdxf.document.Drawing
        The drawing.
    findings : tuple of Finding
        What had to be mended to open it.

    Raises
    ------
    FileError
        Where it is no drawing.
    """
    try:
        return ezdxf.readfile(path), ()
    except RecursionError:
        raise FileError("it is nested too deep to be read", mend="export it again") from None
    except OSError as fault:
        first = str(fault)
    except Exception as fault:  # noqa: BLE001  a damaged file fails anywhere in the library: the next try is told
        first = str(fault)
    try:
        # A second module of the library, wanted for damaged files only.
        document, audit = import_module("ezdxf.recover").readfile(path)
    except Exception:  # noqa: BLE001  as above; whatever it was, the file cannot be read
        raise FileError(
            f"it cannot be read as a DXF drawing ({_one_line(first)})",
            mend="export it again as DXF, release 2000 or later",
        ) from None
    count = len(audit.errors) + len(audit.fixes)
    text = f"the drawing was damaged ({_one_line(first)}) and was recovered with {count} repairs"
    return document, (finding("drawing-recovered", text),)


def _one_line(text: str) -> str:
    return " ".join(text.split())[:120].rstrip(".") or "no reason given"


def georeference(document: Any) -> tuple[Georeference | None, tuple[Finding, ...]]:
    """Return where the drawing lies on the earth, if its GEODATA says so.

    Parameters
    ----------
    document : ezdxf.document.Drawing
        The drawing.
    """
    data = document.modelspace().get_geodata()
    if data is None:
        return None, ()
    try:
        matrix44, epsg = data.get_crs_transformation(no_checks=True)
        whole = np.array(list(matrix44), dtype=np.float64).reshape(4, 4)
    except Exception as fault:  # noqa: BLE001  the entity is written by many programs and read for a few
        text = (
            f"the drawing names a place on the earth that could not be understood ({_one_line(str(fault))})"
        )
        return None, (finding("geodata-unread", text),)
    return Georeference(f"EPSG:{epsg}", whole[:2, :2], whole[3, :2]), ()
