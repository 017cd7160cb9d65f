"""What goes on many lawns at once: the amounts that `prescribe` works out yard by yard, on arrays."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import numpy as np

from lawnmap.errors import ChoiceError, nearest
from lawnmap.rates.feeding import ceiling_findings, keep_under_ceiling, target, unfed_finding
from lawnmap.rates.sowing import bare_rate, live_share_used, nothing_to_seed, seed_findings
from lawnmap.units import US, UnitSystem
from lawnmap.yard import DENSITIES

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from numpy.typing import NDArray

    from lawnmap.measure import Takeoff
    from lawnmap.rates.fertilizer import Fertilizer
    from lawnmap.rates.packs import Pack
    from lawnmap.rates.product import Product
    from lawnmap.rates.seed import Seed
    from lawnmap.yard import Finding

    Index = NDArray[np.int64]
    Numbers = NDArray[np.float64]
    Flags = NDArray[np.bool_]

_CODE = {name: code for code, name in enumerate(DENSITIES)}


@dataclass(frozen=True, eq=False)
class Amounts:
    """One product for many yards; the arrays have one entry for every zone that gets any.

    Attributes
    ----------
    name, kind : str
        As of a `Material`.
    zone, yard : array of int
        Place of the zone among all zones, and of its yard among all yards, rising. [count]
    area_m2 : array of float
        Surface that is treated. [m²]
    rate_kg_per_m2 : array of float
        Product as bought. [kg/m²]
    amount_kg : array of float
        Rate times area. [kg]
    packs : tuple of Pack
        Sizes on sale.
    allowance : float
        Share bought on top. [1]
    """

    name: str
    kind: str
    zone: Index
    yard: Index
    area_m2: Numbers
    rate_kg_per_m2: Numbers
    amount_kg: Numbers
    packs: tuple[Pack, ...]
    allowance: float

    def by_yard(self, count: int) -> Numbers:
        """Return the sum for each of `count` yards, as `Material.total_kg` has it. [kg]"""
        return np.bincount(self.yard, weights=self.amount_kg, minlength=count).astype(np.float64)


@dataclass(frozen=True, eq=False)
class ManyAmounts:
    """Everything that goes on many lawns.

    Attributes
    ----------
    materials : tuple of Amounts
        Seed, fertilizer and further products, in the order of `prescribe`.
    findings : tuple of Finding
        What holds for all yards alike.
    by_yard : dict of int to list of Finding
        What was found in single yards, by their place.
    refused : dict of int to ChoiceError
        Yards that the choices do not fit, by their place; their amounts count for nothing.
    """

    materials: tuple[Amounts, ...]
    findings: tuple[Finding, ...] = ()
    by_yard: dict[int, list[Finding]] = field(default_factory=dict)
    refused: dict[int, ChoiceError] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class _Ground:
    """The zones of all yards as columns."""

    takeoffs: Sequence[Takeoff]
    yard: Index
    surface_m2: Numbers
    unfed_m2: Numbers
    density: Index

    @classmethod
    def of(cls, takeoffs: Sequence[Takeoff]) -> _Ground:
        zones = [zone for takeoff in takeoffs for zone in takeoff.zones]
        return cls(
            takeoffs,
            np.repeat(np.arange(len(takeoffs)), [len(takeoff.zones) for takeoff in takeoffs]),
            np.array([zone.surface_area_m2 for zone in zones], dtype=np.float64),
            np.array([zone.unfed_area_m2 for zone in zones], dtype=np.float64),
            np.array([_CODE[zone.density] for zone in zones], dtype=np.int64),
        )

    def treated(self, on: Iterable[str], *, near_water: bool) -> tuple[Flags, Numbers]:
        """Which zones get a product and how much of them does, as `ground_for` has it."""
        area_m2 = self.surface_m2 - (0.0 if near_water else self.unfed_m2)
        return np.isin(self.density, [_CODE[name] for name in on]) & (
            area_m2 > self.surface_m2 * 1e-9
        ), area_m2

    def spread(
        self, what: tuple[str, str], choices: Any, wanted: Flags, area_m2: Numbers, rate: Numbers | float
    ) -> Amounts:
        """Put a product down at a rate for all zones or one for each. [kg/m²]"""
        zone = np.flatnonzero(wanted)
        rates = np.broadcast_to(rate, wanted.shape)[zone]
        return Amounts(
            what[0], what[1], zone, self.yard[zone], area_m2[zone], rates, rates * area_m2[zone],
            choices.packs, choices.allowance,
        )  # fmt: skip


def prescribe_many(
    takeoffs: Sequence[Takeoff],
    *,
    seed: Seed | None = None,
    fertilizer: Fertilizer | None = None,
    products: Sequence[Product] = (),
    units: UnitSystem = US,
) -> ManyAmounts:
    """Turn the areas of many yards into amounts, to the same figures as `prescribe` for each.

    Parameters
    ----------
    takeoffs : sequence of Takeoff
        The measured yards.
    seed : Seed, optional
        What is sown; none if left out.
    fertilizer : Fertilizer, optional
        What is fed; none if left out.
    products : sequence of Product
        Further granular products.
    units : UnitSystem
        Units of the sentences.

    Raises
    ------
    ChoiceError
        For more nitrogen than the user's ceiling.
    """
    ground = _Ground.of(takeoffs)
    result = ManyAmounts((), (), defaultdict(list))
    materials: list[Amounts] = []
    found: list[Finding] = []
    if seed is not None:
        materials.append(_sown(ground, seed))
        found += seed_findings(seed, None, units)
        for yard in np.flatnonzero(np.bincount(materials[-1].yard, minlength=len(takeoffs)) == 0).tolist():
            result.by_yard[yard].append(nothing_to_seed())
    if fertilizer is not None:
        materials.append(_fed(ground, fertilizer, units, result))
        found += ceiling_findings(fertilizer, units)
    for product in products:
        wanted, area_m2 = ground.treated(product.on, near_water=product.near_water)
        if product.zones:
            wanted &= _named(ground, product, result)
        materials.append(
            ground.spread((product.name, "product"), product, wanted, area_m2, product.rate_kg_per_m2)
        )
    return ManyAmounts(tuple(materials), tuple(found), dict(result.by_yard), result.refused)


def _sown(ground: _Ground, seed: Seed) -> Amounts:
    factors = np.array([seed.factors.of(name) for name in DENSITIES])[ground.density]
    rate = bare_rate(seed).chosen * (factors / live_share_used(seed))
    wanted = (factors != 0) & (ground.surface_m2 > 0)
    return ground.spread((seed.name, "seed"), seed, wanted, ground.surface_m2, rate)


def _fed(ground: _Ground, fertilizer: Fertilizer, units: UnitSystem, result: ManyAmounts) -> Amounts:
    keep_under_ceiling(fertilizer, units)
    wanted, area_m2 = ground.treated(fertilizer.on, near_water=False)
    dry = np.isin(ground.density, [_CODE[name] for name in fertilizer.on]) & (ground.surface_m2 > 0)
    first = np.searchsorted(ground.yard, ground.yard)
    for zone in np.flatnonzero(dry & (ground.unfed_m2 >= ground.surface_m2 * (1 - 1e-9))).tolist():
        yard = int(ground.yard[zone])
        name = ground.takeoffs[yard].zones[zone - int(first[zone])].name
        result.by_yard[yard].append(unfed_finding(name))
    rate = target(fertilizer)[0] / fertilizer.nutrient_share
    return ground.spread((f"{fertilizer.grade} fertilizer", "fertilizer"), fertilizer, wanted, area_m2, rate)


def _named(ground: _Ground, product: Product, result: ManyAmounts) -> Flags:
    """Which zones a product names; a yard without one of them is refused."""
    where = f'[[product]] "{product.name}", zones'
    for yard, takeoff in enumerate(ground.takeoffs):
        names = {zone.name for zone in takeoff.zones}
        for name in product.zones:
            if name not in names:
                fault = ChoiceError(f'there is no zone "{name}"', where=where, mend=nearest(name, names))
                result.refused.setdefault(yard, fault)
    wanted = set(product.zones)
    return np.array(
        [zone.name in wanted for takeoff in ground.takeoffs for zone in takeoff.zones], dtype=bool
    )
