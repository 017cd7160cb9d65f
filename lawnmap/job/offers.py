"""The quote of a job: the job as it is planned, and its options planned again beside it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import lawnmap
from lawnmap.errors import InputError
from lawnmap.job.cautions import cautions

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
        options=tuple(_offer(option, again(option.choices), (work, main)) for option in choices.options),
    )


def _offer(option: Option, work: Work, job: tuple[Work, Quote]) -> Quote:
    """Price an option; findings and cautions are told where the job itself has not told them."""
    assert option.choices.prices is not None  # an option has all sections of the job
    try:
        quote = lawnmap.quote.price(work, option.choices.prices)
    except InputError as fault:
        raise fault.at(f'[[option]] "{option.name}"') from None
    known, said = set(_found(*job)), set(_cautions(job[0]))
    return replace(
        quote,
        name=option.name,
        findings=tuple(_named(one, option.name) for one in _found(work, quote) if one not in known),
        cautions=tuple(words for words in _cautions(work) if words not in said),
    )


def _found(work: Work, quote: Quote) -> list[Finding]:
    sprayed = (one for spray in work.sprays for one in spray.findings)
    return [*work.prescription.findings, *sprayed, *quote.findings]


def _cautions(work: Work) -> tuple[str, ...]:
    return cautions(work.takeoff, work.prescription, work.sprays, work.covers)


def _named(found: Finding, name: str) -> Finding:
    place = f'option "{name}"'
    return replace(found, where=f"{place}, {found.where}" if found.where else place)
