"""The quote of a job: the job as it is planned, and its options planned again beside it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import lawnmap
from lawnmap.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Callable

    from lawnmap.job.choices import Choices, Option
    from lawnmap.quote import Quote, Work
    from lawnmap.yard import Finding


def offers(work: Work, choices: Choices, again: Callable[[Choices], Work]) -> Quote | None:
    """Price a job and its options; None where nobody asked for a quote.

    Parameters
    ----------
    work : Work
        The job as it is planned.
    choices : Choices
        With prices, client, contractor and options.
    again : callable
        Plans the same ground by other choices.
    """
    if choices.prices is None:
        return None
    main = lawnmap.quote.price(work, choices.prices)
    return replace(
        main,
        client=choices.client,
        contractor=choices.contractor or main.contractor,
        options=tuple(_offer(option, again(option.choices), work) for option in choices.options),
    )


def _offer(option: Option, work: Work, beside: Work) -> Quote:
    """Price an option; what was found on the way is told where the job itself has not told it."""
    assert option.choices.prices is not None  # an option has all sections of the job
    known = set(beside.prescription.findings)
    found = [one for one in work.prescription.findings if one not in known]
    try:
        quote = lawnmap.quote.price(work, option.choices.prices)
    except InputError as fault:
        raise fault.at(f'[[option]] "{option.name}"') from None
    return replace(quote, name=option.name, findings=tuple(_named(one, option.name) for one in found))


def _named(found: Finding, name: str) -> Finding:
    place = f'option "{name}"'
    return replace(found, where=f"{place}, {found.where}" if found.where else place)
