"""Settings from test runs, and the published checks of a spreader."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.errors import LawnmapError
from lawnmap.evenness.calibration import check_rate, course_length, rate_from_area, rate_from_trays
from lawnmap.evenness.catch import typed
from lawnmap.evenness.settings import TestRun as Run
from lawnmap.evenness.settings import correct, fit_settings
from lawnmap.units import FOOT_M, POUND_KG, convert, parse

SQ_FT = float(FOOT_M**2)
POUND = float(POUND_KG)


def runs(*rows):
    return [Run(setting=setting, used_kg=used * POUND, area_m2=area * SQ_FT) for setting, used, area in rows]


def per_1000(rate):
    return convert(rate, "lb / 1000 sq ft")


def test_setting_between_two_runs_is_in_proportion():
    curve = fit_settings(runs((4, 2, 500), (6, 4, 500)))
    assert per_1000(curve.rate_at(5)) == pytest.approx(6)
    found = curve.setting_for(parse("6 lb / 1000 sq ft", "mass_per_area"))
    assert found.setting == pytest.approx(5)
    # half of 5 % of 4 and half of 5 % of 8, added in quadrature, over 2 lb per step
    assert found.plus_minus == pytest.approx(np.hypot(0.1, 0.2) / 2)
    assert str(found).startswith("5.0 ± 0.1")
    assert [one.code for one in curve.findings()] == ["setting-scatter-assumed"]


def test_scatter_is_measured_from_repeats():
    curve = fit_settings(runs((4, 1.9, 500), (4, 2.1, 500), (6, 4, 500)))
    assert curve.scatter == pytest.approx(np.sqrt(2 * 0.05**2))
    assert curve.findings() == ()
    assert curve.runs.tolist() == [2, 1]


def test_a_dip_within_the_scatter_is_pooled():
    curve = fit_settings(runs((3, 1, 500), (4, 2.02, 500), (5, 2.0, 500), (6, 4, 500)))
    assert curve.setting.tolist() == [3, 4.5, 6]
    assert per_1000(curve.rate_kg_per_m2[1]) == pytest.approx(4.02)


@given(st.lists(st.floats(0.5, 9), min_size=2, max_size=6, unique=True), st.floats(0.0, 1.0))
def test_setting_and_rate_go_both_ways(used, share):
    used = sorted(used)
    if min(np.diff(used)) < 1e-3:
        return
    curve = fit_settings(runs(*[(number + 1, lb, 500) for number, lb in enumerate(used)]))
    rate = curve.rate_kg_per_m2[0] + share * np.ptp(curve.rate_kg_per_m2)
    rate = min(rate, curve.rate_kg_per_m2[-1])
    assert curve.rate_at(curve.setting_for(rate).setting) == pytest.approx(rate)
    assert curve.setting_for(rate).plus_minus > 0


def test_used_eleven_where_fourteen_was_planned():
    done = Run(setting=5, used_kg=11 * POUND, area_m2=2000 * SQ_FT)
    found = correct(done, 14 * POUND, 3000 * SQ_FT)
    assert found.ratio == pytest.approx(11 / 14)
    assert found.setting == pytest.approx(5 * 14 / 11)
    assert found.still_kg / POUND == pytest.approx(21)
    assert [one.code for one in found.findings] == ["setting-from-one-run"]
    assert "79% of the planned rate" in found.line()


def test_a_curve_is_scaled_to_what_was_really_used():
    curve = fit_settings(runs((4, 2, 500), (8, 10, 500)))  # 4, then 20 lb per 1,000 sq ft
    done = Run(setting=5, used_kg=11 * POUND, area_m2=2000 * SQ_FT)  # 5.5 where the curve says 8
    found = correct(done, 14 * POUND, 3000 * SQ_FT, curve)
    assert curve.rate_at(found.setting) * (5.5 / 8) == pytest.approx(14 * POUND / (2000 * SQ_FT))
    assert found.findings == ()


@pytest.mark.parametrize(
    ("rows", "says"),
    [
        ([(4, 2, 500)], "the runs are at 1 setting; make a test run at a second setting"),
        ([(4, 2, 500), (4, 2.1, 500)], "at 1 setting"),
        ([(4, 4, 500), (6, 2, 500)], "setting 6 laid less"),
        ([(4, 2, 500), (6, 2, 500)], "all settings lay the same rate"),
    ],
)
def test_bad_runs(rows, says):
    with pytest.raises(LawnmapError, match=says):
        fit_settings(runs(*rows))


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"setting": 4, "used_kg": 1, "area_m2": 0}, "must be more than 0"),
        ({"setting": 4, "used_kg": -1, "area_m2": 1}, "must be more than 0"),
    ],
)
def test_bad_run(values, says):
    with pytest.raises(LawnmapError, match=says):
        Run(**values)


def test_rates_outside_the_runs():
    curve = fit_settings(runs((4, 2, 500), (6, 4, 500)))
    with pytest.raises(LawnmapError, match="make a test run higher than setting 6"):
        curve.setting_for(1.0)
    with pytest.raises(LawnmapError, match="make a test run lower than setting 4"):
        curve.setting_for(0.001)
    with pytest.raises(LawnmapError, match="outside those tried"):
        curve.rate_at(9)


def test_catch_of_a_drop_spreader():
    """Consumer Reports, How to calibrate a drop spreader: 0.5 lb on 50 sq ft is 10 lb per 1,000 sq ft."""
    assert per_1000(rate_from_area(0.5 * POUND, 50 * SQ_FT)) == pytest.approx(10, abs=1e-9)


def test_band_that_passes():
    """UMass Extension, Rotary Spreader Calibration Procedures: 5 lb wanted, 4.75 to 5.25 pass."""
    wanted = parse("5 lb / 1000 sq ft", "mass_per_area")
    check = check_rate(parse("5.2 lb / 1000 sq ft", "mass_per_area"), wanted)
    assert (per_1000(check.low_kg_per_m2), per_1000(check.high_kg_per_m2)) == pytest.approx((4.75, 5.25))
    assert check.passes
    assert check.findings() == ()
    over = check_rate(parse("5.5 lb / 1000 sq ft", "mass_per_area"), wanted)
    assert not over.passes
    assert "10% over" in over.findings()[0].text
    assert over.to_dict()["ratio"] == pytest.approx(1.1)


def test_course_of_a_known_area():
    """University of Georgia, Calibrating Your Spreader: a course of 1,000 sq ft over the swath."""
    assert course_length(10 * float(FOOT_M), 1000 * SQ_FT) / float(FOOT_M) == pytest.approx(100)


def test_rate_from_trays_is_that_of_the_lanes():
    """A triangle laid a half base apart gives the rate of its middle everywhere (derived here)."""
    middle = 0.02
    test = typed([0, middle / 2, middle, middle / 2, 0], 1.0)
    assert rate_from_trays(test, tray_area_m2=1.0, spacing_m=2.0) == pytest.approx(middle)
    assert rate_from_trays(test, tray_area_m2=0.5, spacing_m=2.0, passes=2) == pytest.approx(middle)


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: rate_from_area(1.0, 0.0), "an area of 0 m² has no rate"),
        (lambda: rate_from_area(-1.0, 1.0), "cannot have been used"),
        (lambda: course_length(0.0, 1.0), "measure the swath first"),
        (lambda: check_rate(1.0, 0.0), "the rate that is wanted is nothing"),
        (lambda: rate_from_trays(typed([0, 1, 0], 1.0), tray_area_m2=0, spacing_m=1), "measure a tray"),
        (lambda: correct(runs((4, 2, 500))[0], 0.0, 1.0), "nothing was planned"),
        (lambda: correct(runs((4, 2, 500))[0], 1.0, -1.0), "rest of -1 m²"),
    ],
)
def test_bad_checks(call, says):
    with pytest.raises(LawnmapError, match=says):
        call()
