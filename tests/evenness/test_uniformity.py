"""Uniformity of catches against a published worked example."""

import pytest

from lawnmap.errors import InputError
from lawnmap.evenness.uniformity import christiansen, coefficient_of_variation, low_part

# G. Grabow, NC State University, reference manual of an irrigation package, entries "DU" and "travunif".
CANS_ML = [47, 42, 45, 24, 13, 26, 33, 34, 27, 30, 40, 44, 32, 12, 12]
DEPTHS_IN = [0.17, 0.22, 0.2, 0.2575, 0.238125, 0.16, 0.2, 0.21, 0.21375, 0.250625]


@pytest.mark.parametrize(
    ("catch", "quarter", "christiansens", "half"),
    [(CANS_ML, 49.62039, 69.13955, 71.58351), (DEPTHS_IN, 77.83019, 88.67925, 88.67925)],
)
def test_published_uniformity(catch, quarter, christiansens, half):
    assert 100 * low_part(catch) == pytest.approx(quarter, abs=1e-4)
    assert 100 * christiansen(catch) == pytest.approx(christiansens, abs=1e-4)
    assert 100 * low_part(catch, 0.5) == pytest.approx(half, abs=1e-4)


def test_sample_and_population_deviation_differ_as_they_must():
    sample = coefficient_of_variation(CANS_ML)
    assert coefficient_of_variation(CANS_ML, "population") == pytest.approx(sample * (14 / 15) ** 0.5)


@pytest.mark.parametrize(
    ("catch", "says"),
    [([1], "two trays or more"), ([0, 0], "nothing was caught"), ([1, -2], "below zero or not a number")],
)
def test_bad_catches(catch, says):
    with pytest.raises(InputError, match=says):
        christiansen(catch)
