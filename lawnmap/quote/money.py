"""Amounts of money: decimal numbers, one currency, one rule of rounding."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, ROUND_HALF_UP, Decimal
from typing import Final, Literal

Rule = Literal["half up", "half even"]

_RULES: Final = {"half up": ROUND_HALF_UP, "half even": ROUND_HALF_EVEN}
_HUNDREDTH: Final = Decimal("0.01")


@dataclass(frozen=True)
class Money:
    """A currency and how amounts in it are rounded.

    Attributes
    ----------
    currency : str
        Three letters, as ISO 4217 has them.
    places : int
        Decimal places. [count]
    rule : str
        ``"half up"``, away from nothing as in commerce, or ``"half even"``, to the even neighbour.
    """

    currency: str = "USD"
    places: int = 2
    rule: Rule = "half up"

    def rounded(self, amount: Decimal) -> Decimal:
        """Return an amount rounded to the smallest coin.

        Examples
        --------
        >>> Money().rounded(Decimal("2.345")), Money(rule="half even").rounded(Decimal("2.345"))
        (Decimal('2.35'), Decimal('2.34'))
        """
        return amount.quantize(Decimal(1).scaleb(-self.places), rounding=_RULES[self.rule])

    def write(self, amount: Decimal) -> str:
        """Write an amount without its currency, thousands grouped.

        Examples
        --------
        >>> Money().write(Decimal("1234.5"))
        '1,234.50'
        """
        return f"{self.rounded(amount):,}"

    def write_price(self, amount: Decimal) -> str:
        """Write the price of a unit, which may be finer than the smallest coin.

        Examples
        --------
        >>> Money().write_price(Decimal("0.0185")), Money().write_price(Decimal("48"))
        ('0.0185', '48.00')
        """
        places = max(self.places, -int(amount.normalize().as_tuple().exponent))
        return f"{amount:,.{places}f}"

    def named(self, amount: Decimal) -> str:
        """Write an amount with its currency in front.

        Examples
        --------
        >>> Money("EUR").named(Decimal("1234.5"))
        'EUR 1,234.50'
        """
        return f"{self.currency} {self.write(amount)}"


def counted(number: float) -> Decimal:
    """Return a measured number as it is printed and multiplied: to two decimals. [1]

    Every line of a quote shows its quantity so; quantity times price is then what the line says.

    Examples
    --------
    >>> counted(1.23456)
    Decimal('1.23')
    """
    return Decimal(f"{number:.9f}").quantize(_HUNDREDTH, rounding=ROUND_HALF_UP)
