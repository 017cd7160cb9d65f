"""Walks with a GPS receiver."""

import numpy as np
import pytest
from pyproj import Geod

from lawnmap.errors import FileError, ShapeError
from lawnmap.survey import Source, read

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
    assert yard.origin.vertex_sigma_m == 3
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
        (gpx(("Front", "lawn", [(0, 0)])), "fewer than three points|no points"),
        (gpx(("Front", "lawn", SQUARE[:2])), "fewer than three points|the walk ends"),
        ('<!DOCTYPE x [<!ENTITY a "b">]>' + HEAD + "</gpx>", "declares XML entities"),
    ],
)
def test_bad_files(saved, text, words):
    with pytest.raises((FileError, ShapeError), match=words):
        read(saved(text, "walk.gpx"))
