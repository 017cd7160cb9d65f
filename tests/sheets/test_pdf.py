"""Printed sheets in general: type, paper, signs that cannot be shown, atomic files, map in colour and in black."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
import reportlab
from shapely.geometry import box

from lawnmap.errors import ChoiceError, FileError, OutputError
from lawnmap.job import read_choices
from lawnmap.sheets import print_field_sheet
from lawnmap.sheets.folder import whole_file
from lawnmap.sheets.pdf import Sheet, face_of, paper_size
from lawnmap.sheets.pdf_map import GROUND, MapPicture, MapStyle
from lawnmap.sheets.scene import compose


def texts(path):
    document = pypdfium2.PdfDocument(path)
    try:
        return [page.get_textpage().get_text_range() for page in document]
    finally:
        document.close()


def picture(path, number=0, scale=2.0):
    document = pypdfium2.PdfDocument(path)
    try:
        return np.asarray(document[number].render(scale=scale).to_pil().convert("RGB")).astype(int)
    finally:
        document.close()


def count(pixels, shade):
    return int((np.abs(pixels - shade).max(axis=2) <= 1).sum())


def sheet_of(**more):
    return Sheet(**{"title": "Trial", "mark": "0000-0000-0000", "paper": "letter", "face": face_of(), **more})


@pytest.mark.parametrize(
    ("paper", "millimetres"),
    [("letter", (215.9, 279.4)), ("a4", (210, 297))],  # ANSI/ASME Y14.1, ISO 216
)
def test_paper_has_its_size(paper, millimetres, tmp_path):
    sheet = sheet_of(paper=paper)
    sheet.heading("One line")
    sheet.save(tmp_path / "a.pdf")
    document = pypdfium2.PdfDocument(tmp_path / "a.pdf")
    assert [side * 25.4 / 72 for side in document[0].get_size()] == pytest.approx(millimetres, abs=0.1)
    document.close()


def test_other_paper_is_refused_with_what_there_is():
    with pytest.raises(FileError, match=r'there is no paper "A5"; use one of: A4, letter'):
        paper_size("A5")
    with pytest.raises(FileError, match=r'there is no paper "lettr"; did you mean "letter"\?'):
        paper_size("lettr")


def test_signs_without_a_shape_are_named_and_nothing_else_is_lost(tmp_path):
    sheet = sheet_of()
    sheet.heading("Łódź ½ 東 “Ω” <b>&amp;</b>")
    sheet.save(tmp_path / "a.pdf")
    text = texts(tmp_path / "a.pdf")[0]
    assert "Łód◊ ½ ◊ “Ω” <b>&amp;</b>" in text
    words = " ".join(text.split())
    named = "latin small letter z with acute, cjk unified ideograph-6771"
    assert f"The type of this sheet has no sign for {named}; ◊ is printed instead." in words


def test_the_same_sheet_has_the_same_bytes_and_embeds_its_type(tmp_path):
    for name in ("a.pdf", "b.pdf"):
        sheet = sheet_of()
        sheet.head("Over", "Title", "under")
        sheet.table(("a", "b"), [("1", "2")], shares=(1, 1))
        sheet.save(tmp_path / name)
    data = (tmp_path / "a.pdf").read_bytes()
    assert data == (tmp_path / "b.pdf").read_bytes()
    assert b"/FontFile2" in data
    assert b"Vera" in data


def test_a_file_that_is_no_font_is_refused(tmp_path):
    (tmp_path / "no.ttf").write_text("no font")
    with pytest.raises(
        FileError, match=r"no\.ttf: is no TrueType font that can be embedded.*name a \.ttf file"
    ):
        face_of(tmp_path / "no.ttf")


def test_words_longer_than_a_page_are_cut_and_say_so(tmp_path):
    sheet = sheet_of()
    sheet.table(("zone", ""), [("W" * 9000, "x")], shares=(1, 1))
    sheet.save(tmp_path / "a.pdf")
    assert "…" in "".join(texts(tmp_path / "a.pdf"))


def test_every_page_bears_the_mark_and_its_number(tmp_path):
    sheet = sheet_of(mark="abcd-ef01-2345")
    sheet.table(("n",), [(str(n),) for n in range(120)], shares=(1,))
    sheet.save(tmp_path / "a.pdf")
    pages = texts(tmp_path / "a.pdf")
    assert len(pages) > 1
    for number, text in enumerate(pages, 1):
        assert f"plan abcd-ef01-2345 · page {number} of {len(pages)}" in text


def map_page(plan, tmp_path, *, black):
    sheet = sheet_of()
    layers = GROUND | {"pass1"}
    sheet.put(
        MapPicture(
            compose(plan), plan.units, sheet, (sheet.width_pt, 500), MapStyle(layers, 0.75, black=black)
        )
    )
    sheet.save(tmp_path / "map.pdf")
    return tmp_path / "map.pdf"


def test_map_has_scale_north_names_and_colours(plan, tmp_path):
    path = map_page(plan, tmp_path, black=False)
    text = texts(path)[0]
    for word in ("Front lawn", "Back lawn", "House", "Pool", "Tap", "N", "50 ft"):
        assert word in text
    pixels = picture(path)
    assert count(pixels, (0x23, 0x84, 0x43)) > 100  # full stand
    assert count(pixels, (0xC2, 0xE6, 0x99)) > 100  # thin stand


def test_map_in_black_has_no_colour_at_all(plan, tmp_path):
    pixels = picture(map_page(plan, tmp_path, black=True))
    assert len(np.unique(pixels)) > 20
    assert np.ptp(pixels, axis=2).max() <= 11  # as much as the ink has, #1f2a24


def test_areas_on_paper_are_in_proportion(plan, tmp_path):
    """Two obstacles of known size, counted in pixels of their colour: 30 by 20 m and 20 by 20 m."""
    thing = {"Pool": box(0, 0, 30, 20), "Oak": box(40, 0, 60, 20)}
    obstacles = tuple(
        replace(one, polygon=thing[one.name], name="-") for one in plan.yard.obstacles if one.name in thing
    )
    yard = replace(plan.yard, obstacles=obstacles, landmarks=(), water=())
    bare = replace(plan, takeoff=replace(plan.takeoff, yard=yard, zones=()))
    pixels = picture(map_page(bare, tmp_path, black=False), scale=3.0)
    pool, oak = (count(pixels, shade) for shade in ((0xA9, 0xCB, 0xE0), (0x8A, 0x8F, 0x6A)))
    assert pool / oak == pytest.approx(600 / 400, rel=0.02)


def test_map_that_is_not_georeferenced_shows_no_north(local_plan, tmp_path):
    text = texts(map_page(local_plan, tmp_path, black=False))[0]
    assert "up is" in text
    assert "not north" in text


def test_a_file_is_whole_or_as_it_was(tmp_path, monkeypatch):
    path = tmp_path / "quote.pdf"
    path.write_bytes(b"before")

    def full(number):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("lawnmap.sheets.folder.os.fsync", full)
    with (
        pytest.raises(
            OutputError, match=r"quote\.pdf: cannot be written \(No space left on device\); name a file"
        ),
        whole_file(path) as draft,
    ):
        draft.write_bytes(b"after")
    assert path.read_bytes() == b"before"
    assert [one.name for one in tmp_path.iterdir()] == ["quote.pdf"]


def test_paper_and_type_of_the_job(plan, tmp_path):
    """A4 although the units are US ones; and a type of the user, here the bold one of those that reportlab carries."""
    font = Path(reportlab.__file__).with_name("fonts") / "VeraBd.ttf"
    asked = replace(plan, paper="A4", font=font)
    path = print_field_sheet(asked, tmp_path / "f.pdf")
    document = pypdfium2.PdfDocument(path)
    assert document[0].get_size() == pytest.approx((595.3, 841.9), abs=0.5)  # ISO 216
    document.close()
    data = path.read_bytes()
    assert b"BitstreamVeraSans-Bold" in data
    assert b"BitstreamVeraSans-Roman" not in data


def test_a_job_names_paper_and_type(tmp_path):
    (tmp_path / "job.toml").write_text(
        'paper = "A4"\nfont = "fonts/mine.ttf"\n[yard]\nfile = "y.geojson"\n', "utf-8"
    )
    general = read_choices(tmp_path).general
    assert (general.paper, general.font) == ("A4", "fonts/mine.ttf")
    (tmp_path / "job.toml").write_text('paper = "a5"\n', "utf-8")
    with pytest.raises(ChoiceError, match=r"paper: 'a5' is not known; "):
        read_choices(tmp_path)
