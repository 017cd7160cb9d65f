"""The [spreader] section: defaults, a catch file, typed trays, and every fault in plain words."""

import pytest

from lawnmap.choices import template
from lawnmap.errors import ChoiceError
from lawnmap.evenness.spreader import Spreader

FOOT = 0.3048


def read(**values):
    return Spreader.read(values, file="job.toml")


def test_defaults_are_a_triangle_that_fits_the_swath():
    throwing = read().throwing(1.8)
    assert throwing.pattern.effective_swath_m == pytest.approx(1.8)
    assert throwing.ends.feather_m == pytest.approx(0.9)
    assert not throwing.shield
    assert throwing.limit == 0.15
    assert {default.key for default in read().defaults()} >= {"pattern", "wander", "cv_limit", "way"}


def test_a_box_has_sharp_ends():
    assert read(pattern="box").throwing(1.2).ends.feather_m == 0


def test_throw_width_is_the_whole_width():
    assert read(throw="12 ft").throwing(1.0).pattern.width_m / FOOT == pytest.approx(12)
    assert read(throw="12 ft", pattern="trapezoid").throwing(1.0).pattern.width_m / FOOT == pytest.approx(12)


def test_trays_typed_in():
    found = read(trays=[0, 1, 3, 5, 3, 1, 0], tray_spacing="1 ft")
    assert found.throwing(9.9).pattern.shape == "catch test"
    assert {one.code for one in found.findings()} == {"few-runs"}


def test_a_catch_file_counts_from_the_job_folder(tmp_path):
    (tmp_path / "trays.csv").write_text("offset_ft,a\n-2,0\n-1,2\n0,4\n1,2\n2,0\n", "utf-8")
    pattern = read(catch="trays.csv").throwing(1.8, tmp_path).pattern
    assert pattern.effective_swath_m / FOOT == pytest.approx(2)
    smoothed = read(catch="trays.csv", smooth=True).throwing(1.8, tmp_path).pattern
    assert smoothed.effective_swath_m / FOOT == pytest.approx(8 / 3)  # 3 in the middle, 1.5 at 4/3 ft


def test_runs_make_a_curve():
    found = read(
        runs=[
            {"setting": 4, "used": "2 lb", "area": "500 sq ft"},
            {"setting": 6, "used": "4 lb", "area": "500 sq ft"},
        ]
    )
    assert found.curve().setting.tolist() == [4, 6]
    assert {one.code for one in found.findings()} == {"setting-scatter-assumed"}
    assert read().curve() is None


def test_the_template_reads_back():
    text = template(Spreader)
    assert text.startswith("[spreader]")
    assert 'wander = "0.4 ft"' in text


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"patern": "box"}, 'did you mean "pattern"'),
        ({"pattern": "triangel"}, 'did you mean "triangle"'),
        ({"throw": 12}, "12 has no unit"),
        ({"catch": "a.csv", "trays": [1, 2]}, "keep one of the two"),
        ({"pattern": "box", "left_share": "40 %"}, "left_share: a box has as much on the left"),
        ({"runs": [{"setting": 4, "used": 2, "area": "500 sq ft"}]}, "2 has no unit"),
        ({"wander": "-1 ft"}, "must be at least 0"),
    ],
)
def test_faults(values, says):
    with pytest.raises(ChoiceError, match=says):
        read(**values)
