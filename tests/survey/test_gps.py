"""Walks with a GPS receiver."""

import numpy as np
import pytest
from pyproj import Geod

from lawnmap.errors import FileError, ShapeError
from lawnmap.measure import take_off
from lawnmap.survey import Source, read
from lawnmap.survey.drift import DRIFT_S, WALKING_M_PER_S, equivalent_sigma

HEAD = '<?xml version="1.0"?><gpx version="1.1" creator="test" xmlns="http://www.topografix.com/GPX/1/1">'
START = (-93.1, 44.9)


def gpx(*tracks, extra=""):
    """A GPX file of tracks: name, type and lists of (east, north) in metres about the start."""
    text = HEAD + extra
    for name, kind, *pieces in tracks:
        text += f"<trk><name>{name}</name><type>{kind}</type>"
        for piece in pieces:
            text += "<trkseg>"
            for east_m, north_m in piece:
                longitude, latitude = at(east_m, north_m)
                text += f'<trkpt lat="{latitude:.9f}" lon="{longitude:.9f}"><ele>250</ele></trkpt>'
            text += "</trkseg>"
        text += "</trk>"
    return text + "</gpx>"


def at(east_m, north_m):
    away = Geod(ellps="WGS84").fwd(*START, np.degrees(np.arctan2(east_m, north_m)), np.hypot(east_m, north_m))
    return away[0], away[1]


def circle(radius_m, count=180, start_deg=0.0, sweep_deg=360.0):
    turn = np.radians(start_deg + np.linspace(0, sweep_deg, count))
    return list(zip(radius_m * np.cos(turn), radius_m * np.sin(turn), strict=True))


def codes(yard):
    return [found.code for found in yard.findings]


SQUARE = [(0, 0), (10, 0), (20, 0), (30, 0), (30, 20), (0, 20)]


def test_a_circle_has_the_area_of_its_polygon(saved):
    """Closed form: n chords about a circle enclose n/2 r² sin(2 pi / n)."""
    path = saved(gpx(("Front lawn", "lawn", circle(20, 181))), "walk.gpx")
    yard = read(path)
    whole = 180 / 2 * 400 * np.sin(2 * np.pi / 180)
    assert yard.zones[0].name == "Front lawn"
    assert yard.origin.format == "GPX"
    assert yard.origin.vertex_sigma_m > 3  # that errors drift together makes the area less sure
    # thinning by up to 0.3 m shrinks a circle of 20 m; the finding says by how much
    (thinned,) = [found for found in yard.findings if found.code == "walk-thinned"]
    said = float(thinned.text.split("area by ")[1].split(" %")[0])
    assert yard.zones[0].polygon.area / whole - 1 == pytest.approx(said / 100, abs=1e-4)
    exact = read(path, source=Source(jitter_m=0))
    assert exact.zones[0].polygon.area == pytest.approx(whole, rel=1e-6)
    assert "walk-thinned" not in codes(exact)


def test_a_walk_that_nearly_closes(saved):
    yard = read(saved(gpx(("Front", "lawn", [*SQUARE, (0, 3)])), "walk.gpx"))
    assert "walk-closed" in codes(yard)
    assert yard.zones[0].polygon.area == pytest.approx(600, rel=1e-4)


def test_a_walk_that_stays_open_is_refused_with_its_gap(saved):
    path = saved(gpx(("Front", "lawn", SQUARE[:-1])), "walk.gpx")
    with pytest.raises(
        ShapeError, match=r'track 1 "Front": the walk ends 118 ft from .*closing_gap = "37 m"'
    ):
        read(path)


def test_a_walk_past_its_start_is_cut(saved):
    """The walker comes back 0.5 m beside the start, crosses the first edge and goes on for 4 m."""
    past = [(-1, 0), *SQUARE[1:], (0.5, 0.5), (0.5, -3)]
    yard = read(saved(gpx(("Front", "lawn", past)), "walk.gpx"))
    assert "walk-overlap" in codes(yard)
    # the square of 600 m² less the strip of 0.5 m by 20 m, halved, and a corner of 0.125 m²
    assert yard.zones[0].polygon.area == pytest.approx(594.875, rel=1e-3)


def test_a_walk_that_crosses_itself_elsewhere_is_refused(saved):
    eight = [(0, 0), (30, 0), (0, 20), (30, 20), (0, 0)]
    with pytest.raises(ShapeError, match="the outline crosses itself at -93"):
        read(saved(gpx(("Front", "lawn", eight)), "walk.gpx"))


def test_pieces_are_joined_or_stand_alone(saved):
    joined = read(saved(gpx(("Front", "lawn", SQUARE[:3], [*SQUARE[2:], SQUARE[0]])), "walk.gpx"))
    assert "walk-joined" in codes(joined)
    assert joined.zones[0].polygon.area == pytest.approx(600, rel=1e-4)
    away = [(east_m + 100, north_m) for east_m, north_m in circle(10)]
    parts = read(saved(gpx(("Front", "lawn", [*SQUARE, SQUARE[0]], away)), "walk.gpx"))
    assert len(parts.zones[0].polygon.geoms) == 2
    with pytest.raises(ShapeError, match="the recording breaks off and goes on"):
        read(saved(gpx(("Front", "lawn", SQUARE[:3], SQUARE[4:])), "walk.gpx"))


def test_beds_water_and_waypoints(saved):
    longitude, latitude = at(1, 1)
    tap = f'<wpt lat="{latitude}" lon="{longitude}"><name>Tap</name><type>refill</type></wpt>'
    yard = read(
        saved(
            gpx(
                ("Front", "lawn", [*SQUARE, SQUARE[0]]),
                ("Roses", "bed", [(5, 5), (10, 5), (10, 9), (5, 5)]),
                ("Creek", "water", [(-5, -5), (-5, 30)]),
                extra=tap,
            ),
            "walk.gpx",
        )
    )
    assert [(o.name, o.kind) for o in yard.obstacles] == [("Roses", "bed")]
    assert yard.water[0].shape.geom_type == "LineString"
    assert (yard.landmarks[0].name, yard.landmarks[0].kind) == ("Tap", "refill")
    assert "gps-accuracy" in codes(yard)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("hello", "it cannot be read"),
        (HEAD + "</gpx>", "there is no walk in it"),
        (HEAD + "<trk>", "it cannot be read"),
        (gpx(("Front", "lawn", [])), "no points|no walk"),
        (gpx(("Front", "lawn", SQUARE)).replace(' lon="-93', ' lon="-1e308', 1), "points without a place"),
        (gpx(("Front", "lawn", [(0, 0)])), "fewer than three points|no points"),
        (gpx(("Front", "lawn", SQUARE[:2])), "fewer than three points|the walk ends"),
        ('<!DOCTYPE x [<!ENTITY a "b">]>' + HEAD + "</gpx>", "declares XML entities"),
    ],
)
def test_bad_files(saved, text, words):
    with pytest.raises((FileError, ShapeError), match=words):
        read(saved(text, "walk.gpx"))


def timed(pace_s, points):
    """A GPX file of one walk with a clock."""
    text = HEAD + "<trk><name>Front</name><type>lawn</type><trkseg>"
    for number, (east_m, north_m) in enumerate(points):
        longitude, latitude = at(east_m, north_m)
        seconds = int(number * pace_s)
        clock = f"2026-05-01T{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}Z"
        text += f'<trkpt lat="{latitude:.9f}" lon="{longitude:.9f}"><time>{clock}</time></trkpt>'
    return text + "</trkseg></trk></gpx>"


def test_the_error_of_an_area_allows_for_the_drift_of_the_receiver(saved):
    """By lot: 20,000 walks whose errors forget themselves in the worst of the times that are tried."""
    ring = np.array(circle(20, 61)[:-1])
    path = saved(timed(2, [*ring.tolist(), ring[0].tolist()]), "walk.gpx")
    takeoff = take_off(read(path, source=Source(jitter_m=0)))
    chance, kept = np.random.default_rng(5), {}
    for drift_s in DRIFT_S:
        keep = np.exp(-2 / drift_s)
        errors = np.empty((20_000, len(ring), 2))
        errors[:, 0] = chance.normal(0, 3, (20_000, 2))
        for i in range(1, len(ring)):
            new = chance.normal(0, 3, (20_000, 2))
            errors[:, i] = keep * errors[:, i - 1] + np.sqrt(1 - keep**2) * new
        east_m, north_m = np.moveaxis(ring + errors, -1, 0)
        twice = (east_m * np.roll(north_m, -1, 1) - np.roll(east_m, -1, 1) * north_m).sum(axis=1)
        kept[drift_s] = (twice / 2).std()
    assert takeoff.net_area_se_m2 == pytest.approx(max(kept.values()), rel=0.03)


def test_without_a_clock_a_walk_has_an_even_pace(saved):
    ring = circle(20, 61)
    side_m = 2 * 20 * np.sin(np.pi / 60)
    clocked = read(saved(timed(side_m / WALKING_M_PER_S, ring), "clock.gpx"))
    plain = read(saved(gpx(("Front", "lawn", ring)), "plain.gpx"))
    assert plain.origin.vertex_sigma_m == pytest.approx(clocked.origin.vertex_sigma_m, rel=0.05)


def test_errors_without_memory_are_the_ones_of_the_plain_formula():
    ring = np.array(circle(20, 31)[:-1])
    assert equivalent_sigma(ring, np.arange(30) * 1e6, 2.5) == pytest.approx(2.5)
    assert equivalent_sigma(ring, np.arange(30) * 1e-6, 2.5) < 0.01  # all off alike: the outline only moves


def test_the_word_of_the_user_counts_for_a_fix(saved):
    path = saved(gpx(("Front", "lawn", circle(20))), "walk.gpx")
    rough, fine = read(path), read(path, source=Source(vertex_accuracy_m=0.1))
    assert fine.origin.vertex_sigma_m < rough.origin.vertex_sigma_m / 10
    assert "gps-accuracy" not in codes(fine)
    assert "each fix sure to 0.328 ft" in fine.origin.method


@pytest.mark.parametrize("clock", ["<time>2026-05-01T10:00:00Z</time>", "<time>yesterday</time>", ""])
def test_a_clock_that_stands_still_or_is_none_is_passed_over(saved, clock):
    text = gpx(("Front", "lawn", circle(20))).replace("<ele>250</ele>", clock)
    yard = read(saved(text, "walk.gpx"))
    plain = read(saved(gpx(("Front", "lawn", circle(20))), "plain.gpx"))
    assert yard.origin.vertex_sigma_m == pytest.approx(plain.origin.vertex_sigma_m)
