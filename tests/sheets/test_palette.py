"""The colours are those published, rise in darkness and stay apart for colour-blind readers."""

import itertools

import branca
import numpy as np
import pytest

from lawnmap.sheets.palette import DENSITY, OBSTACLE, PASS
from lawnmap.yard import DENSITIES, OBSTACLE_KINDS

# Full severity, for linear RGB: G. M. Machado, M. M. Oliveira, L. A. F. Fernandes, "A Physiologically-based Model for
# Simulation of Color Vision Deficiency", IEEE Trans. Visualization and Computer Graphics 15 (2009), table of matrices
MACHADO = {
    "normal": np.eye(3),
    "protanopia": [
        [0.152286, 1.052583, -0.204868],
        [0.114503, 0.786281, 0.099216],
        [-0.003882, -0.048116, 1.051998],
    ],
    "deuteranopia": [
        [0.367322, 0.860646, -0.227968],
        [0.280085, 0.672501, 0.047413],
        [-0.011820, 0.042940, 0.968881],
    ],
    "tritanopia": [
        [1.255528, -0.076749, -0.178779],
        [-0.078411, 0.930809, 0.147602],
        [0.004733, 0.691367, 0.303900],
    ],
}
# sRGB to XYZ: IEC 61966-2-1; white point D65
TO_XYZ = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]])


def linear(colour):
    channels = np.array([int(colour[i : i + 2], 16) for i in (1, 3, 5)]) / 255
    return np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)


def lab(rgb):
    """CIE 1976 L*a*b* (CIE 15)."""
    ratios = TO_XYZ @ np.clip(rgb, 0, 1) / TO_XYZ.sum(axis=1)
    f = np.where(ratios > (6 / 29) ** 3, np.cbrt(ratios), ratios / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.array([116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])])


def test_the_scheme_is_the_one_named():
    """branca carries the ColorBrewer tables."""
    assert list(DENSITY.values()) == branca.utilities.color_brewer("YlGn", 4)
    assert tuple(DENSITY) == DENSITIES
    assert tuple(OBSTACLE) == OBSTACLE_KINDS


def test_white_and_black_are_where_the_standard_has_them():
    assert lab(linear("#ffffff")) == pytest.approx([100, 0, 0], abs=0.02)
    assert lab(linear("#000000")) == pytest.approx([0, 0, 0], abs=0.02)


def test_a_fuller_stand_is_darker_on_a_grey_printer():
    lightness = [lab(linear(colour))[0] for colour in DENSITY.values()]
    assert min(-np.diff(lightness)) > 10


@pytest.mark.parametrize("sight", MACHADO)
def test_classes_stay_apart(sight):
    seen = [lab(np.asarray(MACHADO[sight]) @ linear(colour)) for colour in DENSITY.values()]
    assert min(np.linalg.norm(a - b) for a, b in itertools.combinations(seen, 2)) > 10


def contrast(one, other):
    """Contrast ratio: W3C, Web Content Accessibility Guidelines 2.2, definition of relative luminance."""
    low, high = sorted(0.05 + linear(colour) @ [0.2126, 0.7152, 0.0722] for colour in (one, other))
    return high / low


@pytest.mark.parametrize("colour", ["#ffffcc", "#c2e699", "#78c679"])
def test_lanes_can_be_seen_on_the_lawn(colour):
    """Success criterion 1.4.11 asks 3 to 1 of lines that carry meaning."""
    assert min(contrast(colour, line) for line in PASS) >= 3
