"""What a batch is made of: pieces of files, tasks of a bearable size, and what became of each yard."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from lawnmap.job import Choices
from lawnmap.survey import Part

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.lanes import LanePlan
    from lawnmap.measure import Takeoff

Status = Literal["planned", "no lawn", "refused"]
"""``"no lawn"``: obstacles cover all of it; ``"refused"``: it could not be planned, and the reason says why."""

PLANNED: Status = "planned"
NO_LAWN: Status = "no lawn"
REFUSED: Status = "refused"


@dataclass(frozen=True)
class Options:
    """How a batch is run; none of it changes a figure but `evenness` and `maps`, which add some.

    Attributes
    ----------
    processes : int or None
        How many work at a time; None for one where there is little to do, else one per core. [count]
    scheduler : str
        Address of a Dask scheduler; empty to work on this machine.
    yards_per_task : int or None
        How many yards are done and saved at a time; None to choose. [count]
    choices_column : str
        Column of the yard file that names a job file for each yard.
    maps : bool
        Whether every yard gets a folder with its own map and sheets.
    evenness : bool
        Whether to work out how evenly each plan spreads, which takes most of the time.
    """

    processes: int | None = None
    scheduler: str = ""
    yards_per_task: int | None = None
    choices_column: str = ""
    maps: bool = False
    evenness: bool = False


@dataclass(frozen=True, eq=False)
class Piece:
    """Some yards of one file.

    Attributes
    ----------
    path : Path
        The file.
    choices : Choices
        What to do; its source says how to read the file.
    part : Part or None
        Which yards; None for all.
    own : mapping of str to Choices or str
        Yards with choices of their own, or with what is wrong with these.
    """

    path: Path
    choices: Choices
    part: Part | None = None
    own: Mapping[str, Choices | str] = field(default_factory=dict)


@dataclass(frozen=True, eq=False)
class Task:
    """What one worker does in one go and saves as one file.

    Attributes
    ----------
    number : int
        Its place in the batch, from 0. [count]
    pieces : tuple of Piece
        What to plan, in order.
    yards : int
        How many yards that is, as far as is known. [count]
    maps : Path or None
        Folder for the folders of single yards.
    """

    number: int
    pieces: tuple[Piece, ...]
    yards: int
    maps: Path | None = None


@dataclass(frozen=True, eq=False)
class Given:
    """So much of one material for one zone.

    Attributes
    ----------
    zone, material, kind : str
        Names of the zone and the material, and the kind of material.
    area_m2 : float
        Surface that is treated. [m²]
    rate_kg_per_m2 : float
        Over all passes together. [kg/m²]
    amount_kg : float
        Rate times area. [kg]
    allowance : float
        Share bought on top. [1]
    packs : str
        Sizes on sale with their prices, as `lawnmap.batch.totals` reads them.
    """

    zone: str
    material: str
    kind: str
    area_m2: float
    rate_kg_per_m2: float
    amount_kg: float
    allowance: float
    packs: str


@dataclass(frozen=True)
class Walked:
    """What it takes to walk every product over a yard.

    Attributes
    ----------
    lanes : int
        Lanes of all passes, each counted once however many products are put down on it. [count]
    path_length_m : float
        All walks together. [m]
    walk_time_s, refill_time_s : float
        Walking, turning and changing the setting; filling the hopper. [s]
    fills : int
        How often the hopper is filled. [count]
    """

    lanes: int
    path_length_m: float
    walk_time_s: float
    refill_time_s: float
    fills: int

    @classmethod
    def of(cls, lanes: LanePlan) -> Walked:
        """Add up the outings of a plan, one for each product."""
        outings, passes = lanes.outings, [single for outing in lanes.outings for single in outing.passes]
        refill_s = sum(outing.labour.refill_s for outing in outings)
        return cls(
            sum(single.lane_count for single in lanes.passes),
            sum(outing.path_length_m for outing in outings),
            sum(outing.labour.total_s for outing in outings) - refill_s,
            refill_s,
            sum(len(single.refills) for single in passes),
        )


@dataclass(frozen=True)
class Quoted:
    """What the client of a yard is offered.

    Attributes
    ----------
    subtotal, total : Decimal
        Before and after tax. [currency]
    currency : str
        Its code.
    """

    subtotal: Decimal
    total: Decimal
    currency: str


@dataclass(frozen=True, eq=False)
class Outcome:
    """What became of one yard.

    Attributes
    ----------
    yard, file : str
        Its name and its file.
    status : str
        ``"planned"``, ``"no lawn"`` or ``"refused"``.
    reason : str
        Why it was not planned, in one sentence.
    units : str
        ``"us"`` or ``"metric"``, as its job file says.
    takeoff : Takeoff or None
        The measured yard, where it could be measured.
    given : tuple of Given
        What goes where.
    walked : Walked or None
        How far and how long to walk; None where lanes were left out.
    quoted : Quoted or None
        What the client is offered, where the job file has prices.
    interior_cv : float or None
        How uneven the cover is, where that was asked for. [1]
    findings : tuple of str
        What was mended, doubted or assumed.
    folder : str
        Folder with its own map, below that of the batch; empty without one.
    """

    yard: str
    file: str
    status: Status
    reason: str = ""
    units: str = "us"
    takeoff: Takeoff | None = None
    given: tuple[Given, ...] = ()
    walked: Walked | None = None
    quoted: Quoted | None = None
    interior_cv: float | None = None
    findings: tuple[str, ...] = ()
    folder: str = ""


@dataclass(frozen=True)
class Done:
    """What a worker reports of a task that it has saved.

    Attributes
    ----------
    number : int
        Of the task. [count]
    yards, refused : int
        How many yards it held, and how many of them could not be planned. [count]
    """

    number: int
    yards: int
    refused: int


@dataclass(frozen=True)
class Progress:
    """How far a batch is.

    Attributes
    ----------
    done, total, refused, resumed : int
        Yards that are finished, all yards as far as is known, those that could not be planned, and those that an
        earlier run had finished. [count]
    """

    done: int
    total: int
    refused: int
    resumed: int
