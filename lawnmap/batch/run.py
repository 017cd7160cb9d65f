"""A batch from beginning to end: look the files through, have the tasks carried out, gather the results."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import pyarrow as pa
from pyarrow import parquet

from lawnmap.batch.engines import Cluster, Engine, Pool, Serial
from lawnmap.batch.model import REFUSED, Done, Options, Outcome, Piece, Progress
from lawnmap.batch.rows import table_of
from lawnmap.batch.store import MAPS, MARK, VERSION, Store, save_chunk, taken, write_json
from lawnmap.batch.tables import FILES, table_files
from lawnmap.batch.totals import Totals
from lawnmap.batch.town import TOWN, town_page
from lawnmap.batch.work import is_quick
from lawnmap.batch.workbook import WORKBOOK, workbook
from lawnmap.batch.worklist import Worklist, make_worklist
from lawnmap.units import SYSTEMS

if TYPE_CHECKING:
    from lawnmap.job import Choices

_FEW_YARDS: Final = {False: 100, True: 20_000}
"""Up to so many yards, with lanes and without, one process is done before others have started. [count]"""


@dataclass(frozen=True)
class Report:
    """What a batch came to.

    Attributes
    ----------
    folder : Path
        Where the results are.
    totals : Totals
        Sums over all yards.
    resumed : int
        Yards that an earlier run had finished. [count]
    lost : int
        Shapes that name no yard and are near to none. [count]
    repeated : int
        Yards whose name an earlier yard had; they are told apart by a number. [count]
    units : str
        What to write figures in.
    """

    folder: Path
    totals: Totals = field(repr=False)
    resumed: int
    lost: int
    repeated: int
    units: str

    @property
    def page(self) -> Path:
        """The index map."""
        return self.folder / TOWN

    def to_dict(self) -> dict[str, object]:
        """Return the report as JSON values."""
        return {
            "lawnmap_batch": VERSION,
            "complete": True,
            "folder": str(self.folder),
            "units": self.units,
            "resumed": self.resumed,
            "shapes_of_no_yard": self.lost,
            "names_repeated": self.repeated,
            "totals": self.totals.to_dict(),
        }


def run(
    files: Sequence[str | Path],
    folder: str | Path,
    choices: Choices | None = None,
    options: Options | None = None,
    tell: Callable[[Progress], None] = lambda _: None,
) -> Report:
    """Plan any number of yards into one folder; an interrupted batch goes on where it stopped.

    Parameters
    ----------
    files : sequence of str or Path
        Yard files of one or many yards, job files, job folders, or folders of yard files.
    folder : str or Path
        A new or empty folder, or that of an earlier batch.
    choices : Choices, optional
        What to do with every yard, else the defaults; a job file among `files` goes by its own.
    options : Options, optional
        How to run it.
    tell : callable
        Is told how far it is, after every task.

    Returns
    -------
    Report
        Totals, and where the results are.

    Raises
    ------
    LawnmapError
        For a wrong job file, a folder that cannot be used, a full disk; not for a yard that cannot be planned.

    Examples
    --------
    ``lawnmap.batch.run(["yards.gpkg"], "town").totals.net_area_m2``
    """
    options, target = options or Options(), Path(folder).absolute()
    with taken(target):
        maps = target / MAPS if options.maps else None
        worklist = make_worklist([Path(file) for file in files], choices, options, maps)
        store = Store(target, worklist.fingerprint())
        store.begin()
        resumed = _carry_out(worklist, store, options, tell)
        title = (choices.general.name if choices else "") or target.name
        return _gather(worklist, store, title, resumed)


def _carry_out(worklist: Worklist, store: Store, options: Options, tell: Callable[[Progress], None]) -> int:
    """Have every task done that no earlier run has done; return how many yards one had."""
    kept = [store.done(number) for number in range(len(worklist))]
    counts = _Counts(worklist, tell)
    for done in kept:
        if done is not None:
            counts.add(done, resumed=True)
    counts.say()
    left = [number for number, done in enumerate(kept) if done is None]
    if not left:
        return counts.resumed
    engine = _engine(worklist, left, options, store.folder)
    try:
        for task, done in engine.each((worklist.task(number), store.chunk(number)) for number in left):
            counts.add(done or _recover(engine, task.number, worklist, store))
            counts.say()
    finally:
        engine.close()
    return counts.resumed


class _Counts:
    """How far the batch is, in yards."""

    def __init__(self, worklist: Worklist, tell: Callable[[Progress], None]) -> None:
        self.tell = tell
        self.total = worklist.yards
        self.expected = [sum(last - first for _, first, last in span) for span in worklist.spans]
        self.done = self.refused = self.resumed = 0

    def add(self, done: Done, *, resumed: bool = False) -> None:
        self.total += done.yards - self.expected[done.number]  # a file may hold more than was known
        self.done += done.yards
        self.refused += done.refused
        self.resumed += done.yards if resumed else 0

    def say(self) -> None:
        self.tell(Progress(self.done, self.total, self.refused, self.resumed))


def _engine(worklist: Worklist, left: list[int], options: Options, folder: Path) -> Engine:
    """One process for few yards, all cores for many, a cluster where one is named."""
    if options.scheduler:
        return Cluster(options.scheduler, folder)
    processes = options.processes
    if processes is None:
        quick = all(is_quick(file.choices, worklist.maps) for file in worklist.files)
        few = sum(last - first for number in left for _, first, last in worklist.spans[number])
        processes = 1 if few <= _FEW_YARDS[quick] else _cores()
    processes = min(processes, len(left))
    return Pool(processes) if processes > 1 else Serial()


def _cores() -> int:
    """Return the cores that this process may use. [count]"""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _recover(engine: Engine, number: int, worklist: Worklist, store: Store) -> Done:
    """Do a task again whose worker was lost; if that is lost as well, yard by yard, so that it costs one yard."""
    target = store.chunk(number)
    done = engine.alone((worklist.task(number), target))
    if done is not None:
        return done
    tables = []
    for place, task in enumerate(worklist.singly(number)):
        beside = target.with_suffix(f".{place}.parquet")
        if (engine.alone((task, beside)) or engine.alone((task, beside))) is None:
            tables.append(_lost(task.pieces[0]))
        else:
            tables.append(parquet.read_table(beside))
            beside.unlink()
    whole = pa.concat_tables(table.replace_schema_metadata(None) for table in tables)
    refused = sum(status == REFUSED for status in whole.column("status").to_pylist())
    save_chunk(whole.replace_schema_metadata(table_of((), refused).schema.metadata), target)
    return Done(number, whole.num_rows, refused)


def _lost(piece: Piece) -> pa.Table:
    name = piece.part.names[0] if piece.part else piece.path.stem
    reason = "the process that worked on it ended every time, perhaps for want of memory; plan it by itself, or mend it."
    return table_of([Outcome(name, str(piece.path), REFUSED, reason)], 1)


def _gather(worklist: Worklist, store: Store, title: str, resumed: int) -> Report:
    """Write all results from what the tasks have saved: once through for the sums, once for the files."""
    totals, names = Totals(), _Names()
    for table in _tables(worklist, store):
        rows = table.to_pylist()
        totals.add(rows)
    units = SYSTEMS[worklist.files[0].choices.general.units]
    with ExitStack() as stack:
        sinks = [
            *stack.enter_context(table_files(store.folder)),
            stack.enter_context(workbook(store.folder / WORKBOOK, totals, units, title)),
            stack.enter_context(town_page(store.folder / TOWN, totals, units, title)),
        ]
        for table in _tables(worklist, store):
            told = names.told_apart(table)
            rows = told.to_pylist()
            for sink in sinks:
                sink.add(told, rows)
    report = Report(store.folder, totals, resumed, worklist.lost, names.repeated, units.name)
    write_json(store.folder / MARK, report.to_dict())
    store.finish()
    return report


def _tables(worklist: Worklist, store: Store) -> Iterator[pa.Table]:
    for number in range(len(worklist)):
        yield parquet.read_table(store.chunk(number))


class _Names:
    """The names given so far: a second yard of the same name gets a number, and says so."""

    def __init__(self) -> None:
        self.taken: set[str] = set()
        self.repeated = 0

    def told_apart(self, table: pa.Table) -> pa.Table:
        """Return the table with every name given out once."""
        names, said = table.column("yard").to_pylist(), None
        for place, name in enumerate(names):
            if name in self.taken:
                said = said or table.column("findings").to_pylist()
                again = 2
                while f"{name} ({again})" in self.taken:
                    again += 1
                names[place] = f"{name} ({again})"
                said[place] = [*(said[place] or ()), _repeated(name, names[place])]
                self.repeated += 1
            self.taken.add(names[place])
        if said is None:
            return table
        return _with(_with(table, "yard", names), "findings", said)


def _repeated(name: str, given: str) -> str:
    return f'a second yard is called "{name}"; here it is "{given}" [yard-repeated]'


def _with(table: pa.Table, name: str, values: list[Any]) -> pa.Table:
    place = table.schema.get_field_index(name)
    return table.set_column(
        place, table.schema.field(place), pa.array(values, type=table.schema.field(place).type)
    )


__all__ = ["FILES", "Report", "run"]
