"""Pictures turned upright, freed of metadata and refused with a way out; pages at a true scale; blank sheets."""

import io
import struct
import zlib

import pytest
from PIL import Image

from lawnmap.drawing.paper import grid, open_paper, stated_scale
from lawnmap.errors import FileError, InputError

ORIENTATION, GPS = 0x0112, 0x8825  # Exif 2.32 (CIPA DC-008), tables 4 and 7


def photo(path, size=(60, 40), orientation=1):
    picture = Image.new("RGB", size, "green")
    exif = Image.Exif()
    exif[ORIENTATION] = orientation
    exif[GPS] = {1: "N", 2: (40.0, 41.0, 21.0)}
    picture.save(path, exif=exif)
    return path


@pytest.mark.parametrize(
    ("orientation", "size"), [(1, (60, 40)), (3, (60, 40)), (6, (40, 60)), (8, (40, 60))]
)
def test_photo_is_turned_as_exif_says(tmp_path, orientation, size):
    sheet = open_paper(photo(tmp_path / "a.jpg", orientation=orientation)).sheet
    assert (sheet.wide, sheet.high) == size


def test_no_metadata_goes_along(tmp_path):
    path = photo(tmp_path / "a.jpg", orientation=6)
    with Image.open(path) as taken:
        assert taken.getexif().get_ifd(GPS)
    clean = Image.open(io.BytesIO(open_paper(path).picture))
    assert not clean.getexif()
    assert "exif" not in clean.info


def test_png_text_is_dropped_and_clear_ground_is_white(tmp_path):
    Image.new("RGBA", (8, 8), (0, 0, 0, 0)).save(tmp_path / "a.png")
    clean = Image.open(io.BytesIO(open_paper(tmp_path / "a.png").picture))
    assert clean.getpixel((3, 3)) == (255, 255, 255)


def test_large_picture_is_made_smaller(tmp_path):
    Image.new("L", (5000, 2500)).save(tmp_path / "a.png")
    sheet = open_paper(tmp_path / "a.png").sheet
    assert (sheet.wide, sheet.high) == (4000, 2000)


def bomb(path):
    """A PNG whose head promises 400 million pixels (W3C, PNG specification, section 11.2.2)."""

    def chunk(kind, held):
        return struct.pack(">I", len(held)) + kind + held + struct.pack(">I", zlib.crc32(kind + held))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", 20_000, 20_000, 8, 0, 0, 0, 0))
    path.write_bytes(
        b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")
    )


def test_bomb_is_refused_before_it_is_unpacked(tmp_path):
    bomb(tmp_path / "a.png")
    with pytest.raises(FileError, match="more than 80 million pixels"):
        open_paper(tmp_path / "a.png")


@pytest.mark.parametrize(
    ("name", "held", "said"),
    [
        ("a.png", b"this is text", "not a picture, or a damaged one"),
        ("a.png", b"\x89PNG\r\n\x1a\n" + b"x" * 50, "not a picture, or a damaged one"),
        ("a.jpg", b"", "not a picture"),
        ("a.heic", b"x", "HEIC .* JPEG"),
        ("a.pdf", b"%PDF-1.4 nothing", "not a PDF"),
    ],
)
def test_what_cannot_be_drawn_on_is_told_in_a_sentence(tmp_path, name, held, said):
    (tmp_path / name).write_bytes(held)
    with pytest.raises(FileError, match=said):
        open_paper(tmp_path / name)


def test_cut_picture_and_other_format_are_told(tmp_path):
    photo(tmp_path / "a.jpg", (600, 400))
    (tmp_path / "b.jpg").write_bytes((tmp_path / "a.jpg").read_bytes()[:900])
    with pytest.raises(FileError, match="damaged"):
        open_paper(tmp_path / "b.jpg")
    Image.new("L", (9, 9)).save(tmp_path / "c.png", "GIF")
    with pytest.raises(FileError, match="it is GIF"):
        open_paper(tmp_path / "c.png")
    with pytest.raises(FileError, match="no such file"):
        open_paper(tmp_path / "d.png")


def page(path, wide_pt=612, high_pt=792):
    """A blank US letter page of 612 by 792 points."""
    Image.new("RGB", (wide_pt, high_pt), "white").save(path, "PDF", resolution=72.0)
    return path


def test_page_drawn_to_a_scale_is_true(tmp_path):
    """8.5 by 11 inches at 1 inch to 20 feet are 170 by 220 feet."""
    sheet = open_paper(page(tmp_path / "plan.pdf"), scale="1 in = 20 ft").sheet
    assert sheet.wide * sheet.metres_per_unit == pytest.approx(170 * 0.3048, rel=1e-3)
    assert sheet.high * sheet.metres_per_unit == pytest.approx(220 * 0.3048, rel=1e-3)


def test_page_without_a_scale_has_none_and_a_missing_page_is_told(tmp_path):
    path = page(tmp_path / "plan.pdf")
    assert open_paper(path).sheet.metres_per_unit is None
    with pytest.raises(FileError, match="it has 1 pages, not 2"):
        open_paper(path, page=2)


def test_picture_has_no_stated_scale(sheet):
    with pytest.raises(InputError, match="only a page of a PDF"):
        open_paper(sheet, scale="1:240")


@pytest.mark.parametrize("text", ["240", "1:", "a:b", "1 in = 20", "20 ft = 1 in", "0:5", "1:0"])
def test_no_scale(text):
    with pytest.raises(InputError, match=r"scale of a plan|unit"):
        stated_scale(text)


def test_grid_has_its_size_in_metres():
    sheet = grid("100 ft × 50 m").sheet
    assert (sheet.wide, sheet.high, sheet.metres_per_unit) == (pytest.approx(30.48), 50, 1)


@pytest.mark.parametrize(
    ("size", "said"), [("100 ft", "size of a sheet"), ("0 ft x 9 ft", "no yard"), ("9 x 9", "unit")]
)
def test_no_size(size, said):
    with pytest.raises(InputError, match=said):
        grid(size)


def bare_pdf(path, pages=1, lock=b""):
    """The least that is a PDF (ISO 32000-1, clause 7.5), with a cross-reference table."""
    kids = b"".join(b"%d 0 R " % (3 + number) for number in range(pages))
    objects = [b"<</Type/Catalog/Pages 2 0 R>>", b"<</Type/Pages/Kids[%s]/Count %d>>" % (kids, pages)]
    objects += [b"<</Type/Page/Parent 2 0 R/MediaBox[0 0 612 792]>>"] * pages
    held, places = b"%PDF-1.4\n", []
    for number, one in enumerate(objects, start=1):
        places.append(len(held))
        held += b"%d 0 obj%s\nendobj\n" % (number, one)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    head = b"xref\n0 %d\n0000000000 65535 f \n" % (len(objects) + 1)
    trailer = b"trailer<</Size %d/Root 1 0 R%s>>\nstartxref\n%d\n%%%%EOF\n" % (
        len(objects) + 1,
        lock,
        len(held),
    )
    path.write_bytes(held + head + table + trailer)
    return path


LOCK = b"/Encrypt<</Filter/Standard/V 1/R 2/P -4/O<%s>/U<%s>>>/ID[<00><00>]" % (b"41" * 32, b"42" * 32)
"""The standard security handler (clause 7.6.3) with a password that nobody knows."""


def test_locked_and_empty_pdf_are_told_apart(tmp_path):
    assert open_paper(bare_pdf(tmp_path / "plain.pdf")).sheet.wide > 600
    with pytest.raises(FileError, match="locked by a password; save a copy without one"):
        open_paper(bare_pdf(tmp_path / "locked.pdf", lock=LOCK))
    with pytest.raises(FileError, match="not a PDF, has no pages or is damaged; export it again"):
        open_paper(bare_pdf(tmp_path / "empty.pdf", pages=0))
