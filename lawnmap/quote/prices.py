"""What things cost and how a price is made of it: ``[prices]`` of a job file, or a price book beside it."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any, ClassVar, Final, Literal, Self

from pydantic import BeforeValidator, model_validator

from lawnmap.choices import Length, Percent, Section, Time, choice
from lawnmap.errors import ChoiceError
from lawnmap.quote.book import read_book
from lawnmap.quote.money import Money, Rule
from lawnmap.quote.party import Contractor
from lawnmap.quote.per import Amount, PerAmount, PerArea, PerDistance, PerHour, PerMeasureOrLot, read_money
from lawnmap.rates.packs import Packs

if TYPE_CHECKING:
    from collections.abc import Mapping

Kind = Literal["material", "labour", "machine", "travel", "disposal", "other", "minimum"]
KINDS: Final[tuple[Kind, ...]] = ("material", "labour", "machine", "travel", "disposal", "other", "minimum")
"""What a line of a quote can be for; taxes, margin and markup are set by it."""

_LISTS: Final = ("material", "extra")


def _money(value: object) -> object:
    return None if value is None else read_money(value)


class MaterialPrice(Section):
    """The price of one material: a ``[[material]]`` of the price book."""

    section: ClassVar[str] = "material"

    name: str = choice("name", ..., "Its name as the plan has it.", min_length=1)
    packs: Packs = choice("packs", (), 'Packs and their prices: [{ size = "50 lb", price = "96.00" }].')
    each: Annotated[Amount | None, BeforeValidator(_money)] = choice(
        "each", None, "Or the price of one bag or bale of what is laid over the seed."
    )
    price: PerAmount | None = choice("price", None, 'Or its price by weight or volume, "2.40 / lb".')

    @model_validator(mode="after")
    def _check(self) -> Self:
        priced = [pack for pack in self.packs if pack.price is not None]
        if not priced and self.price is None and self.each is None:
            raise ChoiceError(
                f"{self.name} has no price", mend="give packs with a price, a price by weight, or each"
            )
        return self


class Extra(Section):
    """Anything else that is charged: an ``[[extra]]`` of the price book or the job."""

    section: ClassVar[str] = "extra"

    name: str = choice("name", ..., "What it is.", min_length=1, max_length=200)
    kind: Kind = choice("kind", "other", "'disposal', 'labour', 'machine' and so on; taxes go by it.")
    price: PerMeasureOrLot = choice(
        "price", ..., 'Price: "35.00" for the lot, or per unit, "0.02 / sq ft"; an area counts net lawn.'
    )
    quantity: str = choice(
        "quantity", "", 'How much of it, with its unit, "2 cu yd"; a price per area needs none.'
    )


class Tax(Section):
    """One tax: a ``[[tax]]`` of the price book."""

    section: ClassVar[str] = "tax"

    name: str = choice("name", ..., "What it is called on the quote.", min_length=1, max_length=60)
    rate: Percent = choice("rate", ..., 'Share of the taxed lines, "6 %".', ge=0, le=1)
    on: tuple[Kind, ...] = choice("on", KINDS, "Kinds of line that are taxed.", min_length=1)
    exempt: tuple[str, ...] = choice(
        "exempt", (), 'Names of materials or lines that are not taxed all the same: ["tall fescue"].'
    )


class Prices(Section):
    """The ``[prices]`` section of a job file; a price book in TOML has the same keys."""

    section: ClassVar[str] = "prices"

    book: str = choice(
        "book", "", "Price book beside the job file, .toml or .csv; a key given here goes before its."
    )
    offer: str = choice(
        "offer", "As planned", "What to call this offer where there are options.", min_length=1
    )
    currency: str = choice(
        "currency", "USD", "Currency, three letters as ISO 4217 has them.", pattern="^[A-Z]{3}$"
    )
    places: int = choice("places", 2, "Decimal places of the currency.", ge=0, le=4)
    rounding: Rule = choice(
        "rounding",
        "half up",
        "How half a coin is rounded: 'half up' or 'half even'; each line is rounded, then added.",
    )
    markup: Percent | None = choice("markup", None, "Added to cost as a share of cost.", ge=0, le=20)
    margin: Percent | None = choice("margin", None, "Kept of the price as a share of the price.", ge=0, lt=1)
    marked_up: tuple[Kind, ...] = choice(
        "marked_up", KINDS, "Kinds of line that markup or margin is put on; the others are prices already."
    )
    minimum_charge: Annotated[Amount | None, BeforeValidator(_money)] = choice(
        "minimum_charge", None, "Least price of a job before tax."
    )
    materials: tuple[MaterialPrice, ...] = choice("material", (), "Prices of materials.")
    charge: Literal["packs", "amount"] = choice(
        "charge", "packs", "Whether whole packs are charged or the amount used: 'packs' or 'amount'."
    )
    labour: PerHour | None = choice("labour", None, 'What an hour of one person costs, "48.00 / h".')
    crew: int = choice("crew", 1, "How many people are paid for the time.", ge=1, le=50)
    machine: PerHour | None = choice("machine", None, 'What an hour of the machine costs, "12.00 / h".')
    set_up_s: Time = choice("set_up", "0 min", "Time to unload, walk the lawn, and load again.", ge=0)
    labour_flat: Annotated[Amount | None, BeforeValidator(_money)] = choice(
        "labour_flat",
        None,
        "A flat price for all labour on the lawn, instead of the time that the lanes take.",
    )
    by_hand: PerArea | None = choice(
        "by_hand",
        None,
        'Price of ground that is worked by hand, "0.15 / sq ft": spots, and corners off the lanes.',
    )
    laying: PerArea | None = choice(
        "laying", None, 'Price of laying topdressing or straw, "20.00 / 1000 sq ft".'
    )
    spraying: PerArea | None = choice(
        "spraying", None, 'Price of spraying, once, "12.00 / 1000 sq ft"; every application counts.'
    )
    travel: PerDistance | None = choice("travel", None, 'What a distance driven costs, "0.90 / mi".')
    travel_m: Length = choice("travel_distance", "0 mi", "Distance driven for the job, there and back.", ge=0)
    travel_s: Time = choice(
        "travel_time", "0 min", "Time driven for the job, there and back; paid as labour.", ge=0
    )
    extras: tuple[Extra, ...] = choice("extra", (), "Anything else that is charged: disposal, a permit.")
    taxes: tuple[Tax, ...] = choice(
        "tax", (), "Taxes; each is worked out on the sum of its lines and rounded once."
    )
    number: str = choice("number", "", "Number of the quote.", max_length=60)
    dated: date | None = choice("date", None, "Day of the quote, year-month-day.")
    valid_s: Time = choice("valid", "30 days", "How long the quote holds.", gt=0)
    terms: tuple[str, ...] = choice("terms", (), "Terms, sentence by sentence.")
    not_included: tuple[str, ...] = choice("not_included", (), "What the price does not include.")
    contractor: Contractor | None = choice(
        "contractor", None, "Who offers, as in [contractor] of the job file."
    )

    @classmethod
    def read(cls, values: Mapping[str, Any], *, file: str) -> Self:
        """Read the section, and the price book that it names.

        Parameters
        ----------
        values : mapping
            The section as the TOML reader returned it.
        file : str
            Name of the job file; the book is looked for beside it.

        Raises
        ------
        FileError
            If there is no such book, or it cannot be read.
        ChoiceError
            At the first unknown key or impossible value of either.
        """
        book = values.get("book")
        if not book:
            return super().read(values, file=file)
        if not isinstance(book, str):
            raise ChoiceError(
                f"{book!r} is no name of a file", where=f"{file}, [prices], book", mend='write "prices.toml"'
            )
        path = Path(file).parent / book
        held = read_book(path)
        super().read(held, file=str(path))  # so that its faults bear its name
        merged = {**held, **values}
        for key in _LISTS:
            if isinstance(values.get(key), list) and isinstance(held.get(key), list):
                merged[key] = [*values[key], *held[key]]
        return super().read(merged, file=file)

    @model_validator(mode="after")
    def _check(self) -> Self:
        if self.markup is not None and self.margin is not None:
            raise ChoiceError(
                "markup and margin are both given",
                mend="give markup, a share of the cost, or margin, a share of the price",
            )
        return self

    @property
    def money(self) -> Money:
        """Currency and rule of rounding."""
        return Money(self.currency, self.places, self.rounding)

    @property
    def valid_days(self) -> int:
        """How long the quote holds. [day]"""
        return round(self.valid_s / 86400)
