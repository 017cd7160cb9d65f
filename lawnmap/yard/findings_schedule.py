"""The kinds of finding that the schedule room may raise."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import FindingKind

SCHEDULE: Final[dict[str, FindingKind]] = {
    "inside-label-interval": FindingKind(
        "A day lies inside an interval that a product label sets.",
        "The label is the law: move the day, or the seeding.",
        mended=False,
    ),
    "dates-out-of-order": FindingKind(
        "A day that the user set comes before something that it must wait for.",
        "Move one of the two days in [dates].",
        mended=False,
    ),
    "held-up": FindingKind(
        "A hold moved a step, and what waits for it.",
        "Nothing need be done; take the hold out of [dates] when it is over.",
        mended=True,
    ),
    "seeding-too-late": FindingKind(
        "The grass has too little time before the first frost.",
        "Sow earlier, or wait for the next season.",
        mended=False,
    ),
    "seeding-out-of-season": FindingKind(
        "The seeding day is not in the part of the year that publications call best for this grass.",
        "Move it if you can; if not, water longer and expect more weeds.",
        mended=False,
    ),
    "soil-outside-window": FindingKind(
        "The seed would lie in soil that is too cold or too warm by the user's own days.",
        "Move the seeding, or measure the soil again.",
        mended=False,
    ),
    "after-first-frost": FindingKind(
        "A step that needs growing grass falls behind the first frost.",
        "Look at the lawn then; leave the step for spring if nothing grows.",
        mended=False,
    ),
    "germination-assumed": FindingKind(
        "The tables do not say how long a grass takes to germinate.",
        "Look it up with your extension service, and set germination and emergence in [dates] when you see them.",
        mended=False,
    ),
    "grasses-come-up-apart": FindingKind(
        "The grasses of a blend come up more than a week apart.",
        "Keep watering until the slow one is up; it is no fault of the blend.",
        mended=False,
    ),
    "hemisphere-assumed": FindingKind(
        "Nothing says on which half of the earth the yard lies.",
        "Set hemisphere in [dates].",
        mended=False,
    ),
    "spray-undated": FindingKind(
        "A spray has no day, because its label interval was not given.",
        "Copy wait and counted_from (or seed_wait, or interval) from the label into [[spray]], or set its days in "
        "[dates], sprays.",
        mended=False,
    ),
    "station-not-tested": FindingKind(
        "Nothing says how evenly a station waters.",
        "Set out cans and give their catch, or give its uniformity.",
        mended=False,
    ),
    "station-uneven": FindingKind(
        "A station leaves its driest quarter with less than two fifths of the mean.",
        "Mend, level or move its sprinklers, and test again.",
        mended=False,
    ),
    "flow-and-catch-differ": FindingKind(
        "What lands on the zones of a station is not what it draws.",
        "Check flow, area and where it throws; cans are good to a quarter at best.",
        mended=False,
    ),
    "zone-shared": FindingKind(
        "Several stations water one zone.",
        "Give each its own area, or draw the zones as the stations are.",
        mended=False,
    ),
    "zone-without-water": FindingKind(
        "No station waters a zone.",
        "Add it to a station, or water it with a hose.",
        mended=False,
    ),
    "watering-does-not-fit": FindingKind(
        "The runs of a day do not fit into the hours that are allowed.",
        "Widen hours in [water], water fewer zones at a time, or fit larger nozzles where the supply allows it.",
        mended=False,
    ),
    "watering-days-too-few": FindingKind(
        "Water is allowed on fewer days than young grass needs it.",
        "Ask for leave for a new lawn, or sow in a wetter time.",
        mended=False,
    ),
    "flow-over-limit": FindingKind(
        "A station draws more than the supply gives.",
        "Split it in two, or fit smaller nozzles.",
        mended=False,
    ),
}
