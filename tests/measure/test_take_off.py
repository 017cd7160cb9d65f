"""Net areas, cut-outs and findings of one yard: figures that a person can check on squared paper."""

import dataclasses
import math

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely import affinity
from shapely.geometry import LineString, MultiPolygon, Point, Polygon, box

from lawnmap.errors import ChoiceError, InputError, ShapeError
from lawnmap.measure import ASSUMED_SIGMA_M, Ground, take_off, take_off_many
from lawnmap.yard import Obstacle, Origin, Plane, Water, Yard, Zone


def yard(*zones, obstacles=(), water=(), **more):
    return Yard(
        "Lot 1",
        tuple(Zone(name, shape, "thin") for name, shape in zones),
        tuple(Obstacle(name, "other", shape) for name, shape in obstacles),
        water,
        **more,
    )


def codes(takeoff):
    return [finding.code for finding in takeoff.findings]


SURVEYED = Ground(vertex_accuracy_m=0.01)


@pytest.mark.parametrize(
    ("name", "obstacles", "net_m2", "taken_m2"),
    [
        ("none", [], 1000, {}),
        ("inside", [("house", box(5, 5, 15, 15))], 900, {"house": 100}),
        ("across the edge", [("drive", box(20, -5, 24, 5))], 980, {"drive": 20}),
        ("through the lawn", [("path", box(20, -5, 22, 30))], 950, {"path": 50}),
        ("on the edge", [("shed", box(0, 5, 4, 10))], 980, {"shed": 20}),
        ("side by side", [("house", box(5, 5, 15, 15)), ("porch", box(15, 5, 18, 10))], 885, {"house": 100, "porch": 15}),
        ("one over another", [("house", box(5, 5, 15, 15)), ("tree", box(13, 5, 18, 10))], 885, {"house": 100, "tree": 15}),
        ("one in another", [("bed", box(5, 5, 15, 15)), ("tree", box(6, 6, 8, 8))], 900, {"bed": 100}),
        ("tree first", [("tree", box(6, 6, 8, 8)), ("bed", box(5, 5, 15, 15))], 900, {"tree": 4, "bed": 96}),
        ("inside beside crossing", [("drive", box(20, -5, 24, 5)), ("house", box(5, 5, 15, 15))], 880, {"drive": 20, "house": 100}),
        ("two crossing each other", [("drive", box(20, -5, 24, 5)), ("walk", box(22, -5, 30, 2))], 968, {"drive": 20, "walk": 12}),
        ("ring-shaped bed", [("bed", box(5, 5, 15, 15) - box(8, 8, 12, 12))], 916, {"bed": 84}),
        ("two parts", [("beds", MultiPolygon([box(5, 5, 6, 6), box(8, 8, 9, 9)]))], 998, {"beds": 2}),
        ("far away", [("barn", box(100, 100, 110, 110))], 1000, {}),
        ("next door", [("barn", box(40, 0, 50, 10))], 1000, {}),
    ],
)  # fmt: skip
def test_obstacles_are_taken_out_once(name, obstacles, net_m2, taken_m2):
    takeoff = take_off(yard(("lawn", box(0, 0, 40, 25)), obstacles=obstacles), SURVEYED)
    assert takeoff.net_area_m2 == pytest.approx(net_m2, rel=1e-12)
    assert takeoff.zones[0].ground.area == pytest.approx(net_m2, rel=1e-12)
    assert {cutout.obstacle: cutout.area_m2 for cutout in takeoff.cutouts} == pytest.approx(
        taken_m2, rel=1e-9
    )
    assert takeoff.gross_area_m2 == 1000
    assert codes(takeoff) == (["obstacle-outside"] if name in {"far away", "next door"} else [])


def test_an_obstacle_inside_keeps_its_walls_to_the_last_digit():
    house = Polygon([(5.1, 5.3), (15.7, 5.9), (14.2, 15.1)])
    net = take_off(yard(("lawn", box(0, 0, 40, 25)), obstacles=[("house", house)])).zones[0].ground
    assert set(net.interiors[0].coords) == set(house.exterior.coords)


def test_zones_that_overlap_are_counted_once_and_the_earlier_has_the_ground():
    takeoff = take_off(yard(("front", box(0, 0, 20, 10)), ("back", box(15, 0, 35, 10))), SURVEYED)
    assert [zone.net_area_m2 for zone in takeoff.zones] == [200, 150]
    assert [zone.gross_area_m2 for zone in takeoff.zones] == [200, 200]
    assert takeoff.gross_area_m2 == takeoff.net_area_m2 == 350
    (found,) = takeoff.findings
    assert (found.code, found.where, found.mended) == ("zones-overlap", 'zone "back"', True)
    assert found.text.startswith("50 m² (538 sq ft)")


def test_zones_that_share_a_fence_do_not_overlap():
    assert not take_off(yard(("front", box(0, 0, 20, 10)), ("back", box(20, 0, 35, 10))), SURVEYED).findings


def test_a_zone_may_lie_within_the_hole_of_another():
    ring = box(0, 0, 30, 30) - box(10, 10, 20, 20)
    takeoff = take_off(
        yard(("ring", ring), ("middle", box(10, 10, 20, 20)), obstacles=[("tree", box(14, 14, 15, 15))])
    )
    assert [zone.net_area_m2 for zone in takeoff.zones] == [800, 99]


def test_a_zone_of_two_parts_with_a_house_in_one():
    lawn = MultiPolygon([box(0, 0, 10, 10), box(20, 0, 30, 10)])
    takeoff = take_off(yard(("lawn", lawn), obstacles=[("house", box(22, 2, 28, 8))]))
    assert takeoff.net_area_m2 == pytest.approx(164)


def test_an_obstacle_across_two_zones_is_cut_from_both():
    takeoff = take_off(
        yard(
            ("front", box(0, 0, 20, 10)),
            ("back", box(20, 0, 40, 10)),
            obstacles=[("house", box(15, 2, 27, 8))],
        )
    )
    assert [(cutout.zone, cutout.area_m2) for cutout in takeoff.cutouts] == [("front", 30), ("back", 42)]


@pytest.mark.parametrize("cover", [box(-1, -1, 11, 11), box(0, 0, 10, 10)])
def test_a_zone_that_is_covered_has_no_lawn(cover):
    takeoff = take_off(yard(("lawn", box(0, 0, 10, 10)), obstacles=[("lot", cover)]), SURVEYED)
    assert codes(takeoff) == ["zone-without-lawn"]
    assert takeoff.net_area_m2 == takeoff.net_area_se_m2 == 0


def test_slope_stretches_the_surface_but_not_the_plan():
    zone = Zone("bank", box(0, 0, 10, 10), "thin", slope_percent=20)
    takeoff = take_off(Yard("y", (zone,)))
    assert takeoff.net_area_m2 == 100
    # 20 % of slope: 1.0198, a plane's area over the cosine of its angle
    assert takeoff.zones[0].surface_area_m2 == pytest.approx(100 / math.cos(math.atan(0.2)))
    assert takeoff.zones[0].surface_area_m2 == pytest.approx(101.98, abs=0.005)


@pytest.mark.parametrize(
    ("density", "cover", "expected"),
    [
        ("full", None, ("full", "stated")),
        ("full", 5, ("full", "stated")),
        (None, 14.9, ("bare", "cover")),
        (None, 50, ("patchy", "cover")),
        (None, None, ("thin", "default")),
    ],
)
def test_density_is_stated_or_graded_or_the_default_with_a_finding(density, cover, expected):
    takeoff = take_off(Yard("y", (Zone("lawn", box(0, 0, 30, 30), density, cover),)), SURVEYED)
    assert (takeoff.zones[0].density, takeoff.zones[0].density_from) == expected
    assert codes(takeoff) == (["density-default"] if expected[1] == "default" else [])


def test_the_user_replaces_the_cover_table_and_the_default():
    ground = Ground(
        default_density="patchy", thin_from=0.1, patchy_from=0.3, full_from=0.6, vertex_accuracy_m=0.01
    )
    zones = (Zone("a", box(0, 0, 9, 9), None, 40), Zone("b", box(10, 0, 19, 9)))
    takeoff = take_off(Yard("y", zones), ground)
    assert [zone.density for zone in takeoff.zones] == ["patchy", "patchy"]
    assert codes(takeoff) == []  # the user has said what a zone without a word is


def test_a_cover_table_must_rise():
    with pytest.raises(ChoiceError, match=r"\[ground\]: the cover table 15, 90, 80 % does not rise"):
        Ground.read({"patchy_from": "90 %"}, file="job.toml")


@pytest.mark.parametrize(
    ("side_m", "density", "by_hand"), [(3, "bare", True), (3.1, "bare", False), (1, "thin", False)]
)
def test_bare_spots_up_to_100_square_feet_are_seeded_by_hand(side_m, density, by_hand):
    takeoff = take_off(Yard("y", (Zone("spot", box(0, 0, side_m, side_m), density),)))
    assert takeoff.zones[0].by_hand is by_hand


class TestWater:
    BANK = LineString([(-50, 0), (50, 0)])

    def test_a_strip_along_the_bank_is_not_fed(self):
        lot = yard(("lawn", box(0, 0, 40, 25)), water=(Water("creek", self.BANK, 5.0),))
        takeoff = take_off(lot, SURVEYED)
        assert takeoff.net_area_m2 == 1000
        # never narrower than stated; wider by the chord of the rounded ends, 0.12 % at most
        assert 200 <= takeoff.zones[0].unfed_area_m2 <= 200 * 1.0013
        assert not takeoff.findings

    def test_new_yorks_20_feet_are_taken_and_told_where_no_setback_is_stated(self):
        takeoff = take_off(yard(("lawn", box(0, 0, 40, 25)), water=(Water("creek", self.BANK),)), SURVEYED)
        assert takeoff.zones[0].unfed_area_m2 == pytest.approx(40 * 20 * 0.3048, rel=0.0013)
        assert codes(takeoff) == ["setback-assumed"]
        assert "20 ft (6.1 m)" in takeoff.findings[0].text

    def test_a_setback_in_the_job_file_is_no_assumption(self):
        ground = Ground.read({"water_setback": "25 ft", "vertex_accuracy": "1 in"}, file="job.toml")
        takeoff = take_off(yard(("lawn", box(0, 0, 40, 25)), water=(Water("creek", self.BANK),)), ground)
        assert takeoff.zones[0].unfed_area_m2 == pytest.approx(40 * 7.62, rel=0.0013)
        assert not takeoff.findings

    def test_a_pond_is_not_lawn(self):
        pond = Point(20, 12).buffer(3)
        takeoff = take_off(yard(("lawn", box(0, 0, 40, 25)), water=(Water("pond", pond, 1.0),)), SURVEYED)
        assert takeoff.net_area_m2 == pytest.approx(1000 - pond.area)
        assert [(cutout.obstacle, cutout.kind) for cutout in takeoff.cutouts] == [("pond", "other")]
        assert takeoff.zones[0].unfed_area_m2 == pytest.approx(math.pi * (16 - 9), rel=0.01)

    def test_slope_counts_on_the_strip_too(self):
        zone = Zone("bank", box(0, 0, 40, 25), "thin", slope_percent=75)
        takeoff = take_off(Yard("y", (zone,), water=(Water("creek", self.BANK, 5.0),)))
        assert takeoff.zones[0].unfed_area_m2 == pytest.approx(250, rel=0.0013)

    def test_lawn_that_only_touches_the_strip_keeps_nothing_of_it(self):
        lot = yard(("lawn", box(0, 5, 40, 25)), water=(Water("pond", box(0, 0, 40, 5), 0.0),))
        assert take_off(lot).zones[0].unfed_area_m2 == 0


@pytest.mark.parametrize(
    ("shape", "obstacles", "where"),
    [
        (Polygon([(0, 0), (10, 10), (10, 0), (0, 10)]), [], 'yard "Lot 1", zone "lawn"'),
        (
            box(0, 0, 40, 25),
            [("bow", Polygon([(5, 5), (9, 9), (9, 5), (5, 9)]))],
            'yard "Lot 1", obstacle "bow"',
        ),
        (
            box(0, 0, 8, 8),
            [("bow", Polygon([(5, 5), (9, 9), (9, 5), (5, 9)]))],
            'yard "Lot 1", obstacle "bow"',
        ),
    ],
)
def test_an_outline_that_crosses_itself_is_refused_with_the_place(shape, obstacles, where):
    with pytest.raises(ShapeError, match=f"{where}: the outline is not simple .*self-intersection"):
        take_off(yard(("lawn", shape), obstacles=obstacles))


def test_crossed_zones_are_found_among_several_yards():
    bad = yard(("a", box(0, 0, 5, 5)), ("b", Polygon([(0, 0), (10, 10), (10, 0), (0, 10)])))
    with pytest.raises(ShapeError, match='zone "b"'):
        take_off_many([yard(("lawn", box(0, 0, 9, 9))), bad])


def test_a_yard_without_lawn_is_refused():
    with pytest.raises(
        InputError, match='yard "empty": there is no zone of lawn; give a polygon the role lawn'
    ):
        take_off(Yard("empty", ()))


class TestCornerAccuracy:
    LAWN = ("lawn", box(0, 0, 40, 25))

    def test_the_users_word_goes_before_the_files(self):
        lot = yard(self.LAWN, origin=Origin(vertex_sigma_m=0.3, method="phone"))
        assert take_off(lot, SURVEYED).vertex_sigma_m == 0.01
        assert take_off(lot).vertex_sigma_m == 0.3
        assert take_off(lot).vertex_sigma_from == "phone"
        assert not codes(take_off(lot))

    def test_a_guess_is_told(self):
        takeoff = take_off(yard(self.LAWN))
        assert takeoff.vertex_sigma_m == ASSUMED_SIGMA_M
        assert codes(takeoff) == ["vertex-accuracy-assumed"]
        assert "0.5 ft (0.15 m)" in takeoff.findings[0].text

    def test_an_area_of_which_little_is_known_is_told(self):
        takeoff = take_off(yard(("lawn", box(0, 0, 10, 10))), Ground(vertex_accuracy_m=3.0))
        assert codes(takeoff) == ["area-doubtful"]


# What must hold for any yard.

corner = st.integers(-20, 60)


@st.composite
def stars(draw, east=(5, 35), north=(5, 25), radius=(2.0, 12.0)):
    """A star-shaped outline; its corners are drawn one by one, so that no two yards are alike."""
    middle = draw(st.floats(*east)), draw(st.floats(*north))
    radii = draw(st.lists(st.floats(*radius), min_size=3, max_size=9))
    turn = draw(st.floats(0, 6))
    step = 2 * math.pi / len(radii)
    return Polygon(
        [
            (middle[0] + r * math.cos(turn + i * step), middle[1] + r * math.sin(turn + i * step))
            for i, r in enumerate(radii)
        ]
    )


yards = st.builds(
    lambda zones, obstacles: yard(
        *[(f"zone {i}", shape) for i, shape in enumerate(zones)],
        obstacles=[(f"thing {i}", shape) for i, shape in enumerate(obstacles)],
    ),
    st.lists(stars(radius=(5.0, 25.0)), min_size=1, max_size=4),
    st.lists(stars(), max_size=5),
)


@settings(max_examples=40, deadline=None)
@given(yards)
def test_the_zones_together_are_their_union_less_the_obstacles(lot):
    takeoff = take_off(lot)
    union = shapely.union_all([zone.polygon for zone in lot.zones])
    solid = shapely.union_all([obstacle.polygon for obstacle in lot.obstacles])
    assert takeoff.gross_area_m2 == pytest.approx(union.area, rel=1e-9)
    assert takeoff.net_area_m2 == pytest.approx((union - solid).area, rel=1e-9, abs=1e-9)


@settings(max_examples=40, deadline=None)
@given(yards)
def test_gross_is_net_and_cutouts_and_overlap(lot):
    takeoff = take_off(lot)
    earlier = Polygon()
    for zone, shape in zip(takeoff.zones, lot.zones, strict=True):
        overlap = shape.polygon.intersection(earlier).area
        cut = sum(cutout.area_m2 for cutout in takeoff.cutouts if cutout.zone == zone.name)
        assert zone.gross_area_m2 == pytest.approx(zone.net_area_m2 + cut + overlap, rel=1e-9, abs=1e-9)
        assert all(not zone.ground.intersection(o.polygon).area > 1e-9 for o in lot.obstacles)
        earlier |= shape.polygon


def moved(lot, change):
    return dataclasses.replace(
        lot,
        zones=tuple(dataclasses.replace(zone, polygon=change(zone.polygon)) for zone in lot.zones),
        obstacles=tuple(dataclasses.replace(item, polygon=change(item.polygon)) for item in lot.obstacles),
    )


@settings(max_examples=40, deadline=None)
@given(yards, st.floats(0, 360), st.floats(-1e4, 1e4))
def test_turning_and_shifting_change_no_area(lot, angle, shift):
    there = take_off(
        moved(
            lot, lambda shape: affinity.translate(affinity.rotate(shape, angle, origin=(0, 0)), shift, -shift)
        )
    )
    here = take_off(lot)
    for one, other in zip(here.zones, there.zones, strict=True):
        assert other.net_area_m2 == pytest.approx(one.net_area_m2, rel=1e-8, abs=1e-6)


@settings(max_examples=40, deadline=None)
@given(yards, st.integers(0, 8), st.booleans())
def test_where_a_ring_starts_and_which_way_it_winds_change_nothing(lot, start, back):
    def change(shape):
        points = list(shape.exterior.coords)[:-1]
        points = points[start % len(points) :] + points[: start % len(points)]
        return Polygon(points[::-1] if back else points)

    here, there = take_off(lot), take_off(moved(lot, change))
    for one, other in zip(here.zones, there.zones, strict=True):
        assert other.net_area_m2 == pytest.approx(one.net_area_m2, rel=1e-9, abs=1e-9)
        assume(one.net_area_m2 > 1e-6)
        assert other.net_area_se_m2 == pytest.approx(one.net_area_se_m2, rel=1e-5)


@settings(max_examples=15, deadline=None)
@given(st.lists(yards, max_size=3))
def test_many_yards_at_once_are_measured_as_one_by_one(lots):
    together = take_off_many(lots)
    for lot, takeoff in zip(lots, together, strict=True):
        alone = take_off(lot)
        assert takeoff.yard is lot
        for one, other in zip(takeoff.zones, alone.zones, strict=True):
            assert one.net_area_m2 == other.net_area_m2
        assert takeoff.net_area_se_m2 == pytest.approx(alone.net_area_se_m2, rel=1e-6)
        assert takeoff.findings == alone.findings


@settings(max_examples=15, deadline=None)
@given(st.lists(yards, min_size=1, max_size=3))
def test_looking_at_all_pairs_finds_what_a_search_tree_finds(lots):
    pairwise = take_off_many(lots)
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("lawnmap.measure.kernel._FEW_PAIRS", -1)
        patch.setattr("lawnmap.measure.precision._FEW_PAIRS", -1)
        planted = take_off_many(lots)
    for one, other in zip(pairwise, planted, strict=True):
        assert one.cutouts == other.cutouts
        assert one.net_area_m2 == other.net_area_m2
        assert one.net_area_se_m2 == pytest.approx(other.net_area_se_m2, rel=1e-6)


def test_to_dict_keeps_the_keys_that_others_build_on():
    figures = take_off(yard(("lawn", box(0, 0, 40, 25)), obstacles=[("house", box(5, 5, 15, 15))])).to_dict()
    assert {"net_area_m2", "gross_area_m2", "zones", "findings"} <= figures.keys()
    assert {"name", "density", "gross_area_m2", "net_area_m2", "net_area_se_m2"} <= figures["zones"][0].keys()
    assert figures["findings"][0].keys() == {"code", "text", "where", "mended", "severity"}
    assert figures["cutouts"] == [{"obstacle": "house", "kind": "other", "zone": "lawn", "area_m2": 100.0}]


def test_to_frame_has_a_row_for_every_zone_with_its_net_ground():
    frame = take_off(yard(("lawn", box(0, 0, 40, 25)), obstacles=[("house", box(5, 5, 15, 15))])).to_frame()
    assert frame.loc[0, "net_area_m2"] == frame.geometry[0].area == 900
    assert frame.crs is None


def test_a_local_yard_has_no_second_figure_and_a_placed_one_has():
    lawn = ("lawn", box(-20, -12, 20, 13))
    assert take_off(yard(lawn)).geodesic_area_m2 is None
    plane = Plane("EPSG:4326", "EPSG:4326", -93.0, 44.5, "degree")
    assert take_off(yard(lawn, plane=plane)).geodesic_area_m2 == pytest.approx(1000, abs=0.002)
