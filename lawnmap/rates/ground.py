"""Which ground a product goes on: by density class, by name, with or without the strips along water."""

from __future__ import annotations

from typing import TYPE_CHECKING

from lawnmap.errors import ChoiceError, nearest

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.measure import Takeoff, ZoneArea


def ground_for(
    takeoff: Takeoff, on: Sequence[str], zones: Sequence[str] = (), *, near_water: bool, where: str
) -> list[tuple[ZoneArea, float]]:
    """Return the zones that get a product, each with the surface that gets it.

    Parameters
    ----------
    takeoff : Takeoff
        The measured yard.
    on : sequence of str
        Density classes that get it.
    zones : sequence of str
        Names of the zones that get it; all if empty.
    near_water : bool
        Whether it goes on the strips along water.
    where : str
        Place of the names, for messages.

    Returns
    -------
    list of (ZoneArea, float)
        In the order of the yard; zones without such ground are left out. [m²]

    Raises
    ------
    ChoiceError
        For a zone that there is not.
    """
    names = {zone.name for zone in takeoff.zones}
    for name in zones:
        if name not in names:
            raise ChoiceError(f'there is no zone "{name}"', where=where, mend=nearest(name, names))
    found = []
    for zone in takeoff.zones:
        ground = zone.surface_area_m2 - (0.0 if near_water else zone.unfed_area_m2)
        wanted = zone.density in on and (not zones or zone.name in zones)
        if wanted and ground > zone.surface_area_m2 * 1e-9:
            found.append((zone, ground))
    return found
