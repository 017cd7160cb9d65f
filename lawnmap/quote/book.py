"""A price book as a file: TOML with the keys of ``[prices]``, or CSV with one price in a row."""

from __future__ import annotations

import csv
import tomllib
from typing import TYPE_CHECKING, Any, Final

from lawnmap.errors import FileError, nearest

if TYPE_CHECKING:
    from pathlib import Path

COLUMNS: Final = ("item", "name", "per", "price")
_RATES: Final = ("labour", "machine", "travel", "by_hand", "laying", "spraying")
_PLAIN: Final = ("minimum_charge", "labour_flat", "markup", "margin", "currency")
_LARGEST_BYTES: Final = 4_000_000


def read_book(path: Path) -> dict[str, Any]:
    """Read a price book as the keys of ``[prices]``.

    A CSV book has the columns ``item, name, per, price``. Its items: ``material`` (per ``50 lb`` for a pack, per
    ``lb`` for a weight), ``labour``, ``machine``, ``travel``, ``by_hand``, ``laying`` and
    ``spraying`` (per ``h``, ``mi``, ``sq ft``),
    ``disposal`` and ``extra`` (per unit or for the lot), ``tax`` (per the kinds it is on), ``minimum_charge``,
    ``labour_flat``, ``markup``, ``margin`` and ``currency``.

    Parameters
    ----------
    path : Path
        A ``.toml`` or ``.csv`` file.

    Raises
    ------
    FileError
        If it cannot be read; for a row of a table with its line.
    """
    try:
        if path.stat().st_size > _LARGEST_BYTES:
            raise FileError("is too large to be a price book", where=str(path), mend="name the right file")
        text = path.read_text("utf-8-sig")
        if path.suffix.lower() == ".csv":
            return _from_table(text, path)
        return tomllib.loads(text)
    except FileNotFoundError:
        raise FileError(
            "there is no such price book",
            where=str(path),
            mend="put it beside the job file, or mend book in [prices]",
        ) from None
    except OSError as fault:
        reason = (fault.strerror or "it cannot be opened").lower()
        raise FileError(f"cannot be read ({reason})", where=str(path), mend="check its rights") from None
    except UnicodeDecodeError:
        raise FileError("is not UTF-8 text", where=str(path), mend="save it as UTF-8") from None
    except tomllib.TOMLDecodeError as fault:
        raise FileError(f"is not valid TOML: {fault}", where=str(path), mend="mend that line") from None


def _from_table(text: str, path: Path) -> dict[str, Any]:
    reader = csv.reader(text.splitlines())
    rows = [(number, [cell.strip() for cell in row]) for number, row in enumerate(reader, 1)]
    rows = [(number, row) for number, row in rows if any(row) and not row[0].startswith("#")]
    heads = [cell.lower() for cell in rows[0][1]] if rows else []
    for column in COLUMNS:
        if column not in heads:
            raise FileError(
                f'has no column "{column}"', where=str(path), mend=f"head the columns {', '.join(COLUMNS)}"
            )
    held: dict[str, Any] = {}
    for number, row in rows[1:]:
        cells = dict(zip(heads, [*row, *[""] * (len(heads) - len(row))], strict=False))
        _take(held, cells, f"{path}, line {number}")
    return held


def _take(held: dict[str, Any], cells: dict[str, str], where: str) -> None:
    item, name, per, price = (cells[column] for column in COLUMNS)
    if not price:
        raise FileError(f'"{item}" has no price', where=where, mend="fill in the column price")
    if item == "material":
        _take_material(held, name, per, price)
    elif item in _RATES:
        if item in held:
            raise FileError(f'"{item}" stands there twice', where=where, mend="leave one of them")
        held[item] = f"{price} / {per}" if per else price
    elif item in _PLAIN:
        held[item] = price
    elif item in {"extra", "disposal"}:
        kind = "disposal" if item == "disposal" else "other"
        row = {"name": name or item.capitalize(), "kind": kind, "price": f"{price} / {per}" if per else price}
        held.setdefault("extra", []).append(row)
    elif item == "tax":
        kinds = {"on": per.split()} if per else {}
        held.setdefault("tax", []).append({"name": name or "Tax", "rate": price, **kinds})
    else:
        known = ("material", *_RATES, *_PLAIN, "extra", "disposal", "tax")
        raise FileError(f'there is no item "{item}"', where=where, mend=nearest(item, known))


def _take_material(held: dict[str, Any], name: str, per: str, price: str) -> None:
    """Add a pack to its material, or set the price by weight or volume."""
    materials = held.setdefault("material", [])
    found = next((one for one in materials if one["name"] == name), None)
    if found is None:
        found = {"name": name}
        materials.append(found)
    if per[:1].isdigit():
        found.setdefault("packs", []).append({"size": per, "price": price})
    elif per in {"", "each", "bag", "bale"}:
        found["each"] = price
    else:
        found["price"] = f"{price} / {per}"
