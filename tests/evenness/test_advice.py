"""Advice: every row is what that plan really scores, and the order is by what shows."""

import pytest
from shapely.geometry import box

from lawnmap.errors import LawnmapError
from lawnmap.evenness.advice import advise, advise_spacing
from lawnmap.evenness.score import Throwing, score
from lawnmap.evenness.shapes import box as curtain
from lawnmap.evenness.shapes import triangle
from lawnmap.evenness.strips import LaneEnds
from lawnmap.lanes import Rig, lay
from lawnmap.units import METRIC

SWATH = 1.8
ROTARY = Throwing(triangle(SWATH), LaneEnds(feather_m=0.9))


@pytest.fixture(scope="module")
def ground():
    return box(0, 0, 30, 20).difference(box(10, 8, 16, 13))


@pytest.fixture(scope="module")
def rows(ground):
    return advise(ground, Rig(swath_m=SWATH), ROTARY)


def test_best_comes_first(rows):
    now = next(row for row in rows if row.now)
    spills = [row.off_lawn_share > now.off_lawn_share + 0.005 for row in rows]
    cost = [row.outside_share + row.off_lawn_share for row in rows]
    assert spills == sorted(spills), "what throws more off the lawn stands last"
    assert cost[: spills.count(False)] == sorted(cost[: spills.count(False)])
    assert sum(row.now for row in rows) == 1
    assert all(
        row.outside_share + row.off_lawn_share <= now.outside_share + now.off_lawn_share for row in rows
    )


def test_a_shield_is_named_and_its_figures_are_those_of_the_plan(ground, rows):
    shielded = next(row for row in rows if "shield" in row.change)
    found = score(
        lay(ground, Rig(swath_m=SWATH)),
        ground,
        Throwing(ROTARY.pattern, ROTARY.ends, shield=True),
        cell_m=0.1 * SWATH,
    )
    assert shielded.cv == pytest.approx(found.whole_cv)
    assert shielded.off_lawn_share == pytest.approx(found.off_lawn_share)
    assert "m to walk" in shielded.line(METRIC)
    assert shielded.to_dict()["path_length_m"] == shielded.path_length_m


def test_too_wide_a_spacing_is_told_with_the_effective_swath(ground):
    rows = advise(ground, Rig(swath_m=1.6 * SWATH, passes="one direction"), ROTARY, units=METRIC)
    assert any("1.8 m apart, the effective swath" in row.change for row in rows)


def test_ground_that_cannot_be_laid_is_an_error():
    with pytest.raises(LawnmapError, match="no ground to lay lanes on"):
        advise(box(0, 0, 0, 0), Rig(swath_m=SWATH), ROTARY)


@pytest.mark.parametrize(
    ("throw", "spacing", "says"),
    [
        (triangle(1.8), 1.8, "1.8 m apart suit this throw"),
        (triangle(1.2), 1.8, "1.61 m keeps them within 15%"),
        (triangle(1.8, left_share=0.3), 1.8, "lopsided: walked round and round it varies by 16%"),
        (curtain(1.2), 1.2, "6% of the ground gets nothing; overlap the lanes to 1 m"),
        (triangle(1.8), 2.35, "absorbs it"),
    ],
)
def test_advice_on_spacing(throw, spacing, says):
    found = advise_spacing(throw, spacing, wander_m=0.12, units=METRIC)
    assert any(says in line for line in found.says), found.says
    assert found.to_dict()["spacing_m"] == spacing
