"""Yard files looked through and cut into tasks of a bearable size."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Final

import lawnmap
from lawnmap.batch.model import Options, Piece, Task
from lawnmap.batch.work import is_quick
from lawnmap.errors import FileError, LawnmapError
from lawnmap.job import JOB_FILE, Choices, read_choices
from lawnmap.survey import Contents, contents

if TYPE_CHECKING:
    from lawnmap.job import General

LISTED_FILES: Final = 200
"""Up to so many files are looked into before the work begins; of more, each is done as a whole. [count]"""

_FEW_TASKS: Final = 2_000
_WITH_LANES: Final = 50
_WITHOUT: Final = 2_000


@dataclass(frozen=True, eq=False)
class File:
    """One yard file, looked through.

    Attributes
    ----------
    path : Path
        The file.
    choices : Choices
        What to do with its yards.
    contents : Contents or None
        Its yards; None where it is done as a whole.
    own : dict of str to Choices or str
        Choices of single yards, or what is wrong with them.
    """

    path: Path
    choices: Choices
    contents: Contents | None
    own: dict[str, Choices | str]

    @property
    def yards(self) -> int:
        """How many yards it holds; 1 where that is not known. [count]"""
        return len(self.contents.names) if self.contents else 1

    def piece(self, first: int, last: int) -> Piece:
        """Return some of its yards. [count]"""
        if self.contents is None:
            return Piece(self.path, self.choices)
        part = self.contents.part(first, last)
        own = {name: self.own[name] for name in part.names if name in self.own}
        return Piece(self.path, self.choices, part, own)


@dataclass(frozen=True, eq=False)
class Worklist:
    """All tasks of a batch, made when they are asked for.

    Attributes
    ----------
    files : tuple of File
        The yard files.
    spans : tuple of tuple of (int, int, int)
        For every task the file, its first yard and the one after its last. [count]
    maps : Path or None
        Folder for the folders of single yards.
    lost : int
        Shapes that belong to no yard. [count]
    """

    files: tuple[File, ...]
    spans: tuple[tuple[tuple[int, int, int], ...], ...]
    maps: Path | None
    lost: int

    @property
    def yards(self) -> int:
        """How many yards there are, as far as is known. [count]"""
        return sum(file.yards for file in self.files)

    def __len__(self) -> int:
        return len(self.spans)

    def task(self, number: int) -> Task:
        """Return a task. [count]"""
        span = self.spans[number]
        pieces = tuple(self.files[file].piece(first, last) for file, first, last in span)
        return Task(number, pieces, sum(last - first for _, first, last in span), self.maps)

    def singly(self, number: int) -> Iterator[Task]:
        """Return the yards of a task one to a task, as far as they are known by name. [count]"""
        for file, first, last in self.spans[number]:
            for place in range(first, last):
                yield Task(number, (self.files[file].piece(place, place + 1),), 1, self.maps)

    def fingerprint(self) -> str:
        """Return what tells this batch from one with other yards, choices or tasks."""
        said = hashlib.sha256(lawnmap.__version__.encode())
        for file in self.files:
            stat = file.path.stat() if file.path.exists() else None
            said.update(f"{file.path.absolute()}|{stat and (stat.st_size, stat.st_mtime_ns)}|".encode())
            said.update(f"{file.choices!r}|{sorted(file.own.items())!r}".encode())
        said.update(f"{self.spans!r}|{self.maps}".encode())
        return said.hexdigest()[:16]


def make_worklist(
    given: Sequence[Path],
    choices: Choices | None,
    options: Options,
    maps: Path | None,
    looked: Callable[[Path], None] = lambda _: None,
) -> Worklist:
    """Look through the yard files and cut them into tasks.

    Parameters
    ----------
    given : sequence of Path
        Yard files, job files, job folders, or folders of yard files.
    choices : Choices, optional
        What to do with all of them; a job file goes by its own.
    options : Options
        How the batch is run.
    maps : Path or None
        Folder for the folders of single yards.
    looked : callable
        Is told of every file when it has been looked into.

    Raises
    ------
    LawnmapError
        Where a job file is wrong, or there is no yard file at all.
    """
    wanted = [pair for path in given for pair in _spread(path, choices, options)]
    if not wanted:
        raise FileError("no yard file is given", mend="name at least one")
    files = []
    for path, chosen in wanted:
        files.append(_look(path, chosen, options, listed=len(wanted) <= LISTED_FILES))
        looked(path)
    size = options.yards_per_task or _size(files, options, maps)
    lost = sum(file.contents.lost for file in files if file.contents)
    return Worklist(tuple(files), tuple(_spans(files, size)), maps, lost)


def _size(files: Sequence[File], options: Options, maps: Path | None) -> int:
    """Choose how many yards are saved at a time: a few seconds' work."""
    quick = not options.evenness and all(is_quick(file.choices, maps) for file in files)
    total = sum(file.yards for file in files)
    return max(_WITHOUT if quick else _WITH_LANES, -(-total // _FEW_TASKS))


def _spread(path: Path, choices: Choices | None, options: Options) -> Iterator[tuple[Path, Choices]]:
    """Turn what the user named into yard files with their choices."""
    if (path.is_dir() and (path / JOB_FILE).is_file()) or path.suffix.lower() == ".toml":
        own = read_choices(path)
        if not own.source.file:
            raise FileError(
                "the yard file is not named", where=f"{path}, [yard]", mend='add file = "yard.gpkg"'
            )
        yield own.folder / own.source.file, _for_many(own, options)
    elif path.is_dir():
        inside = sorted(
            one for one in path.iterdir() if one.is_file() and not one.name.startswith((".", "_"))
        )
        if not inside:
            raise FileError("there is no yard file in this folder", where=str(path), mend="name another")
        for one in inside:
            yield from _spread(one, choices, options)
    else:
        chosen = choices or Choices()
        source = chosen.source.model_copy(update={"yard": None, "file": None})
        yield path, _for_many(replace(chosen, source=source), options)


def _for_many(choices: Choices, options: Options) -> Choices:
    """Return choices in which every yard keeps its own name, and evenness is only worked out where asked for."""
    left_out = set(choices.general.leave_out)
    left_out |= set() if options.evenness else {"evenness"}
    general: General = choices.general.model_copy(update={"name": "", "leave_out": tuple(sorted(left_out))})
    return replace(choices, general=general)


def _look(path: Path, choices: Choices, options: Options, *, listed: bool) -> File:
    column = options.choices_column or None
    if not listed and column is None:
        return File(path, choices, None, {})
    try:
        held = contents(path, choices.source, column=column)
    except LawnmapError:
        if column is not None:
            raise
        return File(path, choices, None, {})  # the task that reads it says what is wrong
    own: dict[str, Choices | str] = {}
    read: dict[str, Choices | str] = {}
    for name, said in zip(held.names, held.said, strict=False):
        if said:
            if said not in read:
                read[said] = _own_choices(path.parent / said, choices, options)
            own[name] = read[said]
    return File(path, choices, held, own)


def _own_choices(job: Path, choices: Choices, options: Options) -> Choices | str:
    """Read the job file of single yards; how the layer is read stays as it is for all."""
    try:
        return _for_many(replace(read_choices(job), source=choices.source), options)
    except LawnmapError as fault:
        return str(fault)


def _spans(files: Iterable[File], size: int) -> Iterator[tuple[tuple[int, int, int], ...]]:
    """Cut the yards of all files, one after the other, into tasks of one size."""
    held: list[tuple[int, int, int]] = []
    room = size
    for number, file in enumerate(files):
        first = 0
        while first < file.yards:
            last = min(file.yards, first + room)
            held.append((number, first, last))
            room -= last - first
            first = last
            if not room:
                yield tuple(held)
                held, room = [], size
    if held:
        yield tuple(held)
