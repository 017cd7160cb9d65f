"""Deeds: calls as written, Lot 17 against its published area, and a good deed spoiled field by field."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Point

from lawnmap.errors import ChoiceError, LawnmapError, QuantityError, ShapeError
from lawnmap.survey.deed.curves import Curve, work_out
from lawnmap.survey.deed.door import read_deed
from lawnmap.survey.deed.words import azimuth, degrees, distance_m
from lawnmap.survey.source import Source

# Lot 17 of Jerry Mahun, Open Access Surveying Library (jerrymahun.com), self-study COGO Intersections
# and Curves problem 2, written as calls to two decimals from its published bearings and curves.
# Published area 124,740 sq ft, to the nearest 10.
LOT_17 = """
Beginning at point B (N 1000.00, E 500.00);
thence S 77-27-10 E 137.00 feet;
thence along a curve to the left, radius 200.00 feet, delta 38-30-00, arc 134.39 feet, chord bears N 83-17-50 E 131.88 feet;
thence along a curve to the right, radius 300.00 feet, delta 30-00-00, arc 157.08 feet, chord bears N 79-02-50 E 155.29 feet;
thence along a curve to the right, radius 30.00 feet, delta 75-00-00, arc 39.27 feet, chord bears S 48-27-10 E 36.53 feet;
thence along a curve to the right, radius 400.00 feet, delta 15-00-00, arc 104.72 feet, chord bears S 03-27-10 E 104.42 feet;
thence S 04-02-50 W 203.44 feet;
thence N 84-09-35 W 424.16 feet;
thence N 03-02-00 W 273.48 feet to the point of beginning.
"""
SQUARE = "N 0-00-00 E 100 ft\nN 90-00-00 E 100 ft\nS 0-00-00 E 100 ft\nN 90-00-00 W 100 ft\n"


def only(text, **choices):
    (feature,) = read_deed(text, Source(**choices)).features
    return feature.shape


def codes(text, **choices):
    return [found.code for found in read_deed(text, Source(**choices)).findings]


@pytest.mark.parametrize("balance", [False, True])
def test_lot_17(balance):
    lot = only(LOT_17, balance=balance)
    assert lot.area == pytest.approx(124_740, abs=5)
    # Corners D, F and H as published, north before east.
    for north, east in [(985.63, 764.70), (990.91, 944.50), (683.74, 936.43)]:
        assert lot.exterior.distance(Point(east, north)) < 0.02


def test_lot_17_tells_its_closure_and_a_second_area():
    sheet = read_deed(LOT_17, Source())
    assert sheet.unit == "ft"
    assert [found.code for found in sheet.findings] == ["misclosure", "area-twice"]
    assert {found.severity for found in sheet.findings} == {"note"}
    closure, areas = (found.text for found in sheet.findings)
    assert "0.004 ft in 1,473.54 ft: 1:3" in closure
    assert "124,74" in areas


def test_lot_17_with_tangent_curves_that_have_no_chord():
    """The curves are tangent to each other, as the problem says: radius and angle are enough."""
    bare = "".join(line.split(", arc")[0] + ";\n" for line in LOT_17.strip().splitlines())
    assert only(bare).area == pytest.approx(124_740, abs=5)


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("S 77-27-10 E", 180 - (77 + 27 / 60 + 10 / 3600)),
        ("N 26°10' E", 26 + 10 / 60),
        ("N26°10'30\"W", 360 - (26 + 10 / 60 + 30 / 3600)),
        ("South 45 degrees 30 minutes 00 seconds West", 225.5),
        ("S 76.215 W", 256.215),
        ("azimuth 102-32-50", 102 + 32 / 60 + 50 / 3600),
        ("Az 284.5", 284.5),
        ("due West", 270),
        ("North", 0),
    ],
)
def test_directions(text, value):
    assert azimuth(text)[0] == pytest.approx(value, abs=1e-9)


# Vara: 36 varas are 100 ft (Texas, statute of 17 June 1919); chain, rod and link: NIST Handbook 44, App. C.
@pytest.mark.parametrize(
    ("text", "feet"),
    [
        ("137.00 feet", 137), ("1,320.5 ft", 1320.5), ("12.5'", 12.5), ("36 varas", 100), ("2 chains 35 links", 155.1),
        ("80 chains", 5280), ("4 rods", 66), ("4 perches", 66), ("5 feet 6 inches", 5.5), ("10 yds", 30),
    ],
)  # fmt: skip
def test_distances(text, feet):
    assert distance_m(text, "ft")[0] == pytest.approx(feet * 0.3048, rel=1e-12)
    assert distance_m(text, "us_survey_ft")[0] == pytest.approx(feet * 1200 / 3937, rel=1e-12)


def test_both_feet_stay_apart():
    """304,800 m are 1,000,000 ft and 999,998 US survey ft (E. McKay, National Geodetic Survey)."""
    assert distance_m("1000000 feet", "ft")[0] == pytest.approx(304_800, rel=1e-15)
    assert distance_m("999998 US survey feet", "ft")[0] == pytest.approx(304_800, rel=1e-12)
    assert distance_m("304800 m", "us_survey_ft")[0] == 304_800


def test_an_acre_of_varas():
    """5,645.376 square varas are an acre (uslegal.com, Texas land measures)."""
    side = math.sqrt(5645.376)
    calls = SQUARE.replace("100 ft", f"{side:.9f} varas")
    assert only(calls).area == pytest.approx(43_560, rel=1e-6)
    assert "vara-assumed" in codes(calls)


@pytest.mark.parametrize(
    ("calls", "choices", "unit"),
    [
        (SQUARE, {}, "ft"),
        (SQUARE, {"local_units": "US survey ft"}, "us_survey_ft"),
        (SQUARE.replace("ft", "m"), {}, "m"),
        (SQUARE.replace(" ft", ""), {"local_units": "m"}, "m"),
        (SQUARE.replace("100 ft", "100 US survey feet"), {}, "us_survey_ft"),
    ],
)
def test_which_unit_is_recorded(calls, choices, unit):
    sheet = read_deed(calls, Source(**choices))
    assert sheet.unit == unit
    assert sheet.features[0].shape.area == pytest.approx(10_000, rel=1e-12)


def test_metres_read_in_feet():
    assert only(SQUARE.replace("ft", "m"), local_units="ft").area == pytest.approx(10_000 / 0.3048**2)


def test_five_courses_balanced_or_not():
    """Purdue University ASM 215: the compass rule moves the corners to the published coordinates."""
    calls = "Beginning at N 10000, E 10000\nN 26-10 E 285.1 ft\nS 75-25 E 610.45 ft\nS 15-30 W 720.48 ft\nN 1-42 W 203.0 ft\nN 53-06 W 647.02 ft"
    corners = [tuple(point) for point in only(calls, balance=True).exterior.coords]
    assert corners[3] == pytest.approx((10523.62, 9408.37), abs=0.02)
    text = read_deed(calls, Source(balance=True)).findings[0].text
    assert "1:2,800" in text
    assert "compass rule" in text


def test_commencing_elsewhere():
    calls = (
        "Commencing at the corner (N 500, E 500); thence N 90-00-00 E 50.00 feet to the Point of Beginning;\n"
        + "".join(f"thence {line};\n" for line in SQUARE.splitlines())
    )
    assert only(calls).bounds == pytest.approx((550, 500, 650, 600))


def test_calls_that_run_over_lines():
    calls = "Beginning at an iron pin;\nthence N 0-00-00 E\n100 feet; thence N 90-00-00 E, 100\nfeet; thence S 0-00-00 E 100 feet;\nthence N 90-00-00 W 100 feet to the place of beginning, containing 0.23 acres."
    assert only(calls).area == pytest.approx(10_000)


def test_words_about_neighbours_are_no_calls():
    calls = SQUARE.replace(
        "N 90-00-00 E 100 ft",
        "along the north line of Lot 16, N 90-00-00 E a distance of 100.00 ft to an iron pin found",
    )
    assert only(calls).area == pytest.approx(10_000)


def test_several_tracts_with_roles():
    calls = f"[lawn] Front\nBeginning at N 0, E 0\n{SQUARE}\n[house] Main\nBeginning at N 10, E 10\n{SQUARE.replace('100', '20')}"
    lawn, house = read_deed(calls, Source()).features
    assert (lawn.attributes["role"], lawn.attributes["name"]) == ("lawn", "Front")
    assert (house.attributes["kind"], house.shape.area) == ("house", pytest.approx(400))


@pytest.mark.parametrize(
    ("old", "new", "fault"),
    [
        ("S 04-02-50 W", "S 94-02-50 W", r"line 8: the bearing .* is beyond 90°"),
        ("S 04-02-50 W", "S 04-62-50 W", r"line 8: .* 60 minutes or seconds"),
        ("S 04-02-50 W 203.44", "203.44", r"line 8: .* a distance but no bearing"),
        ("203.44 feet", "203.44", r"line 8: .* no distance with a unit"),
        ("203.44 feet", "2034.4 feet", "the calls miss closing by"),
        ("S 04-02-50 W", "N 04-02-50 E", "the calls miss closing by"),
        ("thence S 04-02-50 W 203.44 feet;", "", "the calls miss closing by"),
        ("curve to the left", "curve", "line 4: .* left or right"),
        ("radius 200.00 feet, delta 38-30-00, arc 134.39 feet, ", "", "line 4: a curve needs two of"),
        ("radius 30.00", "radius 3.00", "line 6: the arc of this curve is 10 times"),
        ("radius 30.00 feet", "radius 30.00", 'line 6: "30.00" has no unit'),
    ],
)
def test_spoiled_in_one_place(old, new, fault):
    assert old in LOT_17
    with pytest.raises(LawnmapError, match=fault):
        read_deed(LOT_17.replace(old, new), Source())


@pytest.mark.parametrize(
    ("old", "new"),
    [("arc 157.08", "arc 157.48"), ("chord bears N 79-02-50 E 155.29", "chord bears N 79-02-50 E 155.79")],
)
def test_redundant_parts_are_checked(old, new):
    assert old in LOT_17
    assert "curve-disagrees" in codes(LOT_17.replace(old, new))


def test_a_left_curve_read_as_right_is_seen():
    """The chord stays where it is, so closure tells nothing; a curve called tangent gives it away."""
    text = LOT_17.replace("curve to the right, radius 300", "tangent curve to the right, radius 300")
    assert "curve-disagrees" not in codes(text)
    assert "curve-disagrees" in codes(text.replace("tangent curve to the right", "tangent curve to the left"))


def test_nothing_to_read():
    with pytest.raises(ShapeError, match="there are no calls in it"):
        read_deed("All that certain lot of land.", Source())
    with pytest.raises(ShapeError, match="one call encloses no ground"):
        read_deed("N 10-00-00 E 5 ft", Source())
    with pytest.raises(ChoiceError, match='"lwan" is not a role'):
        read_deed(f"[lwan] X\n{SQUARE}", Source())
    with pytest.raises(QuantityError, match='"stone" is not a unit of length'):
        read_deed(SQUARE, Source(local_units="stone"))


@given(st.floats(10, 1000), st.floats(5, 300), st.booleans())
def test_a_curve_from_any_two_parts(radius, delta, left):
    turn = math.radians(delta)
    parts = {
        "radius": radius,
        "delta_deg": delta,
        "arc": radius * turn,
        "chord": 2 * radius * math.sin(turn / 2),
    }
    pairs = [
        ("radius", "delta_deg"),
        ("radius", "arc"),
        ("delta_deg", "arc"),
        ("delta_deg", "chord"),
        ("arc", "chord"),
    ]
    pairs += [("radius", "chord")] if delta < 175 else []  # chord and radius leave two arcs open
    for pair in pairs:
        bend = work_out(Curve(left, **{key: parts[key] for key in pair}))
        assert bend.radius == pytest.approx(radius, rel=1e-6)
        assert bend.delta_deg == pytest.approx(delta if left else -delta, rel=1e-6)
    assert not work_out(Curve(left, **parts)).doubts


def test_angles_read_as_written():
    assert degrees("38-30-00") == 38.5
    with pytest.raises(QuantityError, match="not an angle"):
        degrees("steep")


def test_commas_are_no_beginning():
    assert only("N , E ,\n" + SQUARE).area == pytest.approx(10_000)


@pytest.mark.parametrize(
    "text",
    ["thence\n" + "a\n" * 20_000, "thence N" + " " * 190_000 + "E 5", "thence N " + "1-" * 90_000],
    ids=["lines", "blanks", "hyphens"],
)
def test_endless_runs_are_refused(text):
    """Patterns that try every length of a run of blanks would take minutes here."""
    with pytest.raises(ShapeError, match="there are no calls in it"):
        read_deed(text, Source())


@settings(max_examples=200, deadline=None)
@given(st.randoms(use_true_random=False))
def test_mutated_deeds_never_break_out(rng):
    text = list(LOT_17)
    for _ in range(rng.randint(1, 10)):
        at = rng.randrange(len(text))
        how = rng.random()
        if how < 0.5:
            text[at] = rng.choice("0123456789-. ,;NSEW'°\"aft\n[]#")
        elif how < 0.8:
            del text[at : at + rng.randint(1, 30)]
        else:
            text[at:at] = text[at : at + rng.randint(1, 60)]
        text = text or [" "]
    said = ""
    try:
        features = read_deed("".join(text), Source()).features
    except LawnmapError as fault:
        features, said = (), str(fault)
    assert features or said  # a figure or a sentence, and nothing else breaks out


@pytest.mark.parametrize(("last", "code"), [("100.05", "misclosure"), ("100.12", "misclosure-wide")])
def test_a_closure_worse_than_1_in_5000_is_doubted(last, code):
    """Union County, Illinois, asks for 1:5,000 of a boundary survey, as do others."""
    assert code in codes(SQUARE.replace("N 90-00-00 W 100 ft", f"N 90-00-00 W {last} ft"))


def test_a_heading_may_tell_how_thin_a_lawn_stands():
    (feature,) = read_deed("[lawn thin] Front\n" + SQUARE, Source()).features
    assert feature.attributes == {"name": "Front", "role": "lawn", "density": "thin"}
