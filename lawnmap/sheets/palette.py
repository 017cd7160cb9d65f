"""Colours of every sheet, chosen so that they are told apart without colour vision and on a grey printer."""

from __future__ import annotations

from typing import Final

DENSITY: Final = {"bare": "#ffffcc", "thin": "#c2e699", "patchy": "#78c679", "full": "#238443"}
"""Density class to colour: the four-class sequential scheme YlGn, light where the stand is poor.

C. A. Brewer and M. Harrower, *ColorBrewer 2.0*, scheme YlGn, 4 classes, listed there as safe for
colour-blind readers; M. Harrower and C. A. Brewer, "ColorBrewer.org: An Online Tool for Selecting
Colour Schemes for Maps", The Cartographic Journal 40 (2003), 27-37.
"""

OBSTACLE: Final = {
    "house": "#8b8682",
    "drive": "#cfcbc6",
    "walk": "#e3dfd9",
    "bed": "#b08d74",
    "pool": "#a9cbe0",
    "tree": "#8a8f6a",
    "other": "#b3ada6",
}
"""Kind of obstacle to colour: muted, so that the lawn stands out."""

PASS: Final = ("#1b3358", "#8c2d62", "#5b4500", "#3c3c3c")
"""Colours of the passes, in turn; the second and later ones are dashed as well."""

WATER: Final = "#2f6f9f"
HAND: Final = "#b5480f"
STAKE: Final = "#c2185b"
REFILL: Final = "#6a1b9a"
INK: Final = "#1f2a24"
PAPER: Final = "#f5f5f1"
WHITE: Final = "#ffffff"

OBSTACLE_WORDS: Final = {
    "house": "house", "drive": "drive", "walk": "paving", "bed": "bed", "pool": "pool", "tree": "tree",
    "other": "other",
}  # fmt: skip
"""Kind of obstacle to our word for it."""
