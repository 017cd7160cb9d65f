"""Measure a lawn, grade it by density, and plan seed, fertilizer and spreader lanes.

The names below are loaded when they are first used, so that ``import lawnmap`` costs nothing.
"""

from lazy_loader import attach

__version__ = "0.1.0"

__getattr__, __dir__, __all__ = attach(
    __name__,
    submodules=[
        "batch",
        "choices",
        "contact",
        "drawing",
        "errors",
        "evenness",
        "job",
        "lanes",
        "measure",
        "quote",
        "rates",
        "record",
        "schedule",
        "sheets",
        "survey",
        "units",
        "yard",
    ],
    submod_attrs={
        "job": ["plan"],
        "measure": ["take_off"],
        "sheets": ["write"],
        "survey": ["read"],
    },
)
__all__ += ["__version__"]
