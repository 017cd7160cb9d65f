"""Small towns of square lots, and the sample portfolio planned once."""

from pathlib import Path

import geopandas
import pytest
from shapely.geometry import box

from lawnmap.batch import Options, run
from lawnmap.job import read_choices

PORTFOLIO = Path(__file__).parents[2] / "sample_parcels" / "portfolio"
CRS = "EPSG:5070"


class Town:
    """Lots side by side, 30 m by 20 m, each with a house of 10 m by 8 m; one may be spoilt."""

    def __init__(self, count):
        self.rows = []
        for number in range(count):
            self.add(f"lot {number}", number)

    def add(self, name, number, **changes):
        east = 40 * number
        lawn = {
            "yard": name,
            "role": "lawn",
            "density": "thin",
            "name": "lawn",
            "geometry": box(east, 0, east + 30, 20),
        }
        house = {"yard": name, "role": "house", "name": "house", "geometry": box(east + 5, 5, east + 15, 13)}
        self.rows += [lawn | changes, house]
        return self

    def spoil(self, name, role, /, **changes):
        for row in self.rows:
            if (row["yard"], row["role"]) == (name, role):
                row.update(changes)
        return self

    def save(self, path):
        frame = geopandas.GeoDataFrame(self.rows, geometry="geometry", crs=CRS)
        if path.suffix == ".parquet":
            frame.to_parquet(path)
        else:
            frame.to_file(path)
        return path


@pytest.fixture
def town():
    return Town


@pytest.fixture(scope="session")
def sample():
    return PORTFOLIO / "yards.gpkg"


@pytest.fixture(scope="session")
def sample_choices():
    return read_choices(PORTFOLIO)


@pytest.fixture(scope="session")
def planned(tmp_path_factory, sample, sample_choices):
    """The sample portfolio, planned in tasks of five."""
    folder = tmp_path_factory.mktemp("batch") / "town"
    return run([sample], folder, sample_choices, Options(yards_per_task=5))
