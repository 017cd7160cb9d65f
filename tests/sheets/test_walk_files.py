"""walk.csv, walk.gpx, walk.kml, walk.dxf and the layers of the walk, read back by other programs' readers."""

import csv
import io

import ezdxf
import geopandas
import gpxpy
import numpy as np
import pandas as pd
import pyogrio
import pytest
from lxml import etree

import lawnmap
from lawnmap.errors import OutputError
from lawnmap.evenness import Spreader
from lawnmap.evenness.settings import TestRun
from lawnmap.job import Choices, plan_yard
from lawnmap.lanes import Rig
from lawnmap.rates import Seed
from lawnmap.sheets.layers import write_layers
from lawnmap.sheets.walk_dxf import write_walk_dxf
from lawnmap.sheets.walk_gpx import walk_gpx
from lawnmap.sheets.walk_kml import walk_kml
from lawnmap.sheets.walk_table import walk_csv

HOSTILE = '=cmd|"/c calc"!A1 <b>&amp;\x07 %%d '


def hostile(name):
    return HOSTILE + name


def test_the_table_has_every_step_in_order(walked_plan):
    table = pd.read_csv(io.StringIO(walk_csv(walked_plan)))
    for outing in walked_plan.lanes.outings:
        mine = table[table["product"] == outing.product]
        assert list(mine.step) == list(range(1, len(outing.steps) + 1))
        assert mine.time_s.sum() == pytest.approx(outing.labour.total_s, rel=1e-4)
        amount = sum(load.amount_kg for load in walked_plan.loads if load.material == outing.product)
        assert mine.load_kg.sum() == pytest.approx(amount, rel=1e-4)
        # 1 ft = 0.3048 m, 1 lb = 0.45359237 kg: NIST Handbook 44, Appendix C
        assert mine.length_ft.to_numpy() == pytest.approx(mine.length_m.to_numpy() / 0.3048, rel=1e-4)
        assert mine.load_lb.sum() == pytest.approx(mine.load_kg.sum() / 0.45359237, rel=1e-4)
        again = (mine.fill_before.notna() & (mine.step > 1)).sum()
        assert (mine.refill_after == "yes").sum() == again > 0


def test_no_cell_of_the_walk_is_a_formula(walk_of):
    rows = list(csv.reader(io.StringIO(walk_csv(walk_of(rename=hostile)), newline="")))
    assert {len(row) for row in rows} == {len(rows[0])}
    assert rows[1][2].startswith("'=cmd")


def test_gpx_leads_where_the_plan_goes(walked_plan):
    found = gpxpy.parse(walk_gpx(walked_plan))
    outing = walked_plan.lanes.outings[0]
    assert found.name == walked_plan.name
    assert [track.name for track in found.tracks] == [
        f"{single.zone}, pass {single.number} of {single.count}" for single in outing.passes
    ]
    # gpxpy's own great-circle lengths on a sphere, within 0.6 % of the ellipsoid's at any latitude
    long = sum(track.length_2d() for track in found.tracks)
    steps = sum(step.length_m + step.way_m for step in outing.steps)
    assert long == pytest.approx(steps, rel=0.006)
    names = [point.name for route in found.routes for point in route.points]
    assert names[0] == f"{'lane' if outing.steps[0].kind == 'lane' else 'round'} {outing.steps[0].lane} start"
    stakes = [stake for single in walked_plan.lanes.passes for stake in single.stakes]
    assert len(found.waypoints) == len(stakes) + 1  # and the tap
    assert " from " in found.waypoints[0].description
    west, south, east, north = -76.7506, 39.1994, -76.749, 39.201
    for point in found.waypoints:
        assert west < point.longitude < east
        assert south < point.latitude < north


# GPX 1.1 Schema Documentation, topografix.com/GPX/1/1, gpxType: metadata, wpt, rte, trk in this order
def test_gpx_has_its_elements_in_the_order_of_the_schema(walked_plan):
    root = etree.fromstring(walk_gpx(walked_plan).encode())
    order = ["metadata", "wpt", "rte", "trk"]
    tags = [etree.QName(child).localname for child in root]
    assert tags == sorted(tags, key=order.index)
    assert set(tags) == set(order)


def test_words_of_the_user_stay_words(walk_of, tmp_path):
    plan = walk_of(rename=hostile)
    assert gpxpy.parse(walk_gpx(plan)).tracks[0].name.startswith('=cmd|"/c calc"!A1 <b>&amp;\ufffd')
    root = etree.fromstring(walk_kml(plan).encode())
    names = root.findall(".//{http://www.opengis.net/kml/2.2}name")
    assert any("<b>&amp;\ufffd" in name.text for name in names)
    write_walk_dxf(plan, tmp_path / "walk.dxf")
    texts = [text.plain_text() for text in ezdxf.readfile(tmp_path / "walk.dxf").modelspace().query("TEXT")]
    assert any("<b>&amp;" in text and "% %d" in text for text in texts)


def test_kml_is_read_by_gdal(walked_plan, tmp_path):
    path = tmp_path / "walk.kml"
    path.write_text(walk_kml(walked_plan), encoding="utf-8")
    layers = [name for name, _ in pyogrio.list_layers(path)]
    assert "Stakes" in layers
    steps = walked_plan.lanes.outings[0].steps
    first = f"{steps[0].zone}, pass 1 of 2"
    lanes = geopandas.read_file(path, layer=next(name for name in layers if name == first))
    mine = [step for step in steps if (step.zone, step.pass_number) == (steps[0].zone, 1)]
    assert [name.split()[-1] for name in lanes.Name] == [str(step.lane) for step in mine]
    # lengths on the ellipsoid (C. F. F. Karney, J. Geodesy 87, 2013), which the plane never saw
    geod = lanes.crs.get_geod()
    assert [geod.geometry_length(line) for line in lanes.geometry] == pytest.approx(
        [step.length_m for step in mine], abs=1e-3
    )


def test_dxf_lies_on_the_plane_of_the_yard(walked_plan, tmp_path):
    write_walk_dxf(walked_plan, tmp_path / "walk.dxf")
    drawing = ezdxf.readfile(tmp_path / "walk.dxf")
    assert drawing.units == ezdxf.units.M
    assert not drawing.audit().errors
    lanes = drawing.modelspace().query('LWPOLYLINE[layer=="LANES_1"]')
    mine = [s for s in walked_plan.lanes.outings[0].steps if s.kind == "lane" and s.pass_number == 1]
    assert len(lanes) == len(mine)
    for line, step in zip(lanes, mine, strict=True):
        assert np.array(list(line.vertices())) == pytest.approx(step.points)
    texts = [text.dxf.text for text in drawing.modelspace().query('TEXT[layer=="NUMBERS_1"]')]
    assert "lane 1" in texts
    stakes = [stake for single in walked_plan.lanes.passes for stake in single.stakes]
    assert len(drawing.modelspace().query("POINT")) == len(stakes)


def test_layers_hold_walk_stakes_and_refills(walk_of, tmp_path):
    plan = walk_of(georeferenced=False)
    write_layers(plan, tmp_path / "yard.gpkg")
    walk, stakes, refills = (
        geopandas.read_file(tmp_path / "yard.gpkg", layer=layer) for layer in ("walk", "stakes", "refills")
    )
    assert len(walk) == sum(len(outing.steps) for outing in plan.lanes.outings)
    assert walk.length.to_numpy() == pytest.approx(walk.length_m.to_numpy())
    fixed = {name: at for at, name in _fixed(plan)}
    for row in stakes[stakes.tie_1_how == "from"].itertuples():
        for name, far in ((row.tie_1, row.tie_1_m), (row.tie_2, row.tie_2_m)):
            if name in fixed:
                assert np.hypot(row.geometry.x - fixed[name].x, row.geometry.y - fixed[name].y) == (
                    pytest.approx(far, abs=0.0128)
                )
    tap = next(mark.shape for mark in plan.yard.landmarks if mark.kind == "refill")
    assert refills.distance(tap).max() < 1e-6
    assert refills.load_kg.max() <= 6 * 0.45359237 + 1e-9


def _fixed(plan):
    return [(mark.shape, mark.name) for mark in plan.yard.landmarks if mark.shape.geom_type == "Point"]


def test_kml_and_dxf_are_written_when_asked_for(walked_plan, tmp_path):
    lawnmap.write(walked_plan, tmp_path / "plain")
    assert {"walk.csv", "walk.gpx"} <= {path.name for path in (tmp_path / "plain").iterdir()}
    assert not {"walk.kml", "walk.dxf"} & {path.name for path in (tmp_path / "plain").iterdir()}
    lawnmap.write(walked_plan, tmp_path / "more", also=("kml", "dxf"))
    assert {"walk.kml", "walk.dxf"} <= {path.name for path in (tmp_path / "more").iterdir()}
    assert "walk.kml" in (tmp_path / "more" / "map.html").read_text("utf-8")
    with pytest.raises(OutputError, match='there is no sheet "dfx"'):
        lawnmap.write(walked_plan, tmp_path / "wrong", also=("dfx",))


def test_a_local_yard_gets_no_gpx(walk_of, tmp_path):
    lawnmap.write(walk_of(georeferenced=False), tmp_path / "plan")
    assert not (tmp_path / "plan" / "walk.gpx").exists()


def test_a_setting_is_told_where_test_runs_give_it(walked_plan):
    rows = list(csv.DictReader(io.StringIO(walk_csv(walked_plan))))
    assert not any("setting" in row["set_for"] for row in rows)
    runs = (
        TestRun(setting=2, used_kg="0.1 lb", area_m2="100 sq ft"),
        TestRun(setting=4, used_kg="0.3 lb", area_m2="100 sq ft"),
        TestRun(setting=6, used_kg="0.6 lb", area_m2="100 sq ft"),
    )
    seed = Seed(species="tall fescue", rate_kg_per_m2="6 lb / 1000 sq ft")
    choices = Choices(rig=Rig(swath_m="6 ft"), seed=seed, spreader=Spreader(runs=runs))
    told = plan_yard(walked_plan.yard, choices)
    found = list(csv.DictReader(io.StringIO(walk_csv(told))))
    first = [row for row in found if row["product"] == told.prescription.materials[0].name]
    zones = {one.zone for one in told.evenness.settings if one.setting}
    assert zones
    for row in first:
        if row["zone"] in zones:
            assert "(setting " in row["set_for"]
    assert not any("(setting " in row["set_for"] for row in found if row not in first)
