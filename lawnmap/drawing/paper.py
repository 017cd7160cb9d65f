"""What is drawn on: a picture turned upright and freed of its metadata, a page of a PDF, or a grid."""

from __future__ import annotations

import io
import warnings
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import pypdfium2 as pdfium
from PIL import Image, ImageOps
from PIL.TiffImagePlugin import TiffImageFile

from lawnmap.drawing.placed import place_picture
from lawnmap.drawing.sketch import Sheet
from lawnmap.errors import FileError, InputError
from lawnmap.survey import Source
from lawnmap.units import parse

MOST_PIXELS: Final = 80_000_000
"""A larger picture is refused before it is unpacked. [pixels]"""

LONGEST_SIDE: Final = 4_000
"""A picture is made smaller than this, so that a phone can hold it. [pixels]"""

PICTURES: Final = {"PNG", "JPEG", "TIFF"}
POINT_M: Final = 0.0254 / 72
"""A PDF measures in points of 1/72 inch (ISO 32000-1, section 8.3.2.3). [m]"""

HEIC_ENDINGS: Final = (".heic", ".heif")


@dataclass(frozen=True)
class Paper:
    """A sheet and its picture.

    Attributes
    ----------
    sheet : Sheet
        Its size and, where known, its scale.
    picture : bytes
        A PNG or JPEG without metadata; empty for a grid.
    ending : str
        ``.png`` or ``.jpg``; empty for a grid.
    """

    sheet: Sheet
    picture: bytes = b""
    ending: str = ""


def open_paper(path: Path, *, page: int = 1, scale: str | None = None, source: Source | None = None) -> Paper:
    """Open a picture or a page of a PDF to draw on.

    Parameters
    ----------
    path : Path
        A PNG, a JPEG, a TIFF or a PDF. A world file beside it, or the tags of a GeoTIFF, give it its place.
    page : int
        Page of a PDF, from 1. [count]
    scale : str, optional
        Scale that a PDF states: ``"1 in = 20 ft"`` or ``"1:240"``.
    source : Source, optional
        CRS or unit of a world file that has no ``.prj`` beside it.

    Raises
    ------
    FileError
        Where it cannot be drawn on, with what to do.
    """
    if not path.is_file():
        raise FileError("there is no such file", where=str(path), mend="check its name")
    ending = path.suffix.lower()
    if ending in HEIC_ENDINGS:
        raise FileError(
            "a HEIC photo cannot be opened", where=str(path), mend="save or share it as JPEG on the phone"
        )
    if ending == ".pdf":
        return _page(path, page, scale)
    if scale is not None:
        raise InputError(
            "only a page of a PDF has a true size", mend="click a known length on the page instead"
        )
    return _picture(path, source or Source())


def grid(size: str) -> Paper:
    """Make a blank sheet of a given size, one sheet unit to the metre.

    Parameters
    ----------
    size : str
        Width and depth: ``"80 ft x 120 ft"``.

    Raises
    ------
    InputError
        Where it is not two lengths.

    Examples
    --------
    >>> grid("40 m x 25 m").sheet.high
    25.0
    """
    wide, cross, high = size.lower().replace("×", "x").partition("x")
    if not cross:
        raise InputError(f'"{size}" is not the size of a sheet', mend='write it like "80 ft x 120 ft"')
    sides = [parse(side, "length") for side in (wide, high)]
    if not all(1 <= side <= 5_000 for side in sides):
        raise InputError(f'a sheet of "{size}" is no yard', mend="give sides between 1 m and 5 km")
    return Paper(Sheet(kind="grid", wide=sides[0], high=sides[1], metres_per_unit=1.0))


def stated_scale(text: str) -> float:
    """Read the scale of a plan.

    Parameters
    ----------
    text : str
        ``"1:240"`` or ``"1 in = 20 ft"``.

    Returns
    -------
    float
        Length on the ground of one length on paper. [1]

    Examples
    --------
    >>> stated_scale("1:240"), round(stated_scale("1 in = 20 ft"), 9)
    (240.0, 240.0)
    """
    try:
        if "=" in text:
            paper, ground = (parse(side, "length") for side in text.split("=", 1))
            ratio = ground / paper
        else:
            one, many = (float(side) for side in text.split(":"))
            ratio = many / one
    except (ValueError, ZeroDivisionError):
        raise InputError(
            f'"{text}" is not the scale of a plan', mend='write it like "1:240" or "1 in = 20 ft"'
        ) from None
    if not 1 <= ratio <= 100_000:
        raise InputError(f'"{text}" is not the scale of a plan', mend="the ground is larger than the paper")
    return ratio


def _picture(path: Path, source: Source) -> Paper:
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(path) as held:
                if held.format not in PICTURES:
                    raise _no_picture(path, f"it is {held.format}, not PNG, JPEG or TIFF")
                if held.width * held.height > MOST_PIXELS:
                    raise _too_large(path)
                if held.mode in {"F", "I"} or held.mode.startswith("I;"):
                    raise _no_picture(path, "it holds measured values and not a picture")
                return _with_place(path, held, source)
    except (Image.DecompressionBombWarning, Image.DecompressionBombError):
        raise _too_large(path) from None
    except FileError:
        raise
    except (OSError, SyntaxError, ValueError):  # Pillow raises SyntaxError for a broken PNG
        raise _no_picture(path, "it is not a picture, or a damaged one") from None


def _with_place(path: Path, held: Image.Image, source: Source) -> Paper:
    """Take the picture as it lies on the ground, or turned upright where nothing says that."""
    is_photo, size = held.format == "JPEG", held.size
    shrunk = min(1.0, LONGEST_SIDE / max(size))
    goal = (max(1, round(size[0] * shrunk)), max(1, round(size[1] * shrunk)))
    tags = dict(held.tag_v2) if isinstance(held, TiffImageFile) else {}
    placement = place_picture(path, tags, size, source, goal)
    if placement is None:
        return _upright(ImageOps.exif_transpose(held), is_photo=is_photo)
    paper = _upright(held.resize(goal) if shrunk < 1 else held, is_photo=is_photo)
    where = {"ground": placement.ground, "place": placement.place}
    return Paper(paper.sheet.model_copy(update=where), paper.picture, paper.ending)


def _upright(picture: Image.Image, *, is_photo: bool) -> Paper:
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    # pixels go into a picture of their own, so that neither the place nor the camera goes along
    clean = Image.new("RGB", picture.size, "white")
    layered = picture.convert("RGBA")
    clean.paste(layered, mask=layered.getchannel("A"))
    stream = io.BytesIO()
    if is_photo:
        clean.save(stream, "JPEG", quality=90)
    else:
        clean.save(stream, "PNG")
    sheet = Sheet(kind="picture", wide=float(clean.width), high=float(clean.height))
    return Paper(sheet, stream.getvalue(), ".jpg" if is_photo else ".png")


def _page(path: Path, number: int, scale: str | None) -> Paper:
    ratio = None if scale is None else stated_scale(scale)
    try:
        with pdfium.PdfDocument(path) as document:
            if not 1 <= number <= len(document):
                raise FileError(
                    f"it has {len(document)} pages, not {number}", where=str(path), mend="choose another page"
                )
            page = document[number - 1]
            points = max(page.get_size())
            size = min(LONGEST_SIDE / points, 200 / 72)  # 200 dots per inch are enough to click on
            drawn = page.render(scale=size).to_pil()
            page.close()
    except pdfium.PdfiumError as fault:
        # the library keeps its last error, so that the file itself has to agree
        locked = "password" in str(fault).lower() and b"/Encrypt" in path.read_bytes()
        raise FileError(
            "it is locked by a password" if locked else "it is not a PDF, has no pages or is damaged",
            where=str(path),
            mend="save a copy without one" if locked else "export it again",
        ) from None
    paper = _upright(drawn, is_photo=False)
    if ratio is None:
        return paper
    return Paper(
        paper.sheet.model_copy(update={"metres_per_unit": POINT_M / size * ratio}), paper.picture, ".png"
    )


def _too_large(path: Path) -> FileError:
    return FileError(
        f"the picture has more than {MOST_PIXELS // 1_000_000} million pixels",
        where=str(path),
        mend="save it smaller; 4000 pixels on the long side are enough",
    )


def _no_picture(path: Path, what: str) -> FileError:
    return FileError(what, where=str(path), mend="save it as PNG or JPEG and try again")
