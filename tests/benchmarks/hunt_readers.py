"""A hunt for files that break a reader: good files of every kind, spoilt at random, a yard or one sentence each.

Run: ``python tests/benchmarks/hunt_readers.py [ROUNDS] [SEED]``. Prints for each kind how many files were tried, how many
were read all the same, the slowest, and the largest memory; it stops at the first file that breaks a reader and keeps it.
The tests go the first steps of the same hunt.
"""

import random
import re
import resource
import sys
import tempfile
import time
import warnings
import zipfile
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from lawnmap.errors import LawnmapError
from lawnmap.survey import Source, read, write_yard

ROOT = Path(__file__).parents[2]
SURVEY = ROOT / "sample_parcels" / "contractor" / "survey"
TAPE = ROOT / "sample_parcels" / "homeowner" / "tape" / "tape_sheet.csv"
LOT_17 = ROOT / "tests" / "survey" / "data" / "lot_17.xml"
KINDS = (
    "yard.geojson", "yard.gpkg", "yard.kml", "yard.kmz", "yard.dxf", "walk.gpx", "lot.xml", "fernhill.dxf",
    "fernhill_points.csv", "fernhill_deed.txt", "tape_sheet.csv",
)  # fmt: skip
_FEET = Source(local_units="US survey ft")
SOURCES = {"fernhill.dxf": _FEET, "fernhill_points.csv": _FEET, "fernhill_deed.txt": _FEET}
NUMBER = re.compile(rb"-?\d+\.?\d*")
ODD = (
    b"nan",
    b"inf",
    b"1e308",
    b"-1e308",
    b"1e-320",
    b"0",
    b"-0.0",
    b"",
    b"99999999999999999999",
    b"1e9",
    b"x",
)


def whole(folder, kind, yard):
    """Put a good file of one kind into a folder."""
    path = folder / kind
    if kind in {"fernhill.dxf", "fernhill_points.csv", "fernhill_deed.txt"}:
        path.write_bytes((SURVEY / kind).read_bytes())
    elif kind == "tape_sheet.csv":
        path.write_bytes(TAPE.read_bytes())
    elif kind == "lot.xml":
        path.write_bytes(LOT_17.read_bytes())
    elif kind == "walk.gpx":
        path.write_text(walk(yard), "utf-8")
    elif kind == "yard.kmz":
        write_yard(yard, folder / "doc.kml")
        with zipfile.ZipFile(path, "w") as packed:
            packed.write(folder / "doc.kml", "doc.kml")
    else:
        write_yard(yard, path)
    return path


def walk(yard):
    """The outline of the first zone as a GPX track with a clock."""
    outer = yard.plane.to_lonlat(np.asarray(yard.zones[0].polygon.exterior.coords))
    fixes = "".join(
        f'<trkpt lat="{latitude:.8f}" lon="{longitude:.8f}"><time>2026-05-01T10:00:{second:02d}Z</time></trkpt>'
        for second, (longitude, latitude) in enumerate(outer)
    )
    return (
        '<?xml version="1.0"?><gpx version="1.1" creator="hunt" xmlns="http://www.topografix.com/GPX/1/1"><trk>'
        f"<name>Front</name><trkseg>{fixes}</trkseg></trk></gpx>"
    )


def mutated(content, chance):
    """Cut the content, change, insert, drop and repeat some bytes, or put odd numbers in place of some."""
    if chance.random() < 0.1:
        return content[: chance.randrange(len(content))]
    content = bytearray(content)
    for _ in range(chance.choice([1, 1, 2, 5, 30])):
        place, length = chance.randrange(len(content)), chance.randrange(1, 20)
        edit = chance.randrange(5)
        if edit == 0:
            content[place] = chance.randrange(256)
        elif edit == 1:
            content[place:place] = bytes(chance.choices(b'0123456789-.e[]{},":<>/', k=length))
        elif edit == 2:
            content[place:place] = content[chance.randrange(len(content)) :][: 10 * length]
        elif edit == 3 and len(content) > 20:
            del content[place : place + length]
        elif number := NUMBER.search(content, place):
            content[number.start() : number.end()] = chance.choice(ODD)
    return bytes(content)


def hunt(path, rounds, chance):
    """Read spoilt copies of a file; the sentences of those refused, and the slowest time.

    Parameters
    ----------
    path : Path
        A good file; it is overwritten.
    rounds : int
        How many copies. [count]
    chance : random.Random
        What is spoilt.
    """
    content, told, slowest_s = path.read_bytes(), [], 0.0
    read(path, source=SOURCES.get(path.name))  # the good one is good
    for _ in range(rounds):
        path.write_bytes(mutated(content, chance))
        start = time.perf_counter()
        try:
            read(path, source=SOURCES.get(path.name))
        except LawnmapError as fault:
            told.append(str(fault))
        slowest_s = max(slowest_s, time.perf_counter() - start)
    return told, slowest_s


def main():
    rounds = int(sys.argv[1] if len(sys.argv) > 1 else 1000)
    seed = int(sys.argv[2] if len(sys.argv) > 2 else 17)
    warnings.simplefilter("error")
    yard = read(ROOT / "sample_parcels" / "portfolio" / "yards.gpkg", yard="18 Larch Lane")
    with tempfile.TemporaryDirectory() as folder:
        for kind in KINDS:
            path = whole(Path(folder), kind, yard)
            try:
                told, slowest_s = hunt(path, rounds, random.Random(seed))
            except Exception:
                kept = Path(tempfile.gettempdir()) / f"broke_{kind}"
                kept.write_bytes(path.read_bytes())
                print(f"{kind}: kept as {kept}")
                raise
            peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e3
            print(
                f"{kind}: {rounds} tried, {rounds - len(told)} read, slowest {slowest_s:.2f} s, peak {peak_mb:.0f} MB",
                flush=True,
            )


if __name__ == "__main__":
    main()
