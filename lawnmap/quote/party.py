"""Who asks and who offers: the blocks of names and addresses on a quote, from the user's own file."""

from __future__ import annotations

from typing import ClassVar

from lawnmap.choices import Section, choice


class Client(Section):
    """The ``[client]`` section of a job file."""

    section: ClassVar[str] = "client"

    name: str = choice("name", ..., "Whom the quote is for.", min_length=1, max_length=200)
    address: tuple[str, ...] = choice("address", (), "Address, line by line.", max_length=8)
    phone: str = choice("phone", "", "Telephone number.", max_length=60)
    email: str = choice("email", "", "Mail address.", max_length=200)
    reference: str = choice("reference", "", "The client's own number for the job.", max_length=100)

    @property
    def lines(self) -> tuple[str, ...]:
        """What is printed, line by line."""
        found = (self.name, *self.address, self.phone, self.email, self.reference)
        return tuple(line for line in found if line)


class Contractor(Section):
    """Who offers: ``[contractor]`` in the job file or in the price book."""

    section: ClassVar[str] = "contractor"

    name: str = choice("name", ..., "Who offers.", min_length=1, max_length=200)
    address: tuple[str, ...] = choice("address", (), "Address, line by line.", max_length=8)
    phone: str = choice("phone", "", "Telephone number.", max_length=60)
    email: str = choice("email", "", "Mail address.", max_length=200)
    licence: str = choice("licence", "", "Number of a licence or registration.", max_length=200)
    tax_number: str = choice("tax_number", "", "Number under which taxes are paid.", max_length=100)

    @property
    def lines(self) -> tuple[str, ...]:
        """What is printed, line by line."""
        known = (
            self.licence and f"Licence {self.licence}",
            self.tax_number and f"Tax number {self.tax_number}",
        )
        found = (self.name, *self.address, self.phone, self.email, *known)
        return tuple(line for line in found if line)
