"""What a quote is: lines that are traced back to area, rate and price, taxes, and sums that reconcile to the cent."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from lazy_loader import load

if TYPE_CHECKING:
    from datetime import date

    import pandas as pd

    from lawnmap.quote.money import Money
    from lawnmap.quote.party import Client, Contractor
    from lawnmap.quote.prices import Kind
    from lawnmap.yard import Finding

pandas = load("pandas")  # slow to load, and only tables need it


@dataclass(frozen=True)
class Line:
    """One line of an offer.

    Attributes
    ----------
    kind : str
        One of `lawnmap.quote.KINDS`.
    name : str
        What it is.
    basis : str
        How the quantity came about, in words: area, rate, times.
    quantity : Decimal
        How much is charged, as it is printed. [unit]
    unit : str
        What is counted: ``"h"``, ``"pack"``, ``"sq ft"``; empty for a lump sum.
    unit_price : Decimal
        What one costs. [currency]
    cost : Decimal
        Quantity times unit price, rounded. [currency]
    price : Decimal
        What the client pays for it before tax: cost with markup or margin, rounded. [currency]
    material : str
        Name of the material, on its lines; else empty.
    size_si : float
        How large the unit is: contents of a pack, an hour in seconds; 0 for a lump sum. [SI unit of what is counted]
    """

    kind: Kind
    name: str
    basis: str
    quantity: Decimal
    unit: str
    unit_price: Decimal
    cost: Decimal
    price: Decimal
    material: str = ""
    size_si: float = 0.0

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping, amounts as text so that none is ever rounded."""
        return {
            "kind": self.kind,
            "name": self.name,
            "basis": self.basis,
            "quantity": str(self.quantity),
            "unit": self.unit,
            "unit_price": str(self.unit_price),
            "cost": str(self.cost),
            "price": str(self.price),
            "material": self.material,
            "size_si": self.size_si,
        }


def is_taxed(line: Line, on: tuple[Kind, ...], exempt: tuple[str, ...]) -> bool:
    """Return whether a line is taxed: it is of a kind that is, and neither it nor its material is exempt.

    Parameters
    ----------
    line : Line
        The line.
    on : tuple of str
        Kinds of line that are taxed.
    exempt : tuple of str
        Names of materials and lines that are not.
    """
    names = {name.casefold() for name in exempt}
    return line.kind in on and not {line.name.casefold(), line.material.casefold()} & names


@dataclass(frozen=True)
class TaxLine:
    """One tax.

    Attributes
    ----------
    name : str
        What it is called.
    rate : Decimal
        Share of the taxed lines. [1]
    on : tuple of str
        Kinds of line that are taxed.
    base : Decimal
        Sum of those lines. [currency]
    amount : Decimal
        Rate times base, rounded once. [currency]
    exempt : tuple of str
        Names of materials and lines that are not taxed all the same.
    """

    name: str
    rate: Decimal
    on: tuple[Kind, ...]
    base: Decimal
    amount: Decimal
    exempt: tuple[str, ...] = ()

    def taxes(self, line: Line) -> bool:
        """Return whether a line is taxed."""
        return is_taxed(line, self.on, self.exempt)

    def to_dict(self) -> dict[str, object]:
        """Return the attributes as a mapping."""
        return {
            "name": self.name,
            "rate": str(self.rate),
            "on": list(self.on),
            "exempt": list(self.exempt),
            "base": str(self.base),
            "amount": str(self.amount),
        }


@dataclass(frozen=True)
class Quote:
    """An offer for one yard, with the options beside it.

    Attributes
    ----------
    name : str
        What the offer is called where there are several.
    money : Money
        Currency and rule of rounding.
    lines : tuple of Line
        What is charged; the prices of the lines add up to `subtotal`.
    taxes : tuple of TaxLine
        What is put on top.
    markup, margin : Decimal or None
        Share of the cost that was added, or of the price that is kept; not both. [1]
    marked_up : tuple of str
        Kinds of line that it was put on.
    minimum_charge : Decimal or None
        Least price before tax. [currency]
    crew : int
        How many people are paid for the time on the lanes. [count]
    client : Client or None
        Whom it is for.
    contractor : Contractor or None
        Who offers.
    number : str
        Number of the quote.
    dated : date or None
        Day of the quote.
    valid_days : int
        How long it holds. [day]
    terms, not_included : tuple of str
        The user's own sentences.
    options : tuple of Quote
        The same yard offered otherwise; they have no options of their own.
    findings : tuple of Finding
        What is not priced, or is missing.
    """

    name: str
    money: Money
    lines: tuple[Line, ...]
    taxes: tuple[TaxLine, ...] = ()
    markup: Decimal | None = None
    margin: Decimal | None = None
    marked_up: tuple[Kind, ...] = ()
    minimum_charge: Decimal | None = None
    crew: int = 1
    client: Client | None = None
    contractor: Contractor | None = None
    number: str = ""
    dated: date | None = None
    valid_days: int = 30
    terms: tuple[str, ...] = ()
    not_included: tuple[str, ...] = ()
    options: tuple[Quote, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def cost(self) -> Decimal:
        """What the job costs whoever does it. [currency]"""
        return sum((line.cost for line in self.lines), Decimal(0))

    @property
    def subtotal(self) -> Decimal:
        """What the client pays before tax. [currency]"""
        return sum((line.price for line in self.lines), Decimal(0))

    @property
    def tax(self) -> Decimal:
        """All taxes. [currency]"""
        return sum((tax.amount for tax in self.taxes), Decimal(0))

    @property
    def total(self) -> Decimal:
        """What the client pays. [currency]"""
        return self.subtotal + self.tax

    @property
    def offers(self) -> tuple[Quote, ...]:
        """The offer itself and its options."""
        return (replace(self, options=()), *self.options)

    def to_dict(self) -> dict[str, object]:
        """Return the quote as JSON values; amounts are text, in the currency that ``currency`` names."""
        return {
            "name": self.name,
            "number": self.number,
            "date": self.dated.isoformat() if self.dated else None,
            "valid_days": self.valid_days,
            "currency": self.money.currency,
            "rounding": self.money.rule,
            "client": list(self.client.lines) if self.client else None,
            "contractor": list(self.contractor.lines) if self.contractor else None,
            "lines": [line.to_dict() for line in self.lines],
            "markup": None if self.markup is None else str(self.markup),
            "margin": None if self.margin is None else str(self.margin),
            "minimum_charge": None if self.minimum_charge is None else str(self.minimum_charge),
            "crew": self.crew,
            "cost": str(self.cost),
            "subtotal": str(self.subtotal),
            "taxes": [tax.to_dict() for tax in self.taxes],
            "tax": str(self.tax),
            "total": str(self.total),
            "terms": list(self.terms),
            "not_included": list(self.not_included),
            "options": [option.to_dict() for option in self.options],
            "findings": [finding.to_dict() for finding in self.findings],
        }

    def to_frame(self) -> pd.DataFrame:
        """Return one row per line and tax of every offer; amounts are `Decimal`, in the column ``currency``."""
        rows: list[dict[str, object]] = []
        for offer in self.offers:
            shared = {"offer": offer.name, "currency": offer.money.currency}
            rows += [shared | vars(line) for line in offer.lines]
            rows += [
                shared | {"kind": "tax", "name": tax.name, "basis": f"on {tax.base}", "quantity": tax.rate,
                          "unit": "", "unit_price": tax.base, "cost": Decimal(0), "price": tax.amount, "material": "", "size_si": 0.0}
                for tax in offer.taxes
            ]  # fmt: skip
        frame: pd.DataFrame = pandas.DataFrame(rows)
        return frame
