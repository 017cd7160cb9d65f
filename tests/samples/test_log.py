"""The homeowner's log and panels, worked out by hand from the areas of the sample.

The back yard is patchy: half of 7 lb / 1000 sq ft, in two passes.
"""

import pytest

import lawnmap
from lawnmap.job import log_path, open_job, read_log, tally_job
from lawnmap.units import convert


@pytest.fixture(scope="module")
def homeowner(samples):
    yard, choices = open_job(samples / "homeowner")
    return yard, choices, tally_job(yard, choices, read_log(log_path(choices)))


def test_the_setting_for_the_second_pass(homeowner):
    """By the test runs setting 3 lays 0.8, 5 lays 2.05 lb / 1000 sq ft, and 4.5 between them 1.7375.

    4.5 lb on the back yard were less than that; the whole curve is taken as that much lower.
    """
    yard, choices, held = homeowner
    area = next(zone.surface_area_m2 for zone in lawnmap.take_off(yard).zones if zone.name == "Back yard")
    thousands = convert(area, "sq ft") / 1000
    back = next(zone for zone in held.materials[0].by_zone if zone.zone == "Back yard")
    assert back.ratio == pytest.approx(4.5 / (thousands * 1.75), rel=1e-6)
    on_the_curve = 1.75 * 1.7375 / (4.5 / thousands)
    assert back.setting_for_rest == pytest.approx(3 + 2 * (on_the_curve - 0.8) / 1.25, rel=1e-6)
    assert back.setting_note == "by your test runs"
    assert not held.findings
    assert choices.record is None


def test_feeding_and_stock(homeowner):
    """29 lb of 18-24-12 on all of 5,799 sq ft are 5 lb, and 0.9 lb of N, to a thousand."""
    _, _, held = homeowner
    nitrogen = [convert(dose.had.value, "lb / 1000 sq ft") for dose in held.doses if dose.name == "N"]
    assert nitrogen == pytest.approx([0.9] * 4, rel=1e-3)
    assert convert(held.materials[0].left.value, "lb") == pytest.approx(19.8)


def test_what_came_up_on_the_bare_spot(homeowner):
    (stand,) = homeowner[2].stands
    assert (stand.density_planned, stand.density) == ("bare", "patchy")
    assert 0 < stand.emerged < 1
