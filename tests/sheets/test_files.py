"""areas.csv, plan.json and yard.gpkg read back by other programs' readers."""

import csv
import io
import json
from dataclasses import replace

import geopandas
import pandas as pd
import pyogrio
import pytest

from lawnmap.errors import OutputError
from lawnmap.sheets.contents import plan_json
from lawnmap.sheets.layers import write_layers
from lawnmap.sheets.table import areas_csv, harmless


def test_csv_holds_si_and_the_users_units(plan):
    table = pd.read_csv(io.StringIO(areas_csv(plan)))
    assert list(table.zone) == [zone.name for zone in plan.takeoff.zones]
    assert table.net_area_m2.sum() == pytest.approx(plan.takeoff.net_area_m2, rel=1e-5)
    # 1 ft = 0.3048 m: NIST Handbook 44, Appendix C
    assert table.net_area_sq_ft.to_numpy() == pytest.approx(
        table.net_area_m2.to_numpy() / 0.3048**2, rel=1e-4
    )
    assert table.material_1_amount_lb.sum() == pytest.approx(
        plan.prescription.materials[0].total_kg / 0.45359237, rel=1e-4
    )


def test_metric_csv_says_nothing_twice(local_plan):
    table = pd.read_csv(io.StringIO(areas_csv(local_plan)))
    assert [name for name in table if "net_area" in name] == ["net_area_m2", "net_area_se_m2"]


# The six first characters of the Open Worldwide Application Security Project, "CSV Injection"
@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_no_cell_is_taken_for_a_formula(build_plan, start):
    hostile = build_plan(rename=lambda name: f'{start}cmd|"/c calc"!A1 {name}')
    rows = list(csv.reader(io.StringIO(areas_csv(hostile), newline="")))
    assert {len(row) for row in rows} == {len(rows[0])}
    assert not [cell for row in rows for cell in row if cell.startswith(start) and not is_number(cell)]
    assert rows[1][1].startswith(f"'{start}cmd")


def is_number(cell):
    try:
        float(cell)
    except ValueError:
        return False
    return True


def test_blanks_in_front_do_not_hide_a_formula():
    assert harmless("  =1+1") == "'  =1+1"
    assert harmless("Hedge - east") == "Hedge - east"


def test_json_is_the_plan(plan):
    text = plan_json(plan)
    assert text.endswith("}\n")
    held = json.loads(text)
    assert held == json.loads(json.dumps(plan.to_dict()))
    assert next(iter(held)) == "lawnmap"
    assert plan_json(plan) == text


def test_json_never_holds_what_is_not_a_number(plan):
    broken = replace(plan, takeoff=replace(plan.takeoff, net_area_m2=float("nan")))
    with pytest.raises(OutputError, match="a figure of the plan is not a number"):
        plan_json(broken)


LAYERS = [
    *("zones", "obstacles", "water", "landmarks", "lanes", "loops", "hand_spots"),
    *("walk", "stakes", "refills"),
]


@pytest.fixture(scope="module")
def packages(tmp_path_factory):
    folder = tmp_path_factory.mktemp("layers")
    found = {}

    def package(name, plan):
        if name not in found:
            found[name] = folder / f"{name}.gpkg"
            write_layers(plan, found[name])
        return found[name]

    return package


def test_layers_of_a_yard_on_the_earth(packages, plan):
    path = packages("earth", plan)
    assert [name for name, _ in pyogrio.list_layers(path)] == LAYERS
    zones = geopandas.read_file(path, layer="zones")
    assert zones.crs == "EPSG:4326"
    assert list(zones.name) == [zone.name for zone in plan.takeoff.zones]
    # geodesic areas, which our own plane never saw: C. F. F. Karney, "Algorithms for geodesics", J. Geodesy 87
    # (2013), as PROJ carries them; section 6 there gives round-off of up to 0.1 m² whatever the size
    geod = zones.crs.get_geod()
    areas = [abs(geod.geometry_area_perimeter(shape)[0]) for shape in zones.geometry]
    assert areas == pytest.approx([zone.net_area_m2 for zone in plan.takeoff.zones], abs=0.1)


def test_layers_of_a_local_yard_stay_in_its_metres(packages, local_plan):
    path = packages("local", local_plan)
    zones = geopandas.read_file(path, layer="zones")
    assert zones.crs.is_engineering
    assert zones.area.to_numpy() == pytest.approx([zone.net_area_m2 for zone in local_plan.takeoff.zones])
    lanes = geopandas.read_file(path, layer="lanes")
    assert len(lanes) == len(local_plan.lanes.lanes)
    first = lanes[(lanes.zone == "Back lawn") & (lanes.pass_number == 1)]
    assert list(first.lane) == list(range(1, len(first) + 1))
    assert lanes.length.to_numpy() == pytest.approx(lanes.length_m.to_numpy())


def test_a_layer_without_a_row_is_still_there(plan, tmp_path):
    dry = replace(plan, takeoff=replace(plan.takeoff, yard=replace(plan.yard, water=(), landmarks=())))
    write_layers(dry, tmp_path / "yard.gpkg")
    assert [name for name, _ in pyogrio.list_layers(tmp_path / "yard.gpkg")] == LAYERS
    assert len(geopandas.read_file(tmp_path / "yard.gpkg", layer="water")) == 0


def test_the_writer_leaves_the_settings_of_others_alone(plan, tmp_path):
    pyogrio.set_gdal_config_options({"OGR_SQLITE_SYNCHRONOUS": "FULL"})
    try:
        write_layers(plan, tmp_path / "yard.gpkg")
        assert pyogrio.get_gdal_config_option("OGR_SQLITE_SYNCHRONOUS") == "FULL"
    finally:
        pyogrio.set_gdal_config_options({"OGR_SQLITE_SYNCHRONOUS": None})
    write_layers(plan, tmp_path / "again.gpkg")
    assert pyogrio.get_gdal_config_option("OGR_SQLITE_SYNCHRONOUS") is None
