"""Draw the README's picture again, after a change in what a plan is or how it looks.

``python tests/samples/making/make_picture.py`` plans the sample that the README plans and writes its map as SVG.
"""

from __future__ import annotations

from pathlib import Path

import lawnmap

SAMPLE = Path(__file__).parents[3] / "sample_parcels" / "contractor"

if __name__ == "__main__":
    picture = lawnmap.sheets.draw_picture(lawnmap.plan(SAMPLE))
    (SAMPLE / "map.svg").write_text(picture, "utf-8")
