"""The result files, read back with other programs."""

import csv
import re

import geopandas
import openpyxl
import pytest
import shapely
from pyproj import Geod

from lawnmap.batch import run
from lawnmap.batch.tables import FILES
from lawnmap.batch.workbook import WORKBOOK
from lawnmap.job import Choices, General

QUICK = Choices(general=General(leave_out=("lanes",)))
FORMULA = '=HYPERLINK("http://x")'


def lines(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def yards(planned):
    return geopandas.read_parquet(planned.folder / "yards.parquet").set_index("yard")


def test_every_file_that_the_page_names_is_there(planned):
    page = planned.page.read_text("utf-8")
    for name in (*FILES, WORKBOOK):
        assert f'href="{name}"' in page
        assert (planned.folder / name).stat().st_size


def test_shapes_have_the_area_of_the_figures(yards):
    """By geodesics on the ellipsoid (C. F. F. Karney, *Algorithms for geodesics*, Journal of Geodesy 87, 2013)."""
    geod = Geod(ellps="WGS84")  # and GRS 80 differ by a tenth of a millimetre in the radius
    assert yards.crs.to_authority() == ("OGC", "CRS84")
    for row in yards.itertuples():
        assert row.geometry.is_valid
        turned = shapely.orient_polygons(row.geometry)
        area = abs(geod.geometry_area_perimeter(turned)[0])
        assert area == pytest.approx(row.net_area_m2, rel=1e-6)


def test_geopackage_holds_the_same(planned, yards):
    layer = geopandas.read_file(planned.folder / "yards.gpkg", layer="yards").set_index("yard")
    assert layer.net_area_m2.to_dict() == yards.net_area_m2.to_dict()
    assert layer.geometry.geom_equals(yards.geometry).all()
    zones = geopandas.read_file(planned.folder / "yards.gpkg", layer="zones")
    assert zones.groupby("yard").net_area_m2.sum().to_dict() == pytest.approx(yards.net_area_m2.to_dict())
    assert set(zones.density) == {"bare", "thin", "patchy", "full"}


def test_tables_of_text_hold_the_same(planned, yards):
    rows = lines(planned.folder / "yards.csv")
    assert [row["yard"] for row in rows] == list(yards.index)
    assert [float(row["net_area_m2"]) for row in rows] == pytest.approx(list(yards.net_area_m2), rel=1e-5)
    assert float(rows[0]["longitude_deg"]) == pytest.approx(yards.longitude_deg.iloc[0], abs=1e-7)
    amounts = lines(planned.folder / "amounts.csv")
    seed = sum(float(row["amount_kg"]) for row in amounts if row["kind"] == "seed")
    assert seed == pytest.approx(next(iter(planned.totals.purchases.values())).amount_kg, rel=1e-5)
    assert lines(planned.folder / "not_planned.csv") == []


def book(report):
    return openpyxl.load_workbook(report.folder / WORKBOOK), openpyxl.load_workbook(
        report.folder / WORKBOOK, data_only=True
    )


def test_totals_of_the_workbook_are_live_sums_with_their_values(planned):
    live, shown = book(planned)
    yards = shown["Yards"]
    for formula, value in zip(
        live["Totals"].iter_rows(min_row=5), shown["Totals"].iter_rows(min_row=5), strict=True
    ):
        summed = re.fullmatch(r"=SUM\('?Yards'?!([A-Z]+)2:\1(\d+)\)", str(formula[1].value))
        if summed:
            cells = yards[f"{summed[1]}2:{summed[1]}{summed[2]}"]
            assert len(cells) == 28
            assert value[1].value == pytest.approx(sum(cell.value or 0 for (cell,) in cells), rel=1e-9)
    sums = {row[0].value: row[1].value for row in shown["Totals"].iter_rows(min_row=2)}
    assert sums["Yards planned"] == 28
    assert sums["Net lawn"] == pytest.approx(planned.totals.net_area_m2)
    assert sums["Crew hours on the lawns"] == pytest.approx(planned.totals.crew_time_s / 3600)
    assert sums["Crew hours on the lawns"] == pytest.approx(
        sums["Walking and turning"] + sums["Filling the hopper"]
    )


def test_purchase_of_the_workbook(planned):
    _, shown = book(planned)
    rows = list(shown["Purchase"].iter_rows(min_row=2, values_only=True))
    assert [row[:3] for row in rows] == [
        ("perennial ryegrass", "seed", 25),
        ("12-12-17 fertilizer", "fertilizer", 28),
    ]
    assert re.fullmatch(r"\d+ × 10 kg( \+ 1 × 5 kg)?", rows[0][6])


def test_text_stays_text(town, tmp_path):
    path = town(1).add(FORMULA, 2).add("@SUM(1)", 3).add("a\tb", 4).save(tmp_path / "town.gpkg")
    report = run([path], tmp_path / "out", QUICK)
    live, _ = book(report)
    cells = [live["Yards"].cell(row, 1) for row in range(2, 6)]
    assert [cell.data_type for cell in cells] == ["s"] * 4
    assert cells[1].value == FORMULA
    assert [row["yard"] for row in lines(report.folder / "yards.csv")][1:3] == [f"'{FORMULA}", "'@SUM(1)"]


def test_us_units_where_the_job_is_in_them(town, tmp_path):
    report = run([town(2).save(tmp_path / "town.gpkg")], tmp_path / "out", QUICK)
    _, shown = book(report)
    heads = [cell.value for cell in shown["Yards"][1]]
    assert "Net lawn, sq ft" in heads
    assert "tall fescue, lb" in heads
    # 30 m × 20 m less 10 m × 8 m; the foot is 0.3048 m (National Bureau of Standards, 24 FR 5348, 1959)
    assert shown["Yards"]["C2"].value == pytest.approx(520 / 0.3048**2, rel=1e-6)
