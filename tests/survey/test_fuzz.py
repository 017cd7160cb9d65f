"""Mutated files: whatever the bytes, a yard or one plain sentence, never a traceback."""

import random

import pytest
from hunt_readers import KINDS, hunt, whole

from lawnmap.survey import read

ROUNDS = 40


@pytest.mark.parametrize("kind", KINDS)
def test_mutated_files_never_break_the_reader(good, saved, tmp_path, kind):
    path = whole(tmp_path, kind, read(saved(good, "good.geojson")))
    told, slowest_s = hunt(path, ROUNDS, random.Random(17))
    assert told
    assert all("\n" not in sentence and str(path) in sentence for sentence in told)
    assert slowest_s < 20  # a hang would be far more, on any machine
