"""One sketch being drawn: its folder, the truth about it from the other rooms, and the plan made of it."""

from __future__ import annotations

import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from lawnmap.drawing.forms import describe_forms, fill_in
from lawnmap.drawing.imagery import tiles_under
from lawnmap.drawing.jobfile import with_values
from lawnmap.drawing.outcome import describe_plan
from lawnmap.drawing.pocket import pocket_page
from lawnmap.drawing.sketch import Sketch, read_sketch
from lawnmap.drawing.store import SKETCH, YARD, Store, write_whole
from lawnmap.drawing.trace import fit_of, own_names, trace
from lawnmap.errors import FileError, LawnmapError, OutputError
from lawnmap.job import JOB_FILE, Choices, job_template, plan, read_choices
from lawnmap.measure import take_off
from lawnmap.sheets import write
from lawnmap.survey import read, write_yard
from lawnmap.units import SYSTEMS, figure

if TYPE_CHECKING:
    from lawnmap.drawing.fit import Fit
    from lawnmap.drawing.paper import Paper
    from lawnmap.measure import Takeoff
    from lawnmap.yard import Yard

NO_ZONE: Final = "Draw the lawn: a zone for every part that is as thin or as full throughout."


@dataclass
class Studio:
    """What the server serves.

    Attributes
    ----------
    store : Store
        The folder.
    imagery : str, optional
        Name of a source of tiles to lay under a sheet that has a place; none without it.
    """

    store: Store
    imagery: str | None = None

    def __post_init__(self) -> None:
        """Refuse imagery that cannot be had, and make the yard of a sketch that has none yet: one that began from a yard file can be planned at once."""
        tiles_under(self._sketch().paper, self.imagery)
        if self.store.sketch() and not self.store.yard():
            self.save(self.store.sketch(), self.store.tag())

    def state(self) -> dict[str, object]:
        """Return what the page starts from."""
        sketch, paper = self._sketch(), self.store.paper()
        return {
            "sketch": sketch.model_dump(mode="json"),
            "tag": self.store.tag(),
            "paper": "/paper" if paper else None,
            "folder": str(self.store.folder),
            "truth": self.truth(sketch)[0],
            "imagery": tiles_under(sketch.paper, self.imagery),
        }

    def _sketch(self) -> Sketch:
        return read_sketch(self.store.sketch(), str(self.store.folder / SKETCH))

    def save(self, held: bytes, tag: str | None) -> dict[str, object]:
        """Save what the page sends, and the yard made of it, and say what is true of it.

        Parameters
        ----------
        held : bytes
            The sketch, as JSON.
        tag : str, optional
            Entity tag of what the page has read.

        Raises
        ------
        FileError
            Where it is no sketch.
        ChangedError
            Where the files have changed since.
        """
        sketch, before = read_sketch(held), self.store.sketch()
        truth, yard = self.truth(sketch)
        new_tag = self.store.save(sketch.text(), yard, tag)
        if yard is not None and not self._job_path.exists():
            self._write_job(self._job_text(sketch))
        elif self._job_path.exists() and before:
            self._follow(read_sketch(before), sketch)
        return {"tag": new_tag, "truth": truth}

    def forms(self) -> list[dict[str, object]]:
        """Return the choices of the job file, as the page asks for them.

        Raises
        ------
        FileError
            Where the job file cannot be read.
        """
        return describe_forms(self._job_text())

    def choose(self, sent: bytes) -> list[dict[str, object]]:
        """Put choices into the job file and return how it stands.

        Parameters
        ----------
        sent : bytes
            JSON of a `lawnmap.drawing.forms.Typed`.

        Raises
        ------
        FieldError
            Where a section refuses a value; nothing is written.
        FileError
            Where the job file cannot be read.
        """
        text = fill_in(self._job_text(), sent)
        self._write_job(text)
        return describe_forms(text)

    @property
    def _job_path(self) -> Path:
        return self.store.folder / JOB_FILE

    def _job_text(self, sketch: Sketch | None = None) -> str:
        """Return the job file, or the one that a new folder begins with."""
        try:
            return self._job_path.read_bytes().decode("utf-8-sig").replace("\r\n", "\n")
        except FileNotFoundError:
            sketch = sketch or read_sketch(self.store.sketch())
            return job_template({"file": YARD}, name=sketch.name, units=sketch.units)
        except (OSError, UnicodeDecodeError):
            raise FileError(
                "cannot be read as UTF-8 text", where=str(self._job_path), mend="check its rights"
            ) from None

    def _write_job(self, text: str) -> None:
        held = text.encode()
        if self._job_path.exists() and b"\r\n" in self._job_path.read_bytes():  # an editor on Windows made it
            held = held.replace(b"\n", b"\r\n")
        write_whole(self._job_path, held)

    def _follow(self, before: Sketch, sketch: Sketch) -> None:
        """Let the job file's name and units follow the page, where the user changes them there."""
        changed = {
            key: value
            for key, old, value in (("name", before.name, sketch.name), ("units", before.units, sketch.units))
            if old != value
        }
        if changed:
            try:
                self._write_job(with_values(self._job_text(), "", changed))
            except FileError:  # a job file that is being mended by hand; planning says what is wrong with it
                return

    def truth(self, sketch: Sketch) -> tuple[dict[str, object], bytes | None]:
        """Work out scale, yard and areas.

        Parameters
        ----------
        sketch : Sketch
            What was clicked.

        Returns
        -------
        truth : dict
            What the side of the page shows, all texts ready to be read.
        yard : bytes or None
            The yard file, where there is a scale and a zone.
        """
        truth: dict[str, object] = {"fit": None, "fault": None, "troubles": [], "areas": None, "stands": {}}
        try:
            fit = fit_of(sketch)
        except LawnmapError as fault:
            return {**truth, "fault": str(fault)}, None
        yard, troubles = trace(sketch, fit)
        truth |= {"fit": _fit(fit, sketch), "troubles": [trouble.to_dict() for trouble in troubles]}
        if not yard.zones:
            return {**truth, "fault": NO_ZONE}, None
        text, takeoff = self._measured(yard)
        if isinstance(takeoff, LawnmapError):
            return {**truth, "fault": str(takeoff)}, text
        classes = {zone.name: zone.density for zone in takeoff.zones}
        names = zip(sketch.shapes, own_names(sketch.shapes), strict=True)
        stands = {shape.id: classes[name] for shape, name in names if name in classes}
        return {**truth, "areas": _areas(takeoff, sketch.units), "stands": stands}, text

    def _measured(self, yard: Yard) -> tuple[bytes, Takeoff | LawnmapError]:
        """Write the yard and measure what can be read of it: the figures that the command line gives."""
        with tempfile.TemporaryDirectory(prefix="lawnmap-") as folder:
            path = Path(folder) / YARD
            write_yard(yard, path)
            text = path.read_bytes()
            try:
                choices = self._choices()
                return text, take_off(read(path, source=choices.source), choices.ground)
            except LawnmapError as fault:
                return text, fault

    def _choices(self) -> Choices:
        return read_choices(self._job_path) if self._job_path.exists() else Choices()

    def pocket(self) -> str:
        """Return the page as one file that draws without a server, on a phone for instance."""
        paper = self.store.paper()
        return pocket_page(self._sketch(), paper.read_bytes() if paper else b"")

    def exported(self, ending: str) -> bytes:
        """Return the yard in another format.

        Parameters
        ----------
        ending : str
            ``".gpkg"`` or ``".dxf"``.

        Raises
        ------
        FileError
            Without a yard file.
        """
        if not self.store.yard():
            raise FileError("there is no lawn yet", mend="give the sketch a scale and draw a zone")
        with tempfile.TemporaryDirectory(prefix="lawnmap-") as folder:
            path = Path(folder) / f"yard{ending}"
            write_yard(read(self.store.folder / YARD), path)
            return path.read_bytes()

    def plan(self) -> dict[str, object]:
        """Plan the folder, as the command line does, and return what came out.

        Raises
        ------
        InputError
            Where the plan cannot be made.
        """
        if not self.store.yard():
            raise FileError("there is no lawn to plan yet", mend="give the sketch a scale and draw a zone")
        made = plan(self.store.folder)
        page = write(made, self.store.folder / "plan")
        return {"map": str(page), **describe_plan(made)}


def open_folder(folder: Path, sketch: Sketch | None, paper: Paper | None = None) -> Store:
    """Make a job folder, or go on with one.

    Parameters
    ----------
    folder : Path
        The job folder.
    sketch : Sketch, optional
        What to begin with; without one the folder must hold a sketch.
    paper : Paper, optional
        The picture that goes with it.

    Raises
    ------
    FileError
        Without a sketch.
    OutputError
        Where the folder holds another sketch or yard, or cannot be written.
    """
    store = Store(folder)
    if store.sketch():
        if sketch is not None:
            raise OutputError(
                "there is a sketch in this folder already",
                where=str(folder),
                mend=f'go on with it by "lawnmap draw {folder}", or name another folder with -o',
            )
        read_sketch(store.sketch(), str(folder / SKETCH))
        return store
    if sketch is None:
        raise FileError(
            f"there is no {SKETCH} in it", where=str(folder), mend="name a picture or a yard file"
        )
    if store.yard():
        raise OutputError(
            f"there is a {YARD} in this folder already", where=str(folder), mend="name another folder with -o"
        )
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise OutputError(
            f"cannot be made ({fault.strerror})", where=str(folder), mend="name another folder with -o"
        ) from fault
    if paper is not None and paper.picture:
        write_whole(folder / f"paper{paper.ending}", paper.picture)
    store.save(sketch.text(), None, None)
    return store


def write_pocket(path: Path, sketch: Sketch | None, paper: Paper | None, folder: Path | None) -> None:
    """Write the page as one file for a phone.

    Parameters
    ----------
    path : Path
        The HTML file to write.
    sketch : Sketch, optional
        What to begin with; without one, what the folder holds.
    paper : Paper, optional
        The picture that goes with it.
    folder : Path, optional
        The job folder.

    Raises
    ------
    FileError
        Without a sketch.
    OutputError
        Where it cannot be written.
    """
    if sketch is None:
        assert folder is not None  # there is one or the other
        page = Studio(open_folder(folder, None)).pocket()
    else:
        page = pocket_page(sketch, paper.picture if paper else b"")
    write_whole(path, page.encode())


def _fit(fit: Fit, sketch: Sketch) -> dict[str, object]:
    system = SYSTEMS[sketch.units]
    middle = (sketch.paper.wide / 2, sketch.paper.high / 2)
    misses = [system.length(round(float(miss), 3)) for miss in fit.residuals_m]
    return {
        **fit.to_dict(),
        "metres_per_unit": fit.metres_per_unit(middle),
        "misses": misses,
        "worst_text": f"{figure(100 * fit.worst, 2)} %" if len(misses) > 1 and fit.kind == "scale" else "",
    }


def _areas(takeoff: Takeoff, units: str) -> dict[str, object]:
    system = SYSTEMS[units]
    taken: dict[str, float] = {}
    for cut in takeoff.cutouts:
        taken[cut.kind] = taken.get(cut.kind, 0.0) + cut.area_m2
    return {
        "zones": [
            {
                "name": zone.name,
                "density": zone.density,
                "gross": system.area(zone.gross_area_m2),
                "net": system.area(zone.net_area_m2),
                "error": system.area_error(zone.net_area_se_m2),
            }
            for zone in takeoff.zones
        ],
        "cutouts": [{"kind": kind, "area": system.area(area)} for kind, area in taken.items()],
        "net": system.area(takeoff.net_area_m2),
        "net_area_m2": takeoff.net_area_m2,
        "error": system.area_error(takeoff.net_area_se_m2),
        "findings": [finding.to_dict() for finding in takeoff.findings],
    }
