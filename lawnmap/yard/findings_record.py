"""The kinds of finding that the record room may raise."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import FindingKind

RECORD: Final[dict[str, FindingKind]] = {
    "log-entry-unread": FindingKind(
        "An entry of the log cannot be read, so it counts for nothing; it stays in the file.",
        "Mend it by hand at the line that is named.",
        mended=False,
        example="The power went while the last entry was written, or a quotation mark is missing.",
    ),
    "log-not-utf8": FindingKind(
        "The log holds a character that is not UTF-8; it was read as a question mark.",
        "Save the log as UTF-8.",
        mended=True,
        example="A log that was saved by an old editor in another encoding.",
    ),
    "log-not-in-plan": FindingKind(
        "The log has a material that the plan does not have.",
        "Use its name in the plan, or add a grade or an active ingredient if it is something else.",
        mended=False,
        example='material = "tal fescue" where the plan has tall fescue.',
    ),
    "log-zone-unknown": FindingKind(
        "The log names a zone that the yard does not have.",
        "Correct the name in the log.",
        mended=False,
        example='zones = ["Bak yard"] where the plan has Back yard.',
    ),
    "log-measure-differs": FindingKind(
        "The log measures a material otherwise than the plan does, weight against volume for instance.",
        "Write the amount as the plan does.",
        mended=False,
        example='amount = "2 gal" of a seed.',
    ),
    "log-amount-doubtful": FindingKind(
        "An amount in the log is far from what the plan wanted there.",
        "Check its unit; a figure per acre is 43.56 times one per 1000 square feet.",
        mended=False,
        example='amount = "480 lb" of a seed that was planned at 11 lb.',
    ),
    "log-done-twice": FindingKind(
        "The log goes over more ground of a zone than the plan has there.",
        "Check for an entry that was made twice, and the areas and passes.",
        mended=False,
        example="The same pass entered by two people.",
    ),
    "log-over-limit": FindingKind(
        "A zone has had more in the year than a label or a rule allows.",
        "Put down no more of it this year, and ask the extension service what to do.",
        mended=False,
        example="Two applications in the log that come to more than yearly_maximum.",
    ),
    "log-interval-broken": FindingKind(
        "A spray was repeated sooner than its label allows.",
        "Check the dates; keep to the interval from now on.",
        mended=False,
        example="Two applications 20 days apart where interval is 4 weeks.",
    ),
    "log-spray-done": FindingKind(
        "All applications of a spray that were planned for the year are in the log, so none is planned any more.",
        "Nothing need be done; raise applications if the label allows another one.",
        mended=False,
        severity="note",
        example="applications = 2, and two days with that spray in the log.",
    ),
}
