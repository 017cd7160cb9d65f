"""Prices and the lines of an offer; never how an amount was worked out."""

from lawnmap.quote.model import Line, Quote, TaxLine
from lawnmap.quote.money import Money
from lawnmap.quote.party import Client, Contractor
from lawnmap.quote.price import Work, price
from lawnmap.quote.prices import KINDS, Extra, MaterialPrice, Prices, Tax

__all__ = [
    "KINDS",
    "Client",
    "Contractor",
    "Extra",
    "Line",
    "MaterialPrice",
    "Money",
    "Prices",
    "Quote",
    "Tax",
    "TaxLine",
    "Work",
    "price",
]
