"""What is sown: names of the grasses, and the cited rate and seed count of each."""

from __future__ import annotations

from typing import Final

from lawnmap.rates.rows import Figure, combine, select, tables

ALIASES: Final = {
    "kbg": "Kentucky bluegrass",
    "bluegrass": "Kentucky bluegrass",
    "turf type tall fescue": "tall fescue",
    "tttf": "tall fescue",
    "perennial rye": "perennial ryegrass",
    "annual rye": "annual ryegrass",
    "fine fescues": "fine fescue",
    "red fescue": "creeping red fescue",
    "sheep fescue": "hard fescue",
    "bermuda": "bermudagrass",
    "bermuda grass": "bermudagrass",
    "zoysia": "zoysiagrass",
    "buffalo grass": "buffalograss",
    "centipede": "centipedegrass",
    "bahia": "bahiagrass",
}
"""Names that people use, to the names of the tables."""

FINE_FESCUES: Final = ("chewings fescue", "creeping red fescue", "hard fescue", "slender creeping red fescue")
"""They are counted as one where a table does not tell them apart."""


def species_names() -> tuple[str, ...]:
    """Return the grasses that the tables have a seeding rate for."""
    return tuple(dict.fromkeys(row.item for row in tables()["seeding_rates"] if row.use == "new lawn"))


def known_name(written: str) -> str | None:
    """Return the name that the tables use, or None for a grass that they do not hold.

    Parameters
    ----------
    written : str
        As a person writes it.

    Examples
    --------
    >>> known_name("Turf-type Tall Fescue"), known_name("KBG"), known_name("moss")
    ('tall fescue', 'Kentucky bluegrass', None)
    """
    plain = " ".join(written.lower().replace("-", " ").replace("_", " ").split())
    plain = ALIASES.get(plain, plain).lower()
    return next((name for name in species_names() if name.lower() == plain), None)


def seeding_rate(name: str) -> Figure:
    """Return the rate of one grass for a new lawn. [kg/m²]"""
    return combine(select("seeding_rates", name, "new lawn"), "mass_per_area")


def seeds_per_kg(name: str) -> Figure | None:
    """Return how many seeds weigh a kilogram, if a table says so. [1/kg]"""
    rows = select("seeds_per_weight", name, "") or (
        select("seeds_per_weight", "fine fescue", "") if name in FINE_FESCUES else ()
    )
    return combine(rows, "count_per_mass") if rows else None


def is_provisional(figure: Figure) -> bool:
    """Whether a figure rests on a thin source that the user should replace."""
    return any("provisional" in row.note for row in figure.rows)
