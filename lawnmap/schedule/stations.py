"""What a station really puts down: precipitation rate, flow, and how much longer it must run for its dry spots."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi
from statistics import NormalDist, mean
from typing import TYPE_CHECKING, Final

from lawnmap.errors import ChoiceError, nearest
from lawnmap.evenness import low_part
from lawnmap.rates.rows import tables
from lawnmap.units import write
from lawnmap.yard import finding

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from lawnmap.measure import Takeoff
    from lawnmap.schedule.water import EvenOut, Station
    from lawnmap.yard import Finding

LONGEST: Final = 2.0
"""A run is never made longer than so many times, however uneven a station is: it needs a plumber, not water.
*common practice* [1]"""

POOR: Final = 0.4
"""Low-quarter uniformity below which a station is told of. *common practice* [1]"""

USUAL: Final = (0.05 * 0.0254 / 3600, 4 * 0.0254 / 3600)
"""Precipitation rates of lawn sprinklers lie between 0.05 and 4 inches an hour. *common practice* [m/s]"""

_DIFFER: Final = 0.25  # of the flow: cans are no better than that (J. Am. Water Resour. Assoc., 2007)

_NORMAL: Final = NormalDist()


@dataclass(frozen=True)
class Served:
    """One station with all that its run time needs.

    Attributes
    ----------
    name : str
        What it is called.
    zones : tuple of str
        What it waters.
    area_m2 : float
        Ground seen from above. [m²]
    precipitation_m_per_s : float
        Mean depth that lands in a second. [m/s]
    flow_m3_per_s : float
        What it draws. [m³/s]
    measured_by : str
        ``"cans"``, ``"stated"`` or ``"flow"``.
    low_quarter : float or None
        Distribution uniformity of its low quarter; None without a test. [1]
    multiplier : float
        How many times longer it runs for its dry spots. [1]
    """

    name: str
    zones: tuple[str, ...]
    area_m2: float
    precipitation_m_per_s: float
    flow_m3_per_s: float
    measured_by: str
    low_quarter: float | None
    multiplier: float

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "name": self.name,
            "zones": list(self.zones),
            "area_m2": self.area_m2,
            "precipitation_m_per_s": self.precipitation_m_per_s,
            "flow_m3_per_s": self.flow_m3_per_s,
            "measured_by": self.measured_by,
            "low_quarter": self.low_quarter,
            "multiplier": self.multiplier,
        }


def precipitation_rate(flow_m3_per_s: float, area_m2: float) -> float:
    """Return the mean depth that a flow puts on an area in a second. [m/s]

    In gallons a minute, square feet and inches an hour this is 96.25 times flow over area
    (60 minutes × 231 cubic inches ÷ 144 square inches).

    Parameters
    ----------
    flow_m3_per_s : float
        Water. [m³/s]
    area_m2 : float
        Ground. [m²]
    """
    return flow_m3_per_s / area_m2


def low_half_of(low_quarter: float) -> float:
    """Return the low-half uniformity of a station whose low-quarter one is known. [1]

    For catches that spread normally, the mean of the lowest share p of them lies φ(z)/p standard
    deviations below the mean, z being the p-quantile; the two uniformities then differ from 1 in a
    fixed ratio, 0.628.

    Parameters
    ----------
    low_quarter : float
        Distribution uniformity of the low quarter. [1]
    """
    return 1 - (1 - low_quarter) * _shortfall(0.5) / _shortfall(0.25)


def _shortfall(share: float) -> float:
    return _NORMAL.pdf(_NORMAL.inv_cdf(share)) / share


def serve(
    takeoff: Takeoff, stations: Sequence[Station], even_out: EvenOut
) -> tuple[tuple[Served, ...], tuple[Finding, ...]]:
    """Work every station out.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    stations : sequence of Station
        The user's sections, in the order in which they run.
    even_out : str
        What a run is lengthened by.

    Returns
    -------
    tuple
        The stations, and what is doubtful about them.

    Raises
    ------
    ChoiceError
        For a zone that there is not, or a name given twice.
    """
    _check_names(takeoff, stations)
    areas = {zone.name: zone.net_area_m2 for zone in takeoff.zones}
    shares = {name: sum(name in station.zones for station in stations) for name in areas}
    served = tuple(
        _one(station, sum(areas[name] / shares[name] for name in station.zones), even_out)
        for station in stations
    )
    guessed = {name for station in stations if station.area_m2 is None for name in station.zones}
    found = (*_doubts(served), *_differences(stations, served), *_zones(takeoff, shares, guessed))
    return served, found


def _check_names(takeoff: Takeoff, stations: Sequence[Station]) -> None:
    zones = [zone.name for zone in takeoff.zones]
    seen: set[str] = set()
    for station in stations:
        place = f"[[station]] {station.name}"
        if station.name in seen:
            raise ChoiceError(f'there are two stations "{station.name}"', where=place, mend="rename one")
        seen.add(station.name)
        for name in station.zones:
            if name not in zones:
                raise ChoiceError(
                    f'there is no zone "{name}"', where=f"{place}, zones", mend=nearest(name, zones)
                )


def _one(station: Station, share_m2: float, even_out: EvenOut) -> Served:
    area_m2 = station.area_m2 or share_m2
    if area_m2 <= 0:
        raise ChoiceError(
            "its zones have no ground", where=f"[[station]] {station.name}, area", mend="give its area"
        )
    cans = _depths(station)
    if cans and station.catch_s:
        rate, by = mean(cans) / station.catch_s, "cans"
    elif station.precipitation_m_per_s is not None:
        rate, by = station.precipitation_m_per_s, "stated"
    else:
        assert station.flow_m3_per_s is not None  # checked in the section
        rate, by = precipitation_rate(station.flow_m3_per_s, area_m2), "flow"
    quarter = low_part(cans) if cans else station.uniformity
    half = low_part(cans, 0.5) if cans else low_half_of(quarter) if quarter is not None else None
    return Served(
        name=station.name,
        zones=station.zones,
        area_m2=area_m2,
        precipitation_m_per_s=rate,
        flow_m3_per_s=station.flow_m3_per_s or rate * area_m2,
        measured_by=by,
        low_quarter=quarter,
        multiplier=multiplier({"low half": half, "low quarter": quarter, "none": None}[even_out]),
    )


def _depths(station: Station) -> tuple[float, ...]:
    if station.catch_volumes_m3 and station.opening_m:
        opening_m2 = pi / 4 * station.opening_m**2
        return tuple(volume / opening_m2 for volume in station.catch_volumes_m3)
    return station.catch_m


def multiplier(part: float | None) -> float:
    """Return how many times longer a station runs so that its low part has the depth wanted. [1]

    One over that part's uniformity (B. Q. Mecham, *Audit Based Landscape Irrigation Scheduling*, ASABE
    IRR10-10040, 2010, for the low half), `LONGEST` at most.

    Parameters
    ----------
    part : float or None
        Uniformity of the low half or quarter; None for no lengthening. [1]
    """
    if part is None:
        return 1.0
    return min(LONGEST, 1 / part) if part > 0 else LONGEST


def _doubts(served: Sequence[Served]) -> Iterator[Finding]:
    usual = [row for row in tables()["sprinkler_uniformity"] if row.low is not None and row.high is not None]
    low, high = min(row.low or 0 for row in usual), max(row.high or 0 for row in usual)
    for station in served:
        if not USUAL[0] <= station.precipitation_m_per_s <= USUAL[1]:
            rate = write(station.precipitation_m_per_s, "in/h")
            text = f'"{station.name}" would put down {rate}, no usual rate: check the units of its flow and its area'
            yield finding("station-rate-unusual", text, station.name)
        if station.low_quarter is None:
            text = (
                f'how evenly "{station.name}" waters is not known, so its run times are for perfectly even water; '
                f"audits found {low:g} to {high:g} % in the low quarter"
            )
            yield finding("station-not-tested", text, station.name)
        elif station.low_quarter < POOR:
            text = (
                f'"{station.name}" puts down only {station.low_quarter * 100:.0f} % of its mean in the driest quarter: '
                "mend or move its sprinklers before watering by it"
            )
            yield finding("station-uneven", text, station.name)


def _differences(stations: Sequence[Station], served: Sequence[Served]) -> Iterator[Finding]:
    """Stations whose flow does not arrive where the rate says it does."""
    for station, known in zip(stations, served, strict=True):
        if station.flow_m3_per_s is None or known.measured_by == "flow":
            continue
        lands = known.precipitation_m_per_s * known.area_m2 / station.flow_m3_per_s
        if abs(lands - 1) > _DIFFER:
            text = (
                f'by its precipitation {lands * 100:.0f} % of the flow of "{known.name}" lands on its zones; '
                "check the flow, the area and where the sprinklers throw"
            )
            yield finding("flow-and-catch-differ", text, known.name)


def _zones(takeoff: Takeoff, shares: dict[str, int], guessed: set[str]) -> Iterator[Finding]:
    """Zones whose stations share them by a guess, and zones that young grass may be on without a station."""
    for zone in takeoff.zones:
        if shares[zone.name] > 1 and zone.name in guessed:
            text = f'{shares[zone.name]} stations water "{zone.name}"; each is taken to have an equal share of it'
            yield finding("zone-shared", text, zone.name)
        elif not shares[zone.name] and zone.net_area_m2 > 0 and zone.density != "full":
            yield finding("zone-without-water", f'no station waters "{zone.name}"', zone.name)
