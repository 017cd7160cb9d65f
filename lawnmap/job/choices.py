"""The choices of one job: every room's section of ``job.toml``, read, checked and written out."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar, Final, Literal

from lawnmap.choices import Section, choice, template
from lawnmap.errors import ChoiceError, FileError, nearest
from lawnmap.evenness import Spreader
from lawnmap.lanes import Rig
from lawnmap.measure import Ground
from lawnmap.rates import Fertilizer, Product, Seed
from lawnmap.survey import Source
from lawnmap.units import UnitsName

if TYPE_CHECKING:
    from collections.abc import Mapping

    from lawnmap.choices import Default

JOB_FILE: Final = "job.toml"
_LARGEST_BYTES: Final = 1_000_000

Part = Literal["seed", "fertilizer", "lanes"]


class General(Section):
    """The keys at the head of a job file, before any section."""

    section: ClassVar[str] = ""

    name: str = choice("name", "", "What to call the job; the yard's own name if empty.", max_length=200)
    units: UnitsName = choice("units", "us", "Units of the results: 'us' or 'metric'.")
    leave_out: tuple[Part, ...] = choice(
        "leave_out", (), "Parts of the work to leave out: any of 'seed', 'fertilizer', 'lanes'."
    )
    notes: tuple[str, ...] = choice(
        "notes", (), "Anything to remember about the job; it is printed with the plan."
    )
    imagery: str | None = choice(
        "imagery",
        None,
        "Name of a tile source to lay under the map, as the xyzservices package names it; needs a network to view.",
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
    rig : Rig
        ``[rig]``
    spreader : Spreader
        ``[spreader]``: how it throws.
    folder : Path
        Where the job file is; relative paths start there.
    """

    general: General = field(default_factory=General)
    source: Source = field(default_factory=Source)
    ground: Ground = field(default_factory=Ground)
    seed: Seed = field(default_factory=Seed)
    fertilizer: Fertilizer = field(default_factory=Fertilizer)
    products: tuple[Product, ...] = ()
    rig: Rig = field(default_factory=Rig)
    spreader: Spreader = field(default_factory=Spreader)
    folder: Path = field(default_factory=Path)

    def defaults(self) -> tuple[Default, ...]:
        """Return every choice that the user did not make, in the order of the job file."""
        parts: list[Section] = [self.ground]
        parts += [part for name, part in self._optional() if name not in self.general.leave_out]
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
    values = _load(path)
    general = {key: value for key, value in values.items() if key not in _SECTIONS}
    strange = [key for key, value in general.items() if isinstance(value, dict)]
    if strange:
        raise ChoiceError(
            f"there is no section [{strange[0]}]", where=str(path), mend=nearest(strange[0], _SECTIONS)
        )
    products = _tables(values.get("product", []), path, "product")
    return Choices(
        general=General.read(general, file=str(path)),
        source=Source.read(_table(values, "yard", path), file=str(path)),
        ground=Ground.read(_table(values, "ground", path), file=str(path)),
        seed=Seed.read(_table(values, "seed", path), file=str(path)),
        fertilizer=Fertilizer.read(_table(values, "fertilizer", path), file=str(path)),
        products=tuple(Product.read(table, file=str(path)) for table in products),
        rig=Rig.read(_table(values, "rig", path), file=str(path)),
        spreader=Spreader.read(_table(values, "spreader", path), file=str(path)),
        folder=path.parent,
    )


_SECTIONS: Final = ("yard", "ground", "seed", "fertilizer", "product", "rig", "spreader")


def _load(path: Path) -> dict[str, object]:
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise FileError(
                "is too large to be a job file", where=str(path), mend="give the job file, not the yard"
            )
        return tomllib.loads(path.read_text("utf-8-sig"))
    except FileNotFoundError:
        raise FileError(
            "there is no such job file", where=str(path), mend='make one with "lawnmap new"'
        ) from None
    except OSError as fault:
        reason = (fault.strerror or "it cannot be opened").lower()
        raise FileError(f"cannot be read ({reason})", where=str(path), mend="check its rights") from None
    except UnicodeDecodeError:
        raise FileError("is not UTF-8 text", where=str(path), mend="save it as UTF-8") from None
    except tomllib.TOMLDecodeError as fault:
        raise FileError(f"is not valid TOML: {fault}", where=str(path), mend="mend that line") from None
    except RecursionError:
        raise FileError("is nested too deeply", where=str(path), mend="write it flat") from None


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


def job_template(source: Mapping[str, object], *, name: str = "", units: UnitsName = "us") -> str:
    """Write a commented job file with every default.

    Parameters
    ----------
    source : mapping
        What ``[yard]`` shall hold: at least ``file``, relative to the job file.
    name : str
        Name of the job.
    units : str
        Units of the results.

    Returns
    -------
    str
        TOML text that `read_choices` reads.
    """
    head = template(General, {"name": name, "units": units}).removeprefix("[]\n")
    parts = [
        template(Source, source),
        *(template(model) for model in (Ground, Seed, Fertilizer, Rig, Spreader)),
    ]
    product = template(Product).splitlines()
    commented = "\n".join(["# Any further granular product, as often as needed:", "# [[product]]"] + [
        line if line.startswith("#") else f"# {line}" for line in product[1:]
    ])  # fmt: skip
    return "\n".join(
        [
            "# A lawnmap job. Quantities are written with their unit. Delete what may stay at its default.",
            "",
            head,
            *parts,
            commented + "\n",
        ]
    )
