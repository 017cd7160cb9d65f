"""Catch tests: what a row of trays shows, both ways of walking, and every way it can be wrong."""

import re

import numpy as np
import pytest

from lawnmap.errors import FileError, InputError
from lawnmap.evenness.catch import CatchTest, read_catch, typed
from lawnmap.evenness.overlap import overlap
from lawnmap.evenness.shapes import triangle
from lawnmap.units import METRIC

FOOT = 0.3048


def test_effective_swath_from_half_rate_points():
    """Ohio State University Extension, Bulletin 817, b817_13: 4 in the middle, 2 at 6 ft, swath 12 ft."""
    weights = [4 - abs(place) / 3 for place in range(-11, 12)]
    throw = typed(weights, FOOT).pattern()
    assert throw.effective_swath_m / FOOT == pytest.approx(12, abs=1e-9)
    assert throw.offset_m[0] / FOOT == pytest.approx(-12)


def test_smoothing_keeps_the_middle_and_draws_the_swath_out_by_half_a_tray_at_most():
    test = typed([0, 1, 2, 3, 4, 3, 2, 1, 0], FOOT)
    rough, smooth = test.pattern(), test.pattern(smooth=True)
    assert smooth.centre_m == pytest.approx(rough.centre_m, abs=1e-9)
    assert 0 < smooth.effective_swath_m - rough.effective_swath_m <= FOOT / 2 + 1e-9
    assert overlap(smooth, 4 * FOOT).cv == pytest.approx(0, abs=1e-9)


def test_runs_are_averaged_share_by_share():
    test = typed([[0, 1, 2, 1, 0], [0, 2, 4, 2, 0], [0, 3, 6, 3, 0]], FOOT)
    assert test.throw_runs[0] == pytest.approx(test.throw_runs[2])
    assert test.findings() == ()


def test_back_runs_are_turned_round():
    out = [0, 4, 3, 2, 1, 0, 0]
    both = CatchTest(np.arange(-3.0, 4), np.array([out, out[::-1]]), np.array([False, True]))
    assert both.throw_runs[0] == pytest.approx(both.throw_runs[1])
    assert both.drift_m == pytest.approx(0)
    assert both.pattern().left_share > 0.5


def test_wind_is_told_from_a_lopsided_throw():
    """Wind moves the catch the same way over the ground whichever way one walks."""
    windy = [0, 0, 1, 2, 3, 2, 1, 0, 0]
    test = CatchTest(np.arange(-4.0, 5) - 0.5, np.array([windy, windy]), np.array([False, True]))
    assert test.drift_m == pytest.approx(-0.5)
    assert test.drift_line(METRIC) == "Wind or slope carried the material 0.5 m to the left of the trays"
    assert typed([0, 1, 2, 1, 0], 1.0).drift_line() == ""
    assert test.pattern().centre_m == pytest.approx(0, abs=1e-9)
    assert typed(windy, 1.0).drift_m is None


def test_off_centre_is_named_and_can_be_centred():
    test = typed([0, 0, 0, 1, 3, 5, 3, 1, 0], 0.3)
    codes = {found.code: found.text for found in test.findings()}
    assert "right of the walking line" in codes["throw-off-centre"]
    assert re.search(r"its middle [\d.]+ m \([\d.]+ ft, \d+% of the swath\) off", codes["throw-off-centre"])
    assert "few-runs" in codes
    assert test.pattern(centred=True).centre_m == pytest.approx(0, abs=1e-12)


def test_runs_that_differ_are_named():
    test = typed([[0, 1, 2, 1, 0], [0, 0, 2, 3, 0], [0, 1, 2, 1, 0]], FOOT)
    assert "trays-uneven" in {found.code for found in test.findings()}


def test_a_nearly_cut_throw_is_named():
    assert "trays-cut-short" in {found.code for found in typed([0.2, 2, 4, 2, 0], FOOT).findings()}


def write(tmp_path, text):
    path = tmp_path / "trays.csv"
    path.write_text(text, "utf-8")
    return path


def test_a_file(tmp_path):
    path = write(
        tmp_path,
        "# 2 May, dry, setting 5\noffset_ft,run 1,run 2 back\n-2,0,0\n-1,2,2.2\n0,4,4\n1,2.2,2\n2,0,0\n",
    )
    test = read_catch(path)
    assert test.spacing_m == pytest.approx(FOOT)
    assert test.back.tolist() == [False, True]
    assert test.throw_runs[0] == pytest.approx(test.throw_runs[1])


def test_rows_of_a_file_may_stand_in_any_order(tmp_path):
    path = write(tmp_path, "offset (m),a\n1,0\n0,4\n-1,0\n")
    assert read_catch(path).offset_m.tolist() == [-1, 0, 1]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "needs a heading"),
        ("offset_ft\n1\n", "needs a heading"),
        ("place,a\n0,1\n", 'trays.csv: the first column is headed "place"; head it "offset_ft"'),
        ("offset_ft,a\n0,1,2\n", "row 2: there are 3 values under 2 headings"),
        ("offset_ft,a\n0,one\n", 'row 2: "one" is not a number'),
        ("offset_ft,a\n-1,0\n0,-2\n1,0\n", "tray 2 of run 1 weighs -2"),
        ("offset_ft,a\n-1,0\n0,0\n1,0\n", "all trays of run 1 are empty"),
        ("offset_ft,a\n0,5\n", "1 tray cannot show a throw"),
        ("offset_ft,a\n-2,0\n0,1\n1,0\n", "unevenly spaced"),
        ("offset_ft,a\n-1,0\n0,nan\n1,0\n", "a tray has no weight"),
        ("offset_ft,a\n-1,0\n0,1\n0,1\n", "do not run from left to right"),
    ],
)
def test_bad_files(tmp_path, text, says):
    with pytest.raises((FileError, InputError), match=says):
        read_catch(write(tmp_path, text))


def test_a_missing_file(tmp_path):
    with pytest.raises(FileError, match=r"nowhere.csv: the catch test cannot be read"):
        read_catch(tmp_path / "nowhere.csv")


def test_a_throw_wider_than_the_trays():
    with pytest.raises(InputError, match="the right end tray still holds 60% of the fullest"):
        typed([0, 1, 5, 4, 3], FOOT).pattern()


@pytest.mark.parametrize(
    ("weights", "spacing", "says"),
    [([1.0], 1.0, "1 tray cannot"), ([0, 1, 0], 0.0, "0 m apart"), ([0, 0, 0], 1.0, "are empty")],
)
def test_bad_typed_rows(weights, spacing, says):
    with pytest.raises(InputError, match=says):
        typed(weights, spacing)


def test_weights_and_trays_must_match():
    with pytest.raises(InputError, match="3 trays but 4 weights"):
        CatchTest(np.arange(3.0), np.ones((1, 4)), np.zeros(1, bool))


def test_a_sampled_triangle_is_the_triangle():
    offset = np.arange(-6.0, 7) * FOOT
    throw = CatchTest(offset, triangle(6 * FOOT).density(offset)[None], np.zeros(1, bool))
    spacing = 9 * FOOT
    assert overlap(throw.pattern(), spacing).cv == pytest.approx(0.25, abs=1e-9)
