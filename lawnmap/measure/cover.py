"""How much of a photo taken straight down is green, so that a density class is measured and not guessed."""

from __future__ import annotations

import os
import tempfile
import warnings
from dataclasses import dataclass, field
from importlib import import_module
from math import ceil, sqrt
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from lawnmap.errors import ChoiceError, FileError, InputError, OutputError
from lawnmap.yard import DensityTable, finding, grade

if TYPE_CHECKING:
    from collections.abc import Sequence

    from numpy.typing import NDArray
    from PIL.Image import Image

    from lawnmap.yard import Finding

MOST_PIXELS: Final = 80_000_000
"""A larger photo is refused before it is unpacked. [pixels]"""

_FORMATS: Final = {"PNG", "JPEG", "MPO", "TIFF", "WEBP"}
_COUNTED: Final = 4_000_000
"""Of a larger photo every second or third pixel of every second or third row is counted. [pixels]

A share of so many pixels is known to 0.05 % and better (two standard errors of a binomial share).
"""

_CHUNK: Final = 2_000_000
_SHOWN: Final = 2_000
_ENOUGH: Final = 3

WEEDS: Final = "Green is counted, whatever grows there: take weeds off the figure by eye."
"""What stands with every cover."""


@dataclass(frozen=True)
class GreenLimits:
    """Which pixels count as green.

    The method is that of M. D. Richardson, D. E. Karcher and L. C. Purcell, "Quantifying turfgrass cover
    using digital image analysis", *Crop Science* 41 (2001), 1884-1888: the share of pixels within limits
    of hue and saturation. The limits here are *from memory*, for the paper could not be read again;
    other species, cameras and light want others, so they are choices.

    Attributes
    ----------
    hue_from_deg, hue_to_deg : float
        Least and greatest hue; 60 is yellow, 120 green, 180 cyan. [°]
    saturation_from, saturation_to : float
        Least and greatest saturation; 0 is grey. A grey pixel has no hue and never counts. [1]
    """

    hue_from_deg: float = 60.0
    hue_to_deg: float = 120.0
    saturation_from: float = 0.0
    saturation_to: float = 1.0

    def __post_init__(self) -> None:
        if not 0 <= self.hue_from_deg < self.hue_to_deg <= 360:
            raise ChoiceError(
                f"hues from {self.hue_from_deg:g} to {self.hue_to_deg:g} degrees are no range",
                mend="give two rising hues between 0 and 360, 60 and 120 for instance",
            )
        if not 0 <= self.saturation_from < self.saturation_to <= 1:
            raise ChoiceError(
                f"a saturation from {self.saturation_from:.0%} to {self.saturation_to:.0%} is no range",
                mend="give two rising percentages between 0 and 100 %",
            )

    def to_dict(self) -> dict[str, float]:
        """Return the attributes as a mapping."""
        return dict(vars(self))


def green(rgb: NDArray[np.uint8], limits: GreenLimits | None = None) -> NDArray[np.bool_]:
    """Return which pixels are green.

    Parameters
    ----------
    rgb : array, shape (rows, columns, 3)
        Red, green and blue, of any whole-number type. [1]
    limits : GreenLimits, optional
        Which count.

    Returns
    -------
    array of bool, shape (rows, columns)
        Where a pixel counts.

    Examples
    --------
    >>> green(np.array([[[60, 120, 30], [120, 80, 40], [90, 90, 90]]], dtype=np.uint8)).tolist()
    [[True, False, False]]
    """
    wanted = limits or GreenLimits()
    rows, columns, _ = rgb.shape
    found = np.zeros((rows, columns), bool)
    step = max(1, _CHUNK // max(1, columns))
    for first in range(0, rows, step):  # piece by piece, so that a large photo needs little memory
        found[first : first + step] = _green(rgb[first : first + step], wanted)
    return found


def _green(rgb: NDArray[np.uint8], limits: GreenLimits) -> NDArray[np.bool_]:
    """Hue and saturation of the HSV model (A. R. Smith, "Color gamut transform pairs", SIGGRAPH 1978)."""
    red, mid, blue = (rgb[..., band].astype(np.float32) for band in range(3))
    top = np.maximum(np.maximum(red, mid), blue)
    spread = top - np.minimum(np.minimum(red, mid), blue)
    coloured = spread > 0
    by = np.where(coloured, spread, 1)
    hue = np.where(
        top == red, (mid - blue) / by % 6, np.where(top == mid, (blue - red) / by + 2, (red - mid) / by + 4)
    )
    saturation = spread / np.maximum(top, 1)
    inside: NDArray[np.bool_] = (
        coloured
        & (60 * hue >= limits.hue_from_deg)
        & (60 * hue <= limits.hue_to_deg)
        & (saturation >= limits.saturation_from)
        & (saturation <= limits.saturation_to)
    )
    return inside


@dataclass(frozen=True, eq=False)
class PhotoCover:
    """The cover of one photo.

    Attributes
    ----------
    name : str
        Of the file.
    rgb : array, shape (rows, columns, 3)
        The photo, upright; of a large one every second or third pixel. [1]
    counted : array of bool, shape (rows, columns)
        The green pixels.
    seen : array of bool, shape (rows, columns)
        The pixels that are not transparent.
    """

    name: str
    rgb: NDArray[np.uint8] = field(repr=False)
    counted: NDArray[np.bool_] = field(repr=False)
    seen: NDArray[np.bool_] = field(repr=False)

    @property
    def percent(self) -> float:
        """Green pixels of all that are seen. [%]"""
        return float(100 * self.counted.sum() / self.seen.sum())

    def to_dict(self) -> dict[str, object]:
        """Return the figures as a mapping."""
        return {"name": self.name, "cover_percent": self.percent, "pixels": int(self.seen.sum())}

    def write_counted(self, path: Path) -> None:
        """Write the photo as a PNG with all that was not counted faded to grey, whole or not at all.

        Parameters
        ----------
        path : Path
            A name that ends in ``.png``.

        Raises
        ------
        OutputError
            If it does not, or cannot be written.
        """
        if path.suffix.lower() != ".png":
            raise OutputError(
                "the picture is a PNG file", where=str(path), mend="give a name that ends in .png"
            )
        grey = self.rgb.mean(axis=2, keepdims=True, dtype=np.float32)
        faded = (170 + 0.33 * grey).astype(np.uint8)
        picture = _pillow("Image").fromarray(np.where(self.counted[..., None], self.rgb, faded))
        picture.thumbnail((_SHOWN, _SHOWN))
        try:
            with tempfile.TemporaryDirectory(dir=path.parent, prefix=".lawnmap-") as folder:
                new = Path(folder) / "counted.png"
                picture.save(new)
                with new.open("rb") as written:
                    os.fsync(written.fileno())
                new.replace(path)
        except OSError as fault:
            raise OutputError(
                f"the picture cannot be written ({fault.strerror or fault})",
                where=str(path),
                mend="choose another folder",
            ) from fault


@dataclass(frozen=True, eq=False)
class Cover:
    """The cover of a stand, from one photo or several.

    Attributes
    ----------
    photos : tuple of PhotoCover
        Photo by photo.
    limits : GreenLimits
        Which pixels counted.
    table : DensityTable
        Where each density class begins.
    """

    photos: tuple[PhotoCover, ...]
    limits: GreenLimits
    table: DensityTable

    @property
    def percent(self) -> float:
        """Mean over the photos. [%]"""
        return float(np.mean([photo.percent for photo in self.photos]))

    @property
    def se_percent(self) -> float | None:
        """Standard error of the mean; None from one photo. [%]"""
        if len(self.photos) < 2:
            return None
        return float(np.std([photo.percent for photo in self.photos], ddof=1) / sqrt(len(self.photos)))

    @property
    def density(self) -> str:
        """The density class."""
        return grade(self.percent, self.table)

    def lines(self) -> tuple[str, ...]:
        """Return the cover as plain lines."""
        error = self.se_percent
        each = [f"{photo.name}: {photo.percent:.1f} %" for photo in self.photos] if error is not None else []
        known = "" if error is None else f" ± {error:.1f}"
        said = f'write cover_percent = {self.percent:.0f} or density = "{self.density}" for the zone'
        return (*each, f"Cover: {self.percent:.1f}{known} %, which is {self.density}; {said}", WEEDS)

    def findings(self) -> tuple[Finding, ...]:
        """Return what the user should know about the figure."""
        found = []
        if len(self.photos) < _ENOUGH:
            count = len(self.photos)
            found.append(finding("few-photos", f"the cover rests on {count} photo{'s' * (count > 1)}"))
        error = self.se_percent or 0.0
        lines = (self.table.thin_percent, self.table.patchy_percent, self.table.full_percent)
        near = [line for line in lines if abs(self.percent - line) < max(error, 1.0)]
        if near:
            found.append(
                finding(
                    "cover-near-line",
                    f"a cover of {self.percent:.1f} % lies close to {near[0]:g} %, where the class changes",
                )
            )
        return tuple(found)

    def to_dict(self) -> dict[str, object]:
        """Return the figures as a mapping of JSON values."""
        return {
            "cover_percent": self.percent,
            "se_percent": self.se_percent,
            "density": self.density,
            "limits": self.limits.to_dict(),
            "photos": [photo.to_dict() for photo in self.photos],
            "findings": [one.to_dict() for one in self.findings()],
        }


def cover_of(
    photos: Sequence[Path], limits: GreenLimits | None = None, table: DensityTable | None = None
) -> Cover:
    """Measure the percent green cover of photos taken straight down.

    Parameters
    ----------
    photos : sequence of Path
        PNG, JPEG, TIFF or WebP files of one stand.
    limits : GreenLimits, optional
        Which pixels count.
    table : DensityTable, optional
        Where each density class begins.

    Raises
    ------
    FileError
        For what is no photo, or one that is far too large.
    """
    if not photos:
        raise InputError("no photo was given", mend="name one or more")
    wanted = limits or GreenLimits()
    found = []
    for path in photos:
        rgb, seen = read_photo(path)
        found.append(PhotoCover(path.name, rgb, green(rgb, wanted) & seen, seen))
    return Cover(tuple(found), wanted, table or DensityTable())


def read_photo(path: Path) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    """Read a photo, turned upright as its camera says.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    rgb : array, shape (rows, columns, 3)
        Red, green and blue; of a large photo every second or third pixel. [1]
    seen : array of bool, shape (rows, columns)
        The pixels that are not transparent.

    Raises
    ------
    FileError
        For what is no photo, or one that is far too large.
    """
    if not path.is_file():
        raise FileError("there is no such file", where=path.name, mend="check its name")
    image = _pillow("Image")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", image.DecompressionBombWarning)
            with image.open(path) as held:
                return _pixels(held, path)
    except (image.DecompressionBombWarning, image.DecompressionBombError):
        raise _too_large(path) from None
    except FileError:
        raise
    except (OSError, SyntaxError, ValueError):  # Pillow raises SyntaxError for a broken PNG
        raise FileError(
            "it is not a photo, or a damaged one",
            where=path.name,
            mend="save it as PNG or JPEG and try again",
        ) from None


def _pillow(name: str) -> Any:
    """A module of Pillow, which nobody need wait for who measures no photo."""
    return import_module(f"PIL.{name}")


def _pixels(held: Image, path: Path) -> tuple[NDArray[np.uint8], NDArray[np.bool_]]:
    if held.format not in _FORMATS:
        raise FileError(f"it is {held.format}, not a photo", where=path.name, mend="save it as PNG or JPEG")
    if held.width * held.height > MOST_PIXELS:
        raise _too_large(path)
    if held.mode in {"1", "L", "LA", "I", "F"} or held.mode.startswith("I;"):
        raise FileError("the photo has no colours", where=path.name, mend="take a colour photo")
    step = ceil(sqrt(held.width * held.height / _COUNTED))
    pixels = np.asarray(_pillow("ImageOps").exif_transpose(held).convert("RGBA"))[::step, ::step]
    seen = pixels[..., 3] > 127
    if not seen.any():
        raise FileError("the whole photo is transparent", where=path.name, mend="save it without a mask")
    return pixels[..., :3], seen


def _too_large(path: Path) -> FileError:
    return FileError(
        f"the photo has more than {MOST_PIXELS // 1_000_000} million pixels",
        where=path.name,
        mend="save it smaller; 4000 pixels on the long side are enough",
    )
