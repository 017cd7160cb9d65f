"""Real plots with real buildings, from the first to the last of them accounted for.

bubenec of momepy (BSD-3), read from the installed package: 407 plots with their identifiers, 144 buildings without.
"""

from importlib.resources import files

import geopandas
import pandas as pd
import pytest
import shapely

from lawnmap.batch import Options, run
from lawnmap.job import Choices, General
from lawnmap.survey import Source

BUBENEC = files("momepy").joinpath("datasets", "bubenec.gpkg")
LAEA = "+proj=laea +lat_0=50.1 +lon_0=14.4 +datum=WGS84"
"""Equal in area (J. P. Snyder, *Map Projections: A Working Manual*, USGS Professional Paper 1395, 1987, p. 182)."""


@pytest.fixture(scope="module")
def quarter(tmp_path_factory):
    """Plots as lawns with a column ID; buildings as houses that name no plot."""
    plots = geopandas.read_file(BUBENEC, layer="plots")[["ID", "geometry"]].assign(
        role="lawn", density="thin"
    )
    houses = geopandas.read_file(BUBENEC, layer="buildings")[["geometry"]].assign(role="house")
    path = tmp_path_factory.mktemp("bubenec") / "quarter.gpkg"
    geopandas.GeoDataFrame(pd.concat([plots, houses], ignore_index=True)).to_file(path)
    return path, plots, houses


@pytest.fixture(scope="module")
def report(quarter, tmp_path_factory):
    choices = Choices(general=General(leave_out=("lanes",)), source=Source(yard_column="ID"))
    folder = tmp_path_factory.mktemp("bubenec") / "out"
    return run([quarter[0]], folder, choices, Options(yards_per_task=60))


def test_every_plot_is_accounted_for(quarter, report):
    plots, rows = quarter[1], geopandas.read_parquet(report.folder / "yards.parquet")
    assert sorted(rows.yard) == sorted(plots.ID.astype(str).unique())
    assert report.totals.yards == plots.ID.nunique() == 407
    assert set(rows.status) <= {"planned", "no lawn"}
    assert (rows.reason != "").equals(rows.status != "planned")


def test_net_areas_are_those_of_a_plain_overlay(quarter, report):
    """Plots less all buildings, by GeoPandas and shapely alone, in an equal-area projection."""
    _, plots, houses = quarter
    plots, houses = plots.to_crs(LAEA), houses.to_crs(LAEA)
    built = shapely.union_all(houses.geometry.make_valid().to_numpy())
    expected = plots.geometry.make_valid().difference(built).area.groupby(plots.ID.astype(str)).sum()
    rows = geopandas.read_parquet(report.folder / "yards.parquet").set_index("yard")
    assert rows.net_area_m2.to_dict() == pytest.approx(expected.to_dict(), rel=1e-6, abs=1e-3)
    assert report.totals.net_area_m2 == pytest.approx(expected.sum(), rel=1e-7)


def test_seed_for_the_quarter_is_the_rate_times_its_lawn(report):
    seed = next(one for one in report.totals.purchases.values() if one.kind == "seed")
    rows = geopandas.read_parquet(report.folder / "yards.parquet")
    rates = {given["rate_kg_per_m2"] for row in rows.given for given in row if given["kind"] == "seed"}
    assert len(rates) == 1
    assert seed.amount_kg == pytest.approx(rates.pop() * report.totals.net_area_m2, rel=1e-9)
