"""Lanes laid over a lawn: every zone, every pass, in the order of the work."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from lawnmap.lanes.fixed import FixedPlaces, fixed_places
from lawnmap.lanes.labour import labour_on
from lawnmap.lanes.model import LanePlan, Pass
from lawnmap.lanes.passes import lay_piece
from lawnmap.lanes.pieces import Ground, Piece, pieces_of, start_of
from lawnmap.lanes.stakes import Taping, aims_of, stake_out
from lawnmap.measure import Takeoff
from lawnmap.units import METRIC, US
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Sequence

    from lawnmap.lanes.rig import Rig


def lay(ground: Ground | Takeoff, rig: Rig) -> LanePlan:
    """Lay lanes over a lawn.

    Parameters
    ----------
    ground : Polygon, MultiPolygon or Takeoff
        Bare ground in metres, or a measured yard: every zone that is not done by hand is laid on its
        own, and drives and paths may be crossed between lanes. [m]
    rig : Rig
        What is pushed or towed, and how.

    Returns
    -------
    LanePlan
        All passes in the order of the work.

    Raises
    ------
    ShapeError
        Where the ground is empty or crosses itself.

    Examples
    --------
    >>> from shapely.geometry import box
    >>> from lawnmap.lanes import Rig
    >>> plan = lay(box(0, 0, 40, 20), Rig(swath_m=2, passes="one direction"))
    >>> len(plan.lanes), len(plan.loops), round(plan.passes[0].work_length_m, 6)
    (8, 1, 400.0)
    """
    return lay_pieces(pieces_of(ground, rig), ground, rig)


def lay_pieces(pieces: Sequence[Piece], ground: Ground | Takeoff, rig: Rig) -> LanePlan:
    """Lay lanes over pieces of ground, one after the other.

    Parameters
    ----------
    pieces : sequence of Piece
        What to work, in order.
    ground : Polygon, MultiPolygon or Takeoff
        Where they come from. [m]
    rig : Rig
        What is pushed or towed, and how.
    """
    if not pieces:
        return LanePlan(())
    place, found = start_of(ground, rig, pieces[0].mover.walkway)
    if rig.rounds != rig.headland_loops:
        depth = f"{METRIC.width(rig.turn_depth_m)} ({US.width(rig.turn_depth_m)})"
        text = f"{rig.rounds} rounds are laid, as a U turn reaches {depth} beyond the end of a lane"
        found.append(finding("rounds-for-turns", text))
    passes: list[Pass] = []
    for piece in pieces:
        laid = lay_piece(piece, rig, place)
        passes += laid.passes
        found += laid.findings
        place = laid.place
    if isinstance(ground, Takeoff):
        passes, loose = _staked(passes, fixed_places(ground.yard), rig)
        found += loose
    labour = labour_on(passes, rig)
    return LanePlan(tuple(passes), tuple(dict.fromkeys(found)), labour, walkway=pieces[0].mover.walkway)


def _staked(passes: list[Pass], places: FixedPlaces, rig: Rig) -> tuple[list[Pass], list[Finding]]:
    """Set out the lanes, where the yard has anything to tape from; tell which stakes nothing fixes."""
    passes = [replace(made, aims=aims_of(made.lanes, places)) for made in passes]
    if len(places.points) < 2 and not places.walls:
        return passes, []
    taping = Taping(rig.stake_sigma_m, rig.stake_rounding_m, rig.tape_m)
    staked = [replace(made, stakes=stake_out(made, places, rig.stake_every, taping)) for made in passes]
    stakes = [stake for made in staked for stake in made.stakes]
    loose = sum(not stake.ties for stake in stakes)
    far = sum(any(tie.distance_m > rig.tape_m for tie in stake.ties) for stake in stakes)
    found = []
    if loose:
        text = f"{loose} of {len(stakes)} stakes cannot be taped from any two corners or a wall"
        found.append(finding("stake-without-ties", text))
    if far:
        tape = f"{METRIC.width(rig.tape_m)} ({US.width(rig.tape_m)})"
        found.append(
            finding("stake-beyond-tape", f"{far} of {len(stakes)} stakes lie farther than a tape of {tape}")
        )
    return staked, found
