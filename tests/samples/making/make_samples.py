"""Make the data files of the sample parcels again.

``python tests/samples/making/make_samples.py sample_parcels`` makes them in place; ``--picture`` has
Chromium turn the sketch into a PNG as well.
"""

from __future__ import annotations

import sys
from pathlib import Path

import contractor
import contractor_survey
import homeowner
import homeowner_tape
import portfolio
import sketch

MAKERS = {"contractor": contractor, "homeowner": homeowner, "portfolio": portfolio}


def main(root, *, picture=False):
    for name, maker in MAKERS.items():
        folder = root / name
        folder.mkdir(parents=True, exist_ok=True)
        maker.make(folder)
    contractor_survey.make(root / "contractor" / "survey")
    homeowner_tape.make(root / "homeowner" / "tape")
    sketch.make(root / "homeowner")
    if picture:
        sketch.photograph(root / "homeowner")


if __name__ == "__main__":
    main(Path(sys.argv[1]), picture="--picture" in sys.argv)
