"""Seed for every zone: cited rate times density factor, over pure live seed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from lawnmap.rates.model import GRADES, Source, ZoneAmount
from lawnmap.rates.rows import select, tables
from lawnmap.rates.species import is_provisional, known_name, seeding_rate, seeds_per_kg
from lawnmap.units import convert, figure
from lawnmap.yard import finding

if TYPE_CHECKING:
    from lawnmap.measure import Takeoff
    from lawnmap.rates.rows import Figure
    from lawnmap.rates.seed import Seed
    from lawnmap.units import UnitSystem
    from lawnmap.yard import Finding

_ODD: Final = 3.0
"""A rate this many times outside the published range is asked about. *common practice* [1]"""


@dataclass(frozen=True)
class SeedRate:
    """The rate for bare ground, before any factor.

    Attributes
    ----------
    chosen, low, high : float
        The rate that is used, and the published range. [kg/m²]
    source : Source
        Where it comes from.
    """

    chosen: float
    low: float
    high: float
    source: Source


def bare_rate(seed: Seed) -> SeedRate:
    """Return the rate for bare ground: the user's, or the tables' weighted by the shares of a blend.

    That a blend is sown at the mean of its parts, weighted by their share of the weight, is
    *common practice*.

    Parameters
    ----------
    seed : Seed
        What is sown.
    """
    own = seed.rate_kg_per_m2
    if own is not None:
        return SeedRate(own, own, own, Source("your own rate", "", "[seed], rate", "user"))
    figures = {name: seeding_rate(name) for name in seed.blend}
    low, typical, high = (
        sum(share * getattr(figures[name], part) for name, share in seed.blend.items())
        for part in ("low", "typical", "high")
    )
    chosen = {"low": low, "typical": typical, "high": high}[seed.level]
    return SeedRate(chosen, low, high, _source(list(figures.values()), seed.level))


def _source(figures: list[Figure], level: str) -> Source:
    """The row that a rate rests on; for a blend the rows of its parts, and the weakest grade of them."""
    rows = []
    for part in figures:
        ends = {
            "low": min(part.rows, key=lambda row: row.low or 0),
            "high": max(part.rows, key=lambda row: row.high or 0),
        }
        rows.append(ends.get(level, part.nearest))
    if len(rows) == 1:
        return rows[0].source
    sources = list(dict.fromkeys(row.source for row in rows))
    return Source(
        title="; ".join(source.title for source in sources),
        publisher="; ".join(dict.fromkeys(source.publisher for source in sources)),
        locator="rates of the parts, weighted by their share of the weight",
        grade=max((source.grade for source in sources), key=GRADES.index),
    )


def sow(takeoff: Takeoff, seed: Seed, units: UnitSystem) -> tuple[ZoneAmount, ...]:
    """Return the seed of every zone that gets any.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    seed : Seed
        What is sown.
    units : UnitSystem
        Units of the reasons.
    """
    rate = bare_rate(seed)
    live = live_share_used(seed)
    amounts = []
    for zone in takeoff.zones:
        factor = seed.factors.of(zone.density)
        if factor == 0 or zone.surface_area_m2 <= 0:
            continue
        scale = factor / live
        reason = f"{units.rate(rate.chosen)} × {factor:g} ({zone.density})"
        if live != 1:
            reason += f" ÷ {live:.4g} (pure live seed)"
        amounts.append(
            ZoneAmount(
                zone=zone.name,
                area_m2=zone.surface_area_m2,
                rate_kg_per_m2=rate.chosen * scale,
                low_kg_per_m2=rate.low * scale,
                high_kg_per_m2=rate.high * scale,
                amount_kg=rate.chosen * scale * zone.surface_area_m2,
                reason=reason,
                source=rate.source,
                by_hand=zone.by_hand,
            )
        )
    return tuple(amounts)


def live_share_used(seed: Seed) -> float:
    """Return what the rate is divided by. [1]"""
    return seed.live_share or 1.0 if seed.rate_means == "pure live seed" else 1.0


def seed_notes(seed: Seed, units: UnitSystem) -> tuple[str, ...]:
    """Return what a user should know about the seed, in plain sentences.

    Parameters
    ----------
    seed : Seed
        What is sown.
    units : UnitSystem
        Units of the sentences.
    """
    notes = []
    if seed.rate_kg_per_m2 is None:
        notes += [_range_note(name, seeding_rate(name), units) for name in seed.blend]
    notes.append(_factor_note(seed))
    notes.append(_label_note(seed))
    seeds = _seeds_note(seed)
    return (*notes, seeds) if seeds else tuple(notes)


def _range_note(name: str, rate: Figure, units: UnitSystem) -> str:
    count = len(rate.rows)
    low = units.rate(rate.low).removesuffix(f" {units.rate_unit}")
    return (
        f"{name[0].upper()}{name[1:]}, new lawn: {low} to {units.rate(rate.high)}, typically "
        f"{units.rate(rate.typical)} (median of {count} source{'s' if count > 1 else ''})."
    )


def _factor_note(seed: Seed) -> str:
    shares = ", ".join(f"{name} {seed.factors.of(name):g}" for name in ("bare", "thin", "patchy", "full"))
    if "factors" in seed.model_fields_set:
        return f"Share of that rate by density: {shares} (your own)."
    row = select("density_factors", "patchy")[0]
    return f"Share of that rate by density: {shares}. Half rate for overseeding: {row.source}."


def _label_note(seed: Seed) -> str:
    live = seed.live_share
    if live is None:
        return (
            "No seed label was given, so the rate is taken as seed from the bag. With purity and germination from "
            "the label it is raised for what will not grow, often by about a fifth "
            "(Seeding rates, Cornell University CALS)."
        )
    said = f"The label gives {live * 100:.4g} % pure live seed (purity × germination)."
    if seed.rate_means == "as bagged":
        return f"{said} The rate is as bagged and is not raised."
    return f"{said} Rates are taken as pure live seed, as is common practice, and divided by it."


def _seeds_note(seed: Seed) -> str:
    """Seeds per area as a sanity figure, at the rate for bare ground."""
    counts = [(share, seeds_per_kg(name)) for name, share in seed.blend.items()]
    per_kg = sum(share * count.typical for share, count in counts if count)
    if any(count is None for _, count in counts):
        return ""
    alive = 1.0 if seed.live_share is None or live_share_used(seed) != 1 else seed.live_share
    seeds_per_m2 = bare_rate(seed).chosen * per_kg * alive
    stand = tables()["stand_density"][0]
    live = "seeds" if seed.live_share is None else "live seeds"
    return (
        f"On bare ground that is about {figure(convert(seeds_per_m2, 'seeds/sq in'), 2)} {live} to the square inch; "
        f"a mature stand has {stand.low:g} to {stand.high:g} plants ({stand.source}), and not every seed becomes one."
    )


def nothing_to_seed() -> Finding:
    """Return the finding of a yard that gets no seed."""
    return finding("nothing-to-seed", "no zone gets any seed", "[seed]")


def seed_findings(
    seed: Seed, amounts: tuple[ZoneAmount, ...] | None, units: UnitSystem
) -> tuple[Finding, ...]:
    """Return what was assumed about the seed, or looks wrong.

    Parameters
    ----------
    seed : Seed
        What is sown.
    amounts : tuple of ZoneAmount or None
        What `sow` made of it; None where only the choices are judged.
    units : UnitSystem
        Units of the sentences.
    """
    found = []
    for name in seed.blend:
        if known_name(name) is None:
            found.append(
                finding(
                    "species-not-in-table", f"{name} is not in the tables; your own rate is used", "[seed]"
                )
            )
        elif seed.rate_kg_per_m2 is None and is_provisional(seeding_rate(name)):
            text = f"the rate of {name} rests on {len(seeding_rate(name).rows)} thin source(s): give your own if you have one"
            found.append(finding("provisional-rate", text, "[seed]"))
    if amounts is not None and not amounts:
        found.append(nothing_to_seed())
    odd = _odd_rate(seed, units)
    return (*found, *odd)


def _odd_rate(seed: Seed, units: UnitSystem) -> list[Finding]:
    own = seed.rate_kg_per_m2
    if own is None or any(known_name(name) is None for name in seed.blend):
        return []
    parts = [(share, seeding_rate(name)) for name, share in seed.blend.items()]
    low, high = (
        sum(share * part.low for share, part in parts),
        sum(share * part.high for share, part in parts),
    )
    if low / _ODD <= own <= high * _ODD:
        return []
    text = (
        f"your rate of {units.rate(own)} is far from the published {units.rate(low)} to {units.rate(high)}: "
        "is it per acre?"
    )
    return [finding("unusual-rate", text, "[seed], rate")]
