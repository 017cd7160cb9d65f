"""The grid: its affine against the GIS convention, its shares of ground against shapely's areas."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point, Polygon, box

from lawnmap.errors import InputError
from lawnmap.evenness.grid import Grid, cover, grid_over

SPREAD = np.array([[-9.0, -8], [7, 9]])


def test_affine_is_that_of_a_north_up_raster():
    grid = Grid(100.0, 200.0, 0.5, 0.0, 4, 6)
    assert grid.affine == pytest.approx((0.5, 0, 100, 0, -0.5, 200))
    assert grid.centres()[0, 0] == pytest.approx([100.25, 199.75])
    assert grid.to_cells(grid.centres()[2, 5][None]) == pytest.approx(np.array([[5.5, 2.5]]))


@given(st.floats(-360, 360))
def test_cells_and_coordinates_go_both_ways(turn):
    grid = grid_over(SPREAD, cell_m=0.9, turn_deg=turn, margin_m=1)
    centres = grid.centres()
    cells = grid.to_cells(centres.reshape(-1, 2)).reshape(centres.shape)
    row, column = np.indices((grid.rows, grid.columns))
    assert cells[..., 0] == pytest.approx(column + 0.5)
    assert cells[..., 1] == pytest.approx(row + 0.5)
    inside = grid.to_cells(SPREAD)
    assert (inside > 1).all()
    assert (inside < [grid.columns - 1, grid.rows - 1]).all()


radii = st.lists(st.floats(2.0, 8.0), min_size=3, max_size=12)


@given(radii, st.floats(0, 90), st.floats(0.2, 0.9))
def test_shares_of_ground_are_exact(radius, turn, cell):
    angle = np.linspace(0, 2 * np.pi, len(radius), endpoint=False)
    star = Polygon(np.column_stack([radius * np.cos(angle), radius * np.sin(angle)]))
    ground = star.difference(Point(0.3, 0.2).buffer(0.7))
    grid = grid_over(np.array([[-9.0, -9], [9, 9], [-9, 9], [9, -9]]), cell_m=cell, turn_deg=turn, margin_m=0)
    share = cover(ground, grid)
    assert share.sum() * grid.cell_area_m2 == pytest.approx(ground.area, rel=1e-9)


def test_every_share_against_intersections():
    ground = MultiPolygon([box(0.1, 0.2, 2.33, 3.17), Polygon([(3, 0), (6.2, 1.1), (4.4, 4.9)])])
    grid = grid_over(np.array([[0.0, 0], [7, 5]]), cell_m=0.4, turn_deg=0, margin_m=0.4)
    squares = shapely.box(*(grid.centres().reshape(-1, 2) - 0.2).T, *(grid.centres().reshape(-1, 2) + 0.2).T)
    exact = shapely.area(shapely.intersection(ground, squares)) / grid.cell_area_m2
    assert cover(ground, grid).ravel() == pytest.approx(exact, abs=1e-9)


def test_tiles_are_the_whole(monkeypatch):
    monkeypatch.setattr("lawnmap.evenness.grid._TILE", 13)
    ground = Point(0, 0).buffer(6).difference(Point(1, 1).buffer(2))
    grid = grid_over(SPREAD, cell_m=0.31, turn_deg=20, margin_m=0)
    whole = np.zeros((grid.rows, grid.columns))
    for rows, columns, tile in grid.tiles():
        whole[rows, columns] = cover(ground, tile)
    assert whole == pytest.approx(cover(ground, grid), abs=1e-9)


def test_ground_off_the_grid_covers_nothing():
    grid = grid_over(SPREAD, cell_m=0.5, turn_deg=0, margin_m=0)
    assert cover(box(50, 50, 60, 60), grid).sum() == 0
    assert cover(Polygon(), grid).sum() == 0


@pytest.mark.parametrize(("cell", "says"), [(0.0, "not possible"), (1e-6, "choose larger cells")])
def test_impossible_cells(cell, says):
    with pytest.raises(InputError, match=says):
        grid_over(SPREAD, cell_m=cell, turn_deg=0, margin_m=1)
