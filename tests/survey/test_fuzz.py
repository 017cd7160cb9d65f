"""Mutated files: whatever the bytes, a yard or one plain sentence, never a traceback."""

import random
import zipfile

import pytest

from lawnmap.errors import LawnmapError
from lawnmap.survey import read, write_yard

ROUNDS = 60


def mutated(content, chance):
    """Cut the content, or change, insert, drop and repeat some bytes."""
    if chance.random() < 0.2:
        return content[: chance.randrange(len(content))]
    content = bytearray(content)
    for _ in range(chance.choice([1, 1, 2, 5, 30])):
        place, length = chance.randrange(len(content)), chance.randrange(1, 20)
        edit = chance.randrange(4)
        if edit == 0:
            content[place] = chance.randrange(256)
        elif edit == 1:
            content[place:place] = bytes(chance.choices(b'0123456789-.e[]{},":<>/', k=length))
        elif edit == 2:
            content[place:place] = content[chance.randrange(len(content)) :][: 10 * length]
        elif len(content) > 20:
            del content[place : place + length]
    return bytes(content)


@pytest.mark.parametrize("ending", ["geojson", "gpkg", "kml", "kmz"])
def test_mutated_files_never_break_the_reader(good, saved, tmp_path, ending):
    yard = read(saved(good))
    path = tmp_path / f"whole.{ending}"
    if ending == "kmz":
        write_yard(yard, tmp_path / "doc.kml")
        with zipfile.ZipFile(path, "w") as packed:
            packed.write(tmp_path / "doc.kml", "doc.kml")
    else:
        write_yard(yard, path)
    whole, chance, told = path.read_bytes(), random.Random(17), []
    for _ in range(ROUNDS):
        path.write_bytes(mutated(whole, chance))
        try:
            read(path)
        except LawnmapError as fault:
            told.append(str(fault))
    assert told
    assert all("\n" not in sentence and str(path) in sentence for sentence in told)
