"""Codes and line commands of survey points turned into linework, curves included."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import numpy as np

from lawnmap.errors import ShapeError
from lawnmap.survey.arcs import bulge_through, flatten
from lawnmap.survey.codes import guess_role
from lawnmap.survey.linework import Piece
from lawnmap.survey.points.doubts import CURVE_WORD, missing_arcs
from lawnmap.yard import Finding, finding

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from numpy.typing import NDArray

    from lawnmap.survey.points.table import Shot

_COMMANDS: Final[dict[str, str]] = {
    spelling: command
    for command, spellings in (
        ("begin", "B BL BEG BEGIN ST START"),
        ("end", "E EL END"),
        ("close", "C CL CLS CLO CLOSE"),
        ("curve", "PC BC BCV"),
        ("straight", "PT EC ECV"),
        ("next curve", "PCC PRC"),
        ("on curve", "OC CV CRV ARC POC"),
    )
    for spelling in spellings.split()
}
"""Line commands after a code. Collectors differ: these are the spellings most of them share. *common practice*"""

CHECKS: Final = ("CHK", "CHECK", "TBM", "CP", "TRAV", "BS", "STN")
"""Codes of shots that are no part of the yard: checks, control and set-ups. *common practice*"""

_LEAST_LOOSE: Final = 2  # an arc has two ends


@dataclass(slots=True)
class _Line:
    code: str
    shots: list[Shot] = field(default_factory=list)
    on_curve: list[bool] = field(default_factory=list)
    curving: bool = False
    closed: bool = False


def join_shots(shots: Sequence[Shot], tolerance: float) -> tuple[list[Piece], list[Finding]]:
    """Join points of one code into lines, as their commands say.

    ``B`` begins a line, ``E`` ends it, ``C`` closes it to its first point. Between ``PC`` and ``PT``
    the line is a curve through its points, ``PCC`` and ``PRC`` part one arc from the next; ``OC`` marks one
    point on an arc between its neighbours.
    Where a code has no commands at all, its points are joined in order and closed, and that is told.

    Parameters
    ----------
    shots : sequence of Shot
        In the order of the file.
    tolerance : float
        Greatest distance between a curve and its chords. [unit of the file]

    Returns
    -------
    tuple of (list of Piece, list of Finding)
        One layer for each code; a code with a single point gives a piece of one point.
    """
    by_code: dict[str, list[tuple[Shot, list[str]]]] = {}
    for shot in shots:
        code = code_of(shot)
        if code not in CHECKS:
            by_code.setdefault(code, []).append((shot, shot.text.upper().split()[1:]))
    pieces: list[Piece] = []
    found = _loose_curve_points(by_code)
    for code, rows in by_code.items():
        lines = _lines(code, rows, found)
        for line in lines:
            found += missing_arcs(code, line.shots, line.on_curve, closed=line.closed)
        pieces += [_piece(line, tolerance) for line in lines]
    return pieces, found


def code_of(shot: Shot) -> str:
    """Return the code of a point: the first word of its description, in capitals; empty without one."""
    return (shot.text.upper().split() or [""])[0]


def _loose_curve_points(by_code: Mapping[str, list[tuple[Shot, list[str]]]]) -> list[Finding]:
    """Points whose whole code is that of a curve point belong to a line that does not know of them."""
    loose = [(code, rows) for code, rows in by_code.items() if CURVE_WORD.fullmatch(code)]
    count = sum(len(rows) for _, rows in loose)
    if count < _LEAST_LOOSE:
        return []
    text = f"{count} points coded {', '.join(code for code, _ in loose)} are part of no line, so no arc is drawn there"
    return [finding("arcs-may-be-missing", text, f"line {loose[0][1][0][0].line}")]


def _lines(code: str, rows: list[tuple[Shot, list[str]]], found: list[Finding]) -> list[_Line]:
    letters = [word for _, words in rows for word in words if len(word) == 1]
    if any(letter not in _COMMANDS for letter in letters):
        # Corners lettered A, B, C, D: then B and C begin and close nothing.
        text = f'the letters after code "{code}" were taken as names of corners, not as line commands'
        found.append(finding("letters-are-names", text, f"line {rows[0][0].line}"))
        rows = [(shot, [word for word in words if len(word) > 1]) for shot, words in rows]
    commanded = any(word in _COMMANDS for _, words in rows for word in words)
    if not commanded:
        return _uncommanded(code, rows, found)
    lines: list[_Line] = []
    current: _Line | None = None
    for shot, words in rows:
        commands = {_COMMANDS[word] for word in words if word in _COMMANDS}
        if current is None or "begin" in commands:
            current = _Line(code)
            lines.append(current)
        current.shots.append(shot)
        along = current.curving and not commands & {"straight", "next curve"}
        current.on_curve.append("on curve" in commands or along)
        if "curve" in commands:
            current.curving, current.on_curve[-1] = True, False
        if "straight" in commands:
            current.curving = False
        if "close" in commands:
            current.closed = True
        if commands & {"close", "end"}:
            current = None
    return lines


def _uncommanded(code: str, rows: list[tuple[Shot, list[str]]], found: list[Finding]) -> list[_Line]:
    shots = [shot for shot, _ in rows]
    role = guess_role(code)
    if len(shots) < 3 or (role is not None and role[0] == "landmark") or role == ("obstacle", "tree"):
        return [_Line(code, [shot], [False]) for shot in shots]
    if role is not None and role[0] == "water":
        return [_Line(code, shots, [False] * len(shots))]
    text = (
        f'{len(shots)} points of code "{code}" have no line commands; they were joined in order by straight lines '
        "and closed"
    )
    found.append(finding("points-joined", text, f"line {shots[0].line}"))
    return [_Line(code, shots, [False] * len(shots), closed=True)]


def _piece(line: _Line, tolerance: float) -> Piece:
    where = f"line {line.shots[0].line}"
    first, last = line.shots[0].number, line.shots[-1].number
    name = f"{where}, points {first} to {last}" if len(line.shots) > 1 else f"{where}, point {first}"
    line.closed = line.closed and len(line.shots) > 2  # two points have nothing to close
    if any(line.on_curve):
        line = _from_a_corner(line, where)
    points = np.array([(shot.east, shot.north) for shot in line.shots])
    run = _bend(points, line.on_curve, closed=line.closed)
    return Piece(flatten(run, tolerance, closed=line.closed), line.closed, line.code, name)


def _from_a_corner(line: _Line, where: str) -> _Line:
    """Let the line begin at a point that ends an arc, so that no arc runs across its beginning."""
    if not line.closed:
        if line.on_curve[0] or line.on_curve[-1]:
            raise ShapeError(
                f'a curve of code "{line.code}" has no end point',
                where=where,
                mend="shoot both ends of the curve, or close the line",
            )
        return line
    if all(line.on_curve):
        raise ShapeError(
            f'the curve of code "{line.code}" nowhere begins', where=where, mend="mark its ends PC and PT"
        )
    start = line.on_curve.index(False)
    return _Line(
        line.code,
        line.shots[start:] + line.shots[:start],
        line.on_curve[start:] + line.on_curve[:start],
        closed=True,
    )


def _bend(points: NDArray[np.float64], on_curve: list[bool], *, closed: bool) -> NDArray[np.float64]:
    """Give each edge along a curve its bulge: arcs through three points at a time, the last one shared."""
    count = len(points)
    bulges = np.zeros(count)
    ring = np.vstack([points, points[:1]]) if closed else points
    flags = [*on_curve, False] if closed else on_curve
    start = 0
    while start < len(flags) - 1:
        end = next(i for i in range(start + 1, len(flags)) if not flags[i])
        stretch = ring[start : end + 1]
        if len(stretch) > 2:
            bulges[start:end] = _along(stretch)
        start = end
    return np.column_stack([points, bulges])


def _along(stretch: NDArray[np.float64]) -> NDArray[np.float64]:
    """Bulge of each edge of a curve through points: of the circle through it and the point before or after."""
    bulges = np.zeros(len(stretch) - 1)
    for i in range(len(bulges)):
        middle = i + 1 if i % 2 == 0 and i + 2 < len(stretch) else i
        a, b, c = stretch[middle - 1], stretch[middle], stretch[middle + 1]
        whole = np.arctan(bulge_through(a, b, c)) * 4
        # The angle at the centre parts as the inscribed angles do: that over ab is seen from c.
        seen = _angle(c, a, b) * 2
        bulges[i] = np.tan((np.sign(whole) * seen if i == middle - 1 else whole - np.sign(whole) * seen) / 4)
    return bulges


def _angle(at: NDArray[np.float64], one: NDArray[np.float64], other: NDArray[np.float64]) -> float:
    u, v = one - at, other - at
    return float(np.arctan2(abs(u[0] * v[1] - u[1] * v[0]), u @ v))
