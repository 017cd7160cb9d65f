"""What a drawing of a yard is made of: looks, marks, layers, words, and the scene that holds them."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from lawnmap.sheets.palette import INK

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from shapely.geometry.base import BaseGeometry


@dataclass(frozen=True)
class Look:
    """How one thing is drawn.

    Attributes
    ----------
    stroke, fill : str
        Colours; empty for none. ``"hatch"`` fills with the stripes of the setback.
    width_px, radius_px : float
        Width of the stroke, radius of a point. [px]
    opacity : float
        Of the fill. [1]
    dash : str
        Lengths of dashes and gaps; empty for an unbroken line. [px]
    """

    stroke: str = INK
    width_px: float = 1.0
    fill: str = ""
    opacity: float = 1.0
    dash: str = ""
    radius_px: float = 0.0


@dataclass(frozen=True)
class Mark:
    """One thing to draw: an identifier that holds no word of the user, a shape and its look."""

    id: str
    shape: BaseGeometry
    look: Look


@dataclass(frozen=True)
class Image:
    """A picture that lies on the map, its rows from north to south.

    Attributes
    ----------
    png : bytes
        The file.
    bounds : tuple of float
        West, south, east and north edge. [m]
    """

    png: bytes
    bounds: tuple[float, float, float, float]

    @property
    def address(self) -> str:
        """The picture as an address that holds all of it."""
        return f"data:image/png;base64,{b64encode(self.png).decode('ascii')}"


@dataclass(frozen=True)
class Layer:
    """Marks that are switched on and off together.

    Attributes
    ----------
    id, title : str
        Identifier and our own words for it.
    marks : tuple of Mark
        In drawing order.
    shown : bool
        Whether it is on at first.
    keys : tuple of (Look, str)
        Lines of the legend.
    image : Image or None
        A picture under the marks.
    """

    id: str
    title: str
    marks: tuple[Mark, ...]
    shown: bool = True
    keys: tuple[tuple[Look, str], ...] = ()
    image: Image | None = None


@dataclass(frozen=True)
class Label:
    """A word on the map.

    Attributes
    ----------
    id, kind, layer : str
        Whose label it is, ``"zone"``, ``"obstacle"`` or ``"landmark"``, and the layer it belongs to.
    lines : tuple of str
        What it says at best; the user's words.
    short : str
        What it says where that does not fit; empty for nothing.
    east_m, north_m : float
        Where it stands. [m]
    room_m : float
        Free width there; 0 for a label beside a point. [m]
    """

    id: str
    kind: str
    layer: str
    lines: tuple[str, ...]
    short: str
    east_m: float
    north_m: float
    room_m: float


@dataclass(frozen=True)
class LaneNumbers:
    """Where the lanes of one pass begin, in walking order.

    Attributes
    ----------
    layer : str
        Layer of the pass.
    swath_m : float
        Spacing of the lanes. [m]
    starts : array, shape (n, 2) = [east, north]
        Beginning of each lane. [m]
    """

    layer: str
    swath_m: float
    starts: NDArray[np.float64] = field(repr=False)


@dataclass(frozen=True)
class Scene:
    """Everything to draw for one yard.

    Attributes
    ----------
    layers : tuple of Layer
        From the lowest to the highest.
    labels : tuple of Label
        In order of importance.
    lane_numbers : tuple of LaneNumbers
        One for each pass.
    bounds : tuple of float
        West, south, east and north edge. [m]
    north_up : bool
        Whether up on the sheet is north.
    """

    layers: tuple[Layer, ...]
    labels: tuple[Label, ...]
    lane_numbers: tuple[LaneNumbers, ...]
    bounds: tuple[float, float, float, float]
    north_up: bool
