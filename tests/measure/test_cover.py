"""Green cover of photos: known shares, a second way pixel by pixel, a picture with trees, and hostile files."""

import colorsys
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
import sklearn.datasets
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image

from lawnmap.errors import ChoiceError, FileError, InputError, OutputError
from lawnmap.measure import GreenLimits, cover_of, green
from lawnmap.measure.cover import read_photo
from lawnmap.yard import DensityTable

GRASS, SOIL, STRAW, STONE = (70, 130, 40), (110, 80, 50), (190, 170, 100), (128, 128, 128)
TREES = Path(sklearn.datasets.__file__).parent / "images" / "china.jpg"
"""A pavilion between trees under an empty sky, as scikit-learn ships it (its README.txt says under which terms)."""


def photo(path, share, size=(200, 300), rest=SOIL, **saved):
    """A photo of which exactly a share is the colour of grass, in pixels strewn at random."""
    rows, columns = size
    grass = np.zeros(rows * columns, bool)
    grass[: round(share * rows * columns)] = True
    np.random.default_rng(7).shuffle(grass)
    rgb = np.where(grass.reshape(size)[..., None], GRASS, rest).astype(np.uint8)
    Image.fromarray(rgb).save(path, **saved)
    return path


@pytest.mark.parametrize("share", [0.0, 0.1, 0.34, 0.5, 0.8, 1.0])
@pytest.mark.parametrize("rest", [SOIL, STRAW, STONE, (0, 0, 0), (255, 255, 255), (40, 60, 140)])
def test_a_known_share_is_found_to_the_pixel(tmp_path, share, rest):
    found = cover_of([photo(tmp_path / "spot.png", share, rest=rest)])
    assert found.percent == pytest.approx(100 * share, abs=1e-9)


@pytest.mark.parametrize(
    ("share", "density"), [(0.1, "bare"), (0.3, "thin"), (0.6, "patchy"), (0.95, "full")]
)
def test_the_class_follows_from_the_cover(tmp_path, share, density):
    found = cover_of([photo(tmp_path / "spot.png", share)])
    assert found.density == density
    assert f'density = "{density}"' in found.lines()[-2]
    assert "weeds" in found.lines()[-1]


@given(st.tuples(*[st.integers(0, 255)] * 3), st.floats(0, 300), st.floats(5, 60), st.floats(0, 0.9))
@settings(max_examples=300, deadline=None)
def test_every_pixel_agrees_with_the_standard_library(rgb, hue_from, wide, saturation):
    """`colorsys` of Python works hue and saturation out one pixel at a time."""
    limits = GreenLimits(hue_from, hue_from + wide, saturation)
    hue, full, _ = colorsys.rgb_to_hsv(*(part / 255 for part in rgb))
    near = min(abs(360 * hue - limits.hue_from_deg), abs(360 * hue - limits.hue_to_deg)) < 1e-3
    if near or abs(full - saturation) < 1e-5:
        return  # a rounding apart from the line either answer is right
    wanted = full > 0 and limits.hue_from_deg < 360 * hue < limits.hue_to_deg and full > saturation
    assert bool(green(np.array([[rgb]], np.uint8), limits)[0, 0]) is wanted


def test_the_trees_of_a_real_picture_are_green_and_its_sky_is_not():
    rgb, seen = read_photo(TREES)
    counted = green(rgb)
    assert seen.all()
    assert counted[:130, 340:540].mean() < 0.01, "sky"
    assert counted[330:, :200].mean() > 0.4, "trees"
    assert counted[100:330, 110:300].mean() < 0.1, "pavilion"
    slow = [
        colorsys.rgb_to_hsv(*(float(part) / 255 for part in pixel))
        for pixel in rgb[::20, ::20].reshape(-1, 3)
    ]
    wanted = [full > 0 and 60 - 1e-9 <= 360 * hue <= 120 + 1e-9 for hue, full, _ in slow]
    assert counted[::20, ::20].ravel().tolist() == wanted


def test_a_large_photo_is_counted_piece_by_piece(monkeypatch):
    rgb = np.random.default_rng(1).integers(0, 256, (61, 47, 3), dtype=np.uint8)
    whole = green(rgb)
    monkeypatch.setattr("lawnmap.measure.cover._CHUNK", 100)
    assert (green(rgb) == whole).all()


def test_of_a_large_photo_every_third_pixel_is_enough(tmp_path, monkeypatch):
    monkeypatch.setattr("lawnmap.measure.cover._COUNTED", 10_000)
    found = cover_of([photo(tmp_path / "spot.png", 0.34)])
    assert found.photos[0].rgb.shape == (67, 100, 3)
    # two standard errors of a share of 6,700 pixels
    assert found.percent == pytest.approx(34, abs=200 * (0.34 * 0.66 / 6_700) ** 0.5)


def test_several_photos_have_a_standard_error(tmp_path):
    """20, 30 and 40 %: mean 30, standard deviation 10, standard error 10 / √3."""
    paths = [photo(tmp_path / f"{share}.png", share) for share in (0.2, 0.3, 0.4)]
    found = cover_of(paths)
    assert found.percent == pytest.approx(30)
    assert found.se_percent == pytest.approx(10 / 3**0.5)
    assert found.findings() == ()
    assert found.to_dict()["photos"][1] == {"name": "0.3.png", "cover_percent": 30.0, "pixels": 60_000}
    assert "Cover: 30.0 ± 5.8 %, which is thin" in found.lines()[3]


def test_findings_of_one_photo_near_a_line(tmp_path):
    codes = {one.code for one in cover_of([photo(tmp_path / "spot.png", 0.505)]).findings()}
    assert codes == {"few-photos", "cover-near-line"}
    table = DensityTable(10, 40, 70)
    assert {one.code for one in cover_of([tmp_path / "spot.png"], table=table).findings()} == {"few-photos"}


@pytest.mark.parametrize("turn", range(1, 9))
def test_a_photo_stands_as_its_camera_held_it(tmp_path, turn):
    """Exif 2.3, tag 0x0112: eight ways to hold a camera; what is seen upright is the same."""
    upright = np.zeros((20, 30, 3), np.uint8)
    upright[:10, :10] = GRASS  # a corner that no turn leaves in its place
    back = {
        1: None, 2: Image.Transpose.FLIP_LEFT_RIGHT, 3: Image.Transpose.ROTATE_180,
        4: Image.Transpose.FLIP_TOP_BOTTOM, 5: Image.Transpose.TRANSPOSE, 6: Image.Transpose.ROTATE_90,
        7: Image.Transpose.TRANSVERSE, 8: Image.Transpose.ROTATE_270,
    }[turn]  # fmt: skip
    held = Image.fromarray(upright)
    exif = Image.Exif()
    exif[0x0112] = turn
    (held.transpose(back) if back is not None else held).save(tmp_path / "spot.png", exif=exif)
    rgb, _ = read_photo(tmp_path / "spot.png")
    assert (rgb == upright).all()


def test_transparent_pixels_are_not_ground(tmp_path):
    rgba = np.zeros((10, 10, 4), np.uint8)
    rgba[:5, :, :3], rgba[:5, :, 3] = GRASS, 255
    rgba[0, :, :3] = SOIL
    Image.fromarray(rgba).save(tmp_path / "cut.png")
    assert cover_of([tmp_path / "cut.png"]).percent == pytest.approx(80)


def test_the_picture_shows_what_was_counted(tmp_path):
    found = cover_of([photo(tmp_path / "spot.png", 0.4)])
    found.photos[0].write_counted(tmp_path / "counted.png")
    seen = np.asarray(Image.open(tmp_path / "counted.png"))
    coloured = np.ptp(seen, axis=2) > 0
    assert (coloured == found.photos[0].counted).all()
    assert sorted(path.name for path in tmp_path.iterdir()) == ["counted.png", "spot.png"]
    with pytest.raises(OutputError, match=r"the picture is a PNG file; give a name that ends in \.png"):
        found.photos[0].write_counted(tmp_path / "counted.jpg")
    with pytest.raises(OutputError, match=r"cannot be written .*; choose another folder"):
        found.photos[0].write_counted(tmp_path / "nowhere" / "counted.png")


def chunk(name, data):
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def bomb(width, height):
    """A PNG of a few bytes that says it is huge."""
    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")
    )


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("spot.png", b"not a picture\n" * 40, "it is not a photo, or a damaged one; save it as PNG or JPEG"),
        ("spot.jpg", b"", "it is not a photo, or a damaged one"),
        ("spot.png", bomb(100_000, 100_000), "more than 80 million pixels; save it smaller"),
        ("spot.png", bomb(10_000, 9_000), "more than 80 million pixels"),
        ("spot.png", bomb(100, 100), "it is not a photo, or a damaged one"),
        ("spot.svg", b"<svg xmlns='http://www.w3.org/2000/svg'/>", "it is not a photo"),
    ],
)
def test_files_that_are_no_photos(tmp_path, name, data, says):
    path = tmp_path / name
    path.write_bytes(data)
    with pytest.raises(FileError, match=f"{name}: .*{says}"):
        cover_of([path])


def test_other_pictures_that_cannot_be_counted(tmp_path):
    Image.new("L", (9, 9), 90).save(tmp_path / "grey.png")
    Image.new("RGBA", (9, 9), (0, 0, 0, 0)).save(tmp_path / "empty.png")
    Image.new("RGB", (9, 9)).save(tmp_path / "spot.gif")
    for name, says in {
        "grey.png": "the photo has no colours; take a colour photo",
        "empty.png": "the whole photo is transparent; save it without a mask",
        "spot.gif": "it is GIF, not a photo; save it as PNG or JPEG",
        "none.png": "there is no such file; check its name",
    }.items():
        with pytest.raises(FileError, match=f"{name}: {says}"):
            cover_of([tmp_path / name])
    with pytest.raises(InputError, match="no photo was given; name one or more"):
        cover_of([])


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ((120, 60), "hues from 120 to 60 degrees are no range; give two rising hues"),
        ((-5, 60), "are no range"),
        ((60, 400), "are no range"),
        ((60, 120, 0.5, 0.2), "a saturation from 50% to 20% is no range; give two rising percentages"),
    ],
)
def test_limits_that_are_no_range(values, says):
    with pytest.raises(ChoiceError, match=says):
        GreenLimits(*values)
