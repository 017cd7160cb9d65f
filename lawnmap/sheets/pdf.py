"""Printed sheets: the paper, the type, and the few kinds of block that every one of them is made of."""

from __future__ import annotations

import unicodedata
from dataclasses import dataclass, field
from functools import cache, partial
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final
from xml.sax.saxutils import escape

import reportlab
from reportlab.lib import pagesizes
from reportlab.lib.colors import HexColor
from reportlab.lib.styles import ParagraphStyle
from reportlab.pdfbase import pdfmetrics, ttfonts
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import CondPageBreak, Paragraph, SimpleDocTemplate, Spacer, Table

from lawnmap.errors import FileError, nearest
from lawnmap.sheets.elements import plain
from lawnmap.sheets.palette import DENSITY, INK

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

PAPERS: Final = {"letter": "US letter, 8.5 by 11 inches", "A4": "ISO 216 A4, 210 by 297 mm"}
MARGIN_PT: Final = 42.0
QUIET: Final = "#59544f"
RULE: Final = "#b9b4ac"
ACCENT: Final = DENSITY["full"]
_MOST_SIGNS: Final = 600  # of one cell or paragraph of the user's words, so that it fits a page
_STANDS_FOR: Final = ("\u25ca", "?")


@dataclass(frozen=True)
class Face:
    """The type that a sheet is set in.

    Attributes
    ----------
    regular, bold : str
        Names under which it is known to reportlab.
    signs : frozenset of int
        Code points that both have. [code point]
    """

    regular: str
    bold: str
    signs: frozenset[int] = field(repr=False)

    @property
    def lozenge(self) -> str:
        """What is printed for a sign that the type does not have."""
        return next(sign for sign in _STANDS_FOR if ord(sign) in self.signs or sign == "?")


@cache
def face_of(font: Path | None = None) -> Face:
    """Load the type: Bitstream Vera as reportlab carries it, or a font of the user.

    Parameters
    ----------
    font : Path, optional
        A TrueType font file; it is used for bold words as well.

    Raises
    ------
    FileError
        If the file is no TrueType font that may be embedded.
    """
    if font is None:
        folder = Path(reportlab.__file__).with_name("fonts")
        files = {"lawnmap": folder / "Vera.ttf", "lawnmap-bold": folder / "VeraBd.ttf"}
    else:
        files = {f"lawnmap {font}": font}
    signs: set[int] = set()
    for name, file in files.items():
        try:
            loaded = ttfonts.TTFont(name, str(file))
        except (ttfonts.TTFError, OSError) as fault:
            reason = "" if isinstance(fault, OSError) else f" ({str(fault).rpartition(': ')[2]})"
            raise FileError(
                f"is no TrueType font that can be embedded{reason}", where=str(file), mend="name a .ttf file"
            ) from None
        pdfmetrics.registerFont(loaded)
        has = set(loaded.face.charToGlyph)
        signs = has if not signs else signs & has
    names = [*files, *files]
    return Face(names[0], names[1], frozenset(signs))


def paper_size(paper: str) -> tuple[float, float]:
    """Return width and height of a sheet of paper. [pt]

    Parameters
    ----------
    paper : str
        ``"letter"`` or ``"A4"``, in any case.

    Raises
    ------
    FileError
        For any other.
    """
    for name in PAPERS:
        if name.lower() == paper.lower():
            wide, tall = getattr(pagesizes, name)
            return float(wide), float(tall)
    raise FileError(f'there is no paper "{paper}"', mend=nearest(paper, PAPERS))


@dataclass
class Sheet:
    """A printed sheet while it is put together, from top to bottom.

    Attributes
    ----------
    title : str
        What is printed at its foot and shown as the title of the file.
    mark : str
        Identity of the plan, printed on every page.
    paper : str
        A key of `PAPERS`.
    face : Face
        What it is set in.
    scale : float
        Size of the type, 1 for reading at a desk. [1]
    margin_pt : float
        White around the page. [pt]
    trying : bool
        Whether it is only tried how many pages it takes.
    """

    title: str
    mark: str
    paper: str
    face: Face
    scale: float = 1.0
    margin_pt: float = MARGIN_PT
    trying: bool = False
    _blocks: list[Any] = field(default_factory=list, repr=False)
    _missing: set[str] = field(default_factory=set, repr=False)

    @property
    def width_pt(self) -> float:
        """Width between the margins. [pt]"""
        return paper_size(self.paper)[0] - 2 * self.margin_pt

    @property
    def height_pt(self) -> float:
        """Height between the margins. [pt]"""
        return paper_size(self.paper)[1] - 2 * self.margin_pt - 16

    def known(self, text: str) -> str:
        """Return the text with signs that the type does not have replaced, and remember those."""
        found = []
        for sign in plain(" ".join(text.split())):
            has = ord(sign) in self.face.signs
            if not has:
                self._missing.add(sign)
            found.append(sign if has else self.face.lozenge)
        return "".join(found)

    def clipped(self, text: str) -> str:
        """Return words of the user as they are printed: known signs only, and not more than fit a page."""
        known = self.known(text)
        return known if len(known) <= _MOST_SIGNS else f"{known[: _MOST_SIGNS - 1]}\u2026"

    def style(self, size_pt: float, **more: Any) -> Any:
        """Return a paragraph style; `more` is what reportlab's ``ParagraphStyle`` takes. [pt]"""
        size_pt *= self.scale
        bold = more.pop("bold", False)
        return ParagraphStyle(
            "block",
            fontName=self.face.bold if bold else self.face.regular,
            fontSize=size_pt,
            leading=1.28 * size_pt,
            **{"textColor": INK, "splitLongWords": 1, **more},
        )

    def paragraph(self, text: str, size_pt: float = 9.0, **more: Any) -> Any:
        """Return a paragraph of plain text; no word in it is ever markup. [pt]"""
        return Paragraph(escape(self.clipped(text)), self.style(size_pt, **more))

    def put(self, *blocks: Any) -> None:
        """Append blocks as reportlab has them."""
        self._blocks += blocks

    def gap(self, height_pt: float) -> None:
        """Leave room. [pt]"""
        self.put(Spacer(1, height_pt))

    def keep(self, height_pt: float) -> None:
        """Go to a new page unless so much room is left. [pt]"""
        self.put(CondPageBreak(height_pt))

    def head(self, over: str, title: str, under: str = "") -> None:
        """Begin the sheet: what it is, whose it is, a line below."""
        self.put(self.paragraph(over.upper(), 8, textColor=ACCENT, bold=True, spaceAfter=2))
        self.put(self.paragraph(title, 19, bold=True, spaceAfter=3))
        if under:
            self.put(self.paragraph(under, 9, textColor=QUIET, spaceAfter=4))

    def heading(self, text: str) -> None:
        """Put a heading that is never the last thing on a page."""
        self.put(CondPageBreak(90), self.paragraph(text, 11, bold=True, spaceBefore=9, spaceAfter=3))

    def words(self, lines: Iterable[str], size_pt: float = 8.5, sign: str = "\u2013") -> None:
        """Put a list of sentences, one below the other. [pt]"""
        for line in lines:
            style = self.style(size_pt, leftIndent=11, spaceAfter=1.5)
            self.put(Paragraph(escape(self.clipped(line)), style, bulletText=sign))

    def table(
        self,
        heads: Sequence[str],
        rows: Sequence[Sequence[Any]],
        *,
        shares: Sequence[float],
        strong: Iterable[int] = (),
        size_pt: float = 8.5,
    ) -> None:
        """Put a table across the page; the first column and those with a negative share are set to the left.

        Parameters
        ----------
        heads : sequence of str
            Above the columns.
        rows : sequence of sequence of str or block
            Cells, as many as heads in each row: plain text, or a block as reportlab has them.
        shares : sequence of float
            Widths of the columns as shares of the page. [1]
        strong : iterable of int
            Rows set in bold with a line above, counted from 0.
        size_pt : float
            Size of the type. [pt]
        """
        strong = set(strong)
        right = [share > 0 and i > 0 for i, share in enumerate(shares)]
        total = sum(abs(share) for share in shares)

        def cells(texts: Sequence[Any], *, bold: bool = False, quiet: bool = False) -> list[Any]:
            look = {"bold": bold} | ({"textColor": QUIET} if quiet else {})
            return [
                self.paragraph(text, size_pt, alignment=2 if right[i] else 0, **look)
                if isinstance(text, str)
                else text
                for i, text in enumerate(texts)
            ]

        body = [cells(row, bold=number in strong) for number, row in enumerate(rows)]
        looks = [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 2), ("RIGHTPADDING", (0, 0), (-1, -1), 2),
            ("TOPPADDING", (0, 0), (-1, -1), 1.8), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.8),
            ("LINEBELOW", (0, 0), (-1, 0), 0.8, INK), ("LINEBELOW", (0, 1), (-1, -1), 0.3, RULE),
            *(("LEFTPADDING", (i, 0), (i, -1), 9) for i in range(1, len(right)) if not right[i]),
            *(("LINEABOVE", (0, number + 1), (-1, number + 1), 0.8, INK) for number in strong),
        ]  # fmt: skip
        self.put(
            Table(
                [cells(heads, quiet=True), *body],
                [abs(share) / total * self.width_pt for share in shares],
                repeatRows=1,
                style=[(*look[:3], *(HexColor(x) if str(x).startswith("#") else x for x in look[3:]))
                       for look in looks],
            )
        )  # fmt: skip

    def pages(self) -> int:
        """Return how many pages it takes; maps are not drawn for that. [count]"""
        self.trying = True
        try:
            return self._build(BytesIO())
        finally:
            self.trying = False

    def save(self, path: Path) -> None:
        """Write the file; the same blocks give the same bytes."""
        self._build(str(path))

    def _build(self, target: str | BytesIO) -> int:
        blocks = list(self._blocks)  # reportlab empties the list that it is given
        if self._missing:
            blocks.append(self.paragraph(self._tell_missing(), 8))
        document = SimpleDocTemplate(
            target,
            pagesize=paper_size(self.paper),
            leftMargin=self.margin_pt - 6, rightMargin=self.margin_pt - 6,  # a frame is padded by 6 points
            topMargin=self.margin_pt - 6, bottomMargin=self.margin_pt + 10,
            title=plain(self.title), author="", creator="lawnmap", invariant=1,
        )  # fmt: skip
        feet = partial(
            _Pages, title=self.clipped(self.title), mark=self.mark, face=self.face, margin_pt=self.margin_pt
        )
        document.build(blocks, canvasmaker=feet)
        return int(document.page)

    def _tell_missing(self) -> str:
        named = ", ".join(
            unicodedata.name(sign, f"U+{ord(sign):04X}").lower() for sign in sorted(self._missing)[:12]
        )
        more = f" and {len(self._missing) - 12} more" if len(self._missing) > 12 else ""
        return (
            f"The type of this sheet has no sign for {named}{more}; {self.face.lozenge} is printed instead. "
            "Name a font that has them: font in the job file."
        )


class _Pages(Canvas):  # type: ignore[misc]  # reportlab has no types
    """A canvas that knows, when it writes the foot of a page, how many pages there are."""

    def __init__(self, *args: Any, title: str, mark: str, face: Face, margin_pt: float, **named: Any) -> None:
        super().__init__(*args, **named)
        self._words, self._face, self._margin_pt = (title, mark), face, margin_pt
        self._kept: list[dict[str, Any]] = []

    def showPage(self) -> None:  # noqa: N802  reportlab calls it so
        self._kept.append(dict(self.__dict__))
        self._startPage()

    def save(self) -> None:
        for number, page in enumerate(self._kept, 1):
            self.__dict__.update(page)
            self._foot(f"page {number} of {len(self._kept)}")
            super().showPage()
        super().save()

    def _foot(self, words: str) -> None:
        (title, mark), regular, margin = self._words, self._face.regular, self._margin_pt
        wide = self._pagesize[0]
        self.setStrokeColor(HexColor(RULE))
        self.setLineWidth(0.4)
        self.line(margin, margin + 2, wide - margin, margin + 2)
        self.setFont(regular, 7.5)
        self.setFillColor(HexColor(QUIET))
        room = wide - 2 * margin - 190
        while self.stringWidth(title, regular, 7.5) > room:
            title = f"{title[:-2]}\u2026"
        self.drawString(margin, margin - 9, title)
        self.drawRightString(wide - margin, margin - 9, f"plan {mark} \u00b7 {words}")
