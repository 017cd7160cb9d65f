"""Scale and transformation, against published points and closed forms."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.drawing.fit import fit_lengths, fit_points, tie
from lawnmap.errors import InputError

# The point set of the geometric-transform tests of scikit-image (BSD-3-Clause), skimage/transform/tests/
# test_geometric.py, SRC and DST. Root mean squares by numpy least squares, in agreement for the affine map with
# rasterio's and OpenCV's least squares; for the projective map the normalised direct linear transformation.
SOURCE = np.array(
    [
        [-12.3705, -10.5075],
        [-10.7865, 15.4305],
        [8.6985, 10.8675],
        [11.4975, -9.5715],
        [7.8435, 7.4835],
        [-5.3325, 6.5025],
        [6.7905, -6.3765],
        [-6.1695, -0.8235],
    ]
)
TARGET = np.array(
    [[0, 0], [0, 5800], [4900, 5800], [4900, 0], [4479, 4580], [1176, 3660], [3754, 790], [1024, 1931]],
    dtype=float,
)


@pytest.mark.parametrize(
    ("kind", "rms"), [("similarity", 446.92500), ("affine", 379.22472), ("projective", 16.391)]
)
def test_published_points(kind, rms):
    assert fit_points(SOURCE, TARGET, kind).rms_m == pytest.approx(rms, abs=5e-4)


def test_a_projective_map_of_four_points_is_exact():
    fit = fit_points(
        np.array([[0, 0], [1, 0], [1, 1], [0, 1]]), np.array([[0, 0], [100, 0], [80, 60], [10, 50]])
    )
    assert fit.kind == "projective"
    assert fit.residuals_m == pytest.approx([0, 0, 0, 0], abs=1e-9)
    # diagonals go to diagonals: the middle lands where those of the quadrangle cross
    assert fit.apply(np.array([[0.5, 0.5]]))[0] == pytest.approx([42.553191, 31.914894], abs=1e-6)
    assert "nothing checks them" in " ".join(fit.warnings)


def test_one_scale_through_two_lengths():
    fit = fit_lengths(np.array([[[0, 0], [240, 0]], [[0, 0], [0, 480]]]), [10, 20])
    assert fit.metres_per_unit((0, 0)) == pytest.approx(1 / 24)
    assert fit.worst == pytest.approx(0)
    assert fit.warnings == ()


def test_a_slanted_picture_is_suspected():
    fit = fit_lengths(np.array([[[0, 0], [240, 0]], [[0, 0], [0, 400]]]), [10, 20])
    assert "slant" in fit.warnings[0]


def test_one_length_cannot_be_checked():
    assert "cannot be checked" in fit_lengths(np.array([[[0, 0], [24, 0]]]), [1]).warnings[0]


@given(
    st.floats(-3, 3), st.floats(0.01, 10), st.floats(-100, 100), st.floats(-100, 100),
    st.sampled_from(["similarity", "affine", "projective"]),
)  # fmt: skip
def test_a_true_similarity_is_found_again(turn, scale, east, north, kind):
    sheet = np.array([[0, 0], [400, 0], [410, 300], [20, 310], [100, 50]], dtype=float)
    spin = scale * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    ground = sheet @ spin.T + [east, north]
    fit = fit_points(sheet, ground, kind)
    assert fit.rms_m < 1e-7 * max(1, scale * 400)
    assert fit.metres_per_unit((200, 100)) == pytest.approx(scale, rel=1e-6)


def test_a_mirrored_picture_is_said():
    sheet = np.array([[0, 0], [10, 0], [0, 10], [9, 8]], dtype=float)
    assert "mirror" in " ".join(fit_points(sheet, sheet * [1, -1], "affine").warnings)


@pytest.mark.parametrize(
    ("sheet", "kind", "sentence"),
    [
        ([[0, 0]], None, "1 control points are too few"),
        ([[0, 0], [1, 1], [2, 2]], "affine", "lie on one line"),
        ([[0, 0], [1, 1], [2, 2], [3, 3]], "projective", "lie on one line"),
        ([[0, 0], [np.nan, 1]], "similarity", "is not a number"),
    ],
)
def test_points_that_fix_nothing(sheet, kind, sentence):
    with pytest.raises(InputError, match=sentence):
        fit_points(np.array(sheet, dtype=float), np.array(sheet, dtype=float), kind)


@pytest.mark.parametrize("lengths", [[], [0], [-1], [float("nan")]])
def test_lengths_that_fix_nothing(lengths):
    lines = np.array([[[0, 0], [24, 0]]] * len(lengths)).reshape(len(lengths), 2, 2)
    with pytest.raises(InputError, match="known length"):
        fit_lengths(lines, lengths)


def test_ties_meet():
    # x = (d1² - d2² + c²) / 2c: with c = 50, d1 = 30, d2 = 40 a 3-4-5 triangle
    assert tie((0, 0), (50, 0), (30, 40), left=False) == pytest.approx((18, -24))
    with pytest.raises(InputError, match="cannot meet"):
        tie((0, 0), (50, 0), (10, 20), left=True)
