"""The choices of one job: every room's section of ``job.toml``, read, checked and written out."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, Final, Literal

import lawnmap
from lawnmap.choices import Section, choice, template
from lawnmap.errors import ChoiceError, InputError, nearest
from lawnmap.evenness import Spreader
from lawnmap.job.tomlfile import load_toml
from lawnmap.lanes import Rig
from lawnmap.measure import Ground
from lawnmap.rates import Fertilizer, Product, Seed, Spray, Straw, Topdress
from lawnmap.survey import Source
from lawnmap.units import UnitsName

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping

    from lawnmap.choices import Default
    from lawnmap.contact import Contact
    from lawnmap.quote import Client, Contractor, Prices
    from lawnmap.record import Follow
    from lawnmap.schedule import Dates, Station, Water

JOB_FILE: Final = "job.toml"

Part = Literal["seed", "fertilizer", "lanes", "evenness"]


class General(Section):
    """The keys at the head of a job file, before any section."""

    section: ClassVar[str] = ""

    name: str = choice("name", "", "What to call the job; the yard's own name if empty.", max_length=200)
    units: UnitsName = choice("units", "us", "Units of the results: 'us' or 'metric'.")
    leave_out: tuple[Part, ...] = choice(
        "leave_out", (), "Parts of the work to leave out: any of 'seed', 'fertilizer', 'lanes', 'evenness'."
    )
    notes: tuple[str, ...] = choice(
        "notes", (), "Anything to remember about the job; it is printed with the plan."
    )
    imagery: str | None = choice(
        "imagery",
        None,
        "Name of a tile source to lay under the map, as the xyzservices package names it; needs a network to view.",
    )
    paper: Literal["letter", "A4"] | None = choice(
        "paper", None, "Paper of the printed sheets: 'letter' or 'A4'; else what goes with the units."
    )
    font: str | None = choice(
        "font",
        None,
        "TrueType file beside the job file, for names with signs that the usual type does not have.",
    )


@dataclass(frozen=True)
class Choices:
    """All choices for one job; every room has its section.

    Attributes
    ----------
    general : General
        The head of the job file.
    source : Source
        ``[yard]``: the yard file and what it leaves out.
    ground : Ground
        ``[ground]``: density table, vertex accuracy, setback.
    seed : Seed
        ``[seed]``
    fertilizer : Fertilizer
        ``[fertilizer]``
    products : tuple of Product
        ``[[product]]``, any number of them.
    sprays : tuple of Spray
        ``[[spray]]``, any number of them: labels as the user copied them.
    topdress : Topdress or None
        ``[topdress]``, where the job file has it.
    straw : Straw or None
        ``[straw]``, where the job file has it.
    contact : Contact or None
        ``[contact]``: ways to bring seed into the soil, where the job file asks to compare them.
    record : Follow or None
        ``[record]``: how the plan starts from the log, where the job file asks for it.
    rig : Rig
        ``[rig]``
    spreader : Spreader
        ``[spreader]``: how it throws.
    prices : Prices or None
        ``[prices]``, where the job file has it.
    client, contractor : Client, Contractor or None
        ``[client]`` and ``[contractor]``, where the job file has them.
    options : tuple of Option
        ``[[option]]``: the job done otherwise, for the quote.
    dates : Dates or None
        ``[dates]``: the calendar; None without one.
    water : Water or None
        ``[water]``: hours, limits and depths.
    stations : tuple of Station
        ``[[station]]``, in the order in which they run.
    folder : Path
        Where the job file is; relative paths start there.
    """

    general: General = field(default_factory=General)
    source: Source = field(default_factory=Source)
    ground: Ground = field(default_factory=Ground)
    seed: Seed = field(default_factory=Seed)
    fertilizer: Fertilizer = field(default_factory=Fertilizer)
    products: tuple[Product, ...] = ()
    sprays: tuple[Spray, ...] = ()
    topdress: Topdress | None = None
    straw: Straw | None = None
    contact: Contact | None = None
    record: Follow | None = None
    rig: Rig = field(default_factory=Rig)
    spreader: Spreader = field(default_factory=Spreader)
    prices: Prices | None = None
    client: Client | None = None
    contractor: Contractor | None = None
    options: tuple[Option, ...] = ()
    dates: Dates | None = None
    water: Water | None = None
    stations: tuple[Station, ...] = ()
    folder: Path = field(default_factory=Path)

    def defaults(self) -> tuple[Default, ...]:
        """Return every choice that the user did not make, in the order of the job file."""
        parts: list[Section] = [self.ground]
        parts += [part for name, part in self._optional() if name not in self.general.leave_out]
        parts += [part for part in (self.topdress, self.straw, self.contact, self.record) if part is not None]
        parts += [self.prices] if self.prices else []
        parts += [self.water or lawnmap.schedule.Water()] if self.stations else []
        return tuple(default for part in parts for default in part.defaults())

    def _optional(self) -> tuple[tuple[Part, Section], ...]:
        return (
            ("seed", self.seed),
            ("fertilizer", self.fertilizer),
            ("lanes", self.rig),
            ("lanes", self.spreader),
        )

    def for_yard_file(self, path: Path) -> Choices:
        """Return the same choices for another yard file."""
        return replace(self, source=self.source.model_copy(update={"file": str(path)}), folder=Path())


@dataclass(frozen=True)
class Option:
    """The job done otherwise: one ``[[option]]``.

    Attributes
    ----------
    name : str
        What the quote calls it.
    choices : Choices
        Those of the job, with what the option says put in their place.
    """

    name: str
    choices: Choices


def areas_only(choices: Choices) -> Choices:
    """Return the choices of a job of which only the areas are wanted.

    Parameters
    ----------
    choices : Choices
        Those of the whole job.
    """
    general = choices.general.model_copy(update={"leave_out": ("seed", "fertilizer", "lanes")})
    return replace(choices, general=general, products=(), prices=None, options=())


def read_choices(path: Path) -> Choices:
    """Read a job file.

    Parameters
    ----------
    path : Path
        A ``job.toml``, or the folder that holds one.

    Raises
    ------
    FileError
        Without a file, or with one that is not TOML.
    ChoiceError
        At the first section, key or value that is wrong.
    """
    path = path / JOB_FILE if path.is_dir() else path
    values = load_toml(path)
    tables = _tables(values.pop("option", []), path, "option")
    options = tuple(_option(values, table, path) for table in tables)
    return replace(_compose(values, path), options=options)


def _compose(values: Mapping[str, object], path: Path) -> Choices:
    """Read every section of a job file but the options."""
    general = {key: value for key, value in values.items() if key not in _SECTIONS}
    strange = [key for key, value in general.items() if isinstance(value, dict)]
    if strange:
        raise ChoiceError(
            f"there is no section [{strange[0]}]", where=str(path), mend=nearest(strange[0], _SECTIONS)
        )
    return Choices(
        general=General.read(general, file=str(path)),
        folder=path.parent,
        **{place.field or place.key: place.read(values, path) for place in PLACES},
    )


def _option(values: Mapping[str, object], table: Mapping[str, object], path: Path) -> Option:
    """Put what an option says in the place of what the job says, key by key within a section."""
    name = table.get("name")
    if not isinstance(name, str) or not name:
        raise ChoiceError("an option has no name", where=f"{path}, [[option]]", mend='add name = "better"')
    place = f'[[option]] "{name}"'
    may = [key for key in (*_SECTIONS, "leave_out") if key not in _SHARED]
    merged = dict(values)
    for key, value in table.items():
        if key == "name":
            continue
        if key not in may:
            raise ChoiceError(
                f'an option has no key "{key}"', where=f"{path}, {place}", mend=nearest(key, may)
            )
        held = values.get(key)
        merged[key] = {**held, **value} if isinstance(held, dict) and isinstance(value, dict) else value
    try:
        return Option(name, _compose(merged, path))
    except InputError as fault:
        raise fault.at(place) from None


_SHARED: Final = ("yard", "ground", "client", "contractor")
"""What every option has in common: the ground, and who offers to whom."""


@dataclass(frozen=True)
class _Place:
    """Where a section stands: its key in the file, its field here, and how often it may be there.

    Attributes
    ----------
    key, field : str
        Its name in the job file, and that of the field of `Choices`, where it is another.
    model : callable
        Gives what reads it; its room is loaded then, as few jobs have every section.
    how : str
        ``"always"``: its defaults hold where the file leaves it out; ``"asked"``: None then;
        ``"many"``: a tuple, as ``[[key]]``.
    about : str
        What stands above it in a new job file, where it is commented out.
    """

    key: str
    model: Callable[[], type[Section]]
    how: Literal["always", "asked", "many"] = "always"
    about: str = ""
    field: str = ""

    def read(self, values: Mapping[str, object], path: Path) -> Any:
        """Read what a job file holds of it."""
        if self.how == "many":
            tables = _tables(values.get(self.key, []), path, self.key)
            return tuple(self.model().read(table, file=str(path)) for table in tables)
        if self.how == "asked" and self.key not in values:
            return None
        return self.model().read(_table(values, self.key, path), file=str(path))

    def template(self, source: Mapping[str, object]) -> str:
        """Write it as a new job file holds it: commented out, unless it always counts."""
        if self.how == "always":
            return template(self.model(), source if self.key == "yard" else {})
        head = f"[[{self.key}]]" if self.how == "many" else f"[{self.key}]"
        lines = template(self.model()).splitlines()[1:]
        commented = [line if line.startswith("#") else f"# {line}" for line in lines if line]
        return "\n".join([f"# {self.about}", f"# {head}", *commented]) + "\n"


PLACES: Final = (
    _Place("yard", lambda: Source, field="source"),
    _Place("ground", lambda: Ground),
    _Place("seed", lambda: Seed),
    _Place("fertilizer", lambda: Fertilizer),
    _Place("rig", lambda: Rig),
    _Place("spreader", lambda: Spreader),
    _Place(
        "product", lambda: Product, "many", "Any further granular product, as often as needed:", "products"
    ),
    _Place(
        "spray",
        lambda: Spray,
        "many",
        "Each spray, its figures copied from the label that you hold:",
        "sprays",
    ),
    _Place("topdress", lambda: Topdress, "asked", "Topdressing over the seed, by depth:"),
    _Place("straw", lambda: Straw, "asked", "Straw over the seed, by the bale:"),
    _Place(
        "contact", lambda: lawnmap.contact.Contact, "asked", "Ways to bring seed into the soil, compared:"
    ),
    _Place(
        "record", lambda: lawnmap.record.Follow, "asked", 'A plan that starts from what "lawnmap log" holds:'
    ),
    _Place(
        "prices",
        lambda: lawnmap.quote.Prices,
        "asked",
        "For a quote; each [[option]], with a name and sections of its own, is offered beside the job:",
    ),
    _Place("client", lambda: lawnmap.quote.Client, "asked", "Whom the quote is for:"),
    _Place("contractor", lambda: lawnmap.quote.Contractor, "asked", "Who offers, if not in the price book:"),
    _Place("dates", lambda: lawnmap.schedule.Dates, "asked", "The calendar of the season, if you want one:"),
    _Place("water", lambda: lawnmap.schedule.Water, "asked", "Hours, limits and depths for watering:"),
    _Place(
        "station",
        lambda: lawnmap.schedule.Station,
        "many",
        "Sprinklers that one valve opens, as often as needed:",
        "stations",
    ),
)
"""Every section of a job file, in the order of a new one."""

_SECTIONS: Final = tuple(place.key for place in PLACES)


def _table(values: Mapping[str, object], name: str, path: Path) -> dict[str, object]:
    value = values.get(name, {})
    if not isinstance(value, dict):
        raise ChoiceError(f'"{name}" is a section', where=str(path), mend=f"write it as [{name}]")
    return value


def _tables(value: object, path: Path, name: str) -> list[dict[str, object]]:
    if not isinstance(value, list) or not all(isinstance(table, dict) for table in value):
        raise ChoiceError(
            f'"{name}" may stand several times', where=str(path), mend=f"write it as [[{name}]]"
        )
    return value
