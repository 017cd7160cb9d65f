"""The kinds of finding that the schedule room may raise."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import FindingKind

SCHEDULE: Final[dict[str, FindingKind]] = {
    "inside-label-interval": FindingKind(
        "A day lies inside an interval that a product label sets.",
        "The label is the law: move the day, or the seeding.",
        mended=False,
        example="A spray on 20 August whose label wants eight weeks before seed, and seeding on 8 September.",
    ),
    "dates-out-of-order": FindingKind(
        "A day that the user set comes before something that it must wait for.",
        "Move one of the two days in [dates].",
        mended=False,
        example="first_mow set for the day after seeding.",
    ),
    "held-up": FindingKind(
        "A hold moved a step, and what waits for it.",
        "Nothing need be done; take the hold out of [dates] when it is over.",
        mended=True,
        severity="note",
        example="Seeding on 8 September, and a hold from that day to the next because of rain.",
    ),
    "seeding-too-late": FindingKind(
        "The grass has too little time before the first frost.",
        "Sow earlier, or wait for the next season.",
        mended=False,
        example="Tall fescue on 10 September, first frost on 10 October.",
    ),
    "seeding-second-best": FindingKind(
        "The seeding day is in the part of the year that publications call second best for this grass.",
        "Nothing need be done; expect more weeds, and water into the summer.",
        mended=False,
        severity="note",
        example="Tall fescue sown in April on the northern half of the earth.",
    ),
    "seeding-out-of-season": FindingKind(
        "The seeding day is in no part of the year that publications name for this grass.",
        "Move it if you can; if not, water longer and expect a thin stand.",
        mended=False,
        example="Tall fescue in July, or bermudagrass in October.",
    ),
    "soil-outside-window": FindingKind(
        "The seed would lie in soil that is too cold or too warm by the user's own days.",
        "Move the seeding, or measure the soil again.",
        mended=False,
        example="soil_from is 20 September, and seeding is on the 8th.",
    ),
    "after-first-frost": FindingKind(
        "A step that needs growing grass falls behind the first frost.",
        "Look at the lawn then; leave the step for spring if nothing grows.",
        mended=False,
        example="Seed that takes a month to be up, sown three weeks before the frost.",
    ),
    "germination-assumed": FindingKind(
        "The tables do not say how long a grass takes to germinate.",
        "Look it up with your extension service, and set germination and emergence in [dates] when you see them.",
        mended=False,
        example="A job that sows zoysiagrass.",
    ),
    "grasses-come-up-apart": FindingKind(
        "The grasses of a blend come up more than a week apart.",
        "Keep watering until the slow one is up; it is no fault of the blend.",
        mended=False,
        severity="note",
        example="Nine parts of tall fescue and one of Kentucky bluegrass.",
    ),
    "hemisphere-assumed": FindingKind(
        "Nothing says on which half of the earth the yard lies.",
        "Set hemisphere in [dates].",
        mended=False,
        example="A sketch in feet without a place on the earth, and [dates] without hemisphere.",
    ),
    "spray-undated": FindingKind(
        "A spray has no day, because its label interval was not given.",
        "Copy wait and counted_from (or seed_wait, or interval) from the label into [[spray]], or set its days in "
        "[dates], sprays.",
        mended=False,
        example="A [[spray]] with two applications and no interval.",
    ),
    "station-not-tested": FindingKind(
        "Nothing says how evenly a station waters.",
        "Set out cans and give their catch, or give its uniformity.",
        mended=False,
        example="A [[station]] with a flow and nothing else.",
    ),
    "station-rate-unusual": FindingKind(
        "A station puts down far more or less in an hour than lawn sprinklers do.",
        "Check the unit of its flow (a minute or an hour?) and its area, or set out cans.",
        mended=False,
        example="A flow of 480 gal/min for heads that draw 480 gal an hour.",
    ),
    "station-uneven": FindingKind(
        "A station leaves its driest quarter with less than two fifths of the mean.",
        "Mend, level or move its sprinklers, and test again.",
        mended=False,
        example="Cans that hold 12 mL in the driest quarter and 47 mL in the wettest.",
    ),
    "flow-and-catch-differ": FindingKind(
        "What lands on the zones of a station is not what it draws.",
        "Check flow, area and where it throws; cans are good to a quarter at best.",
        mended=False,
        example="A station that draws 8 gal/min, of which the cans on the lawn show only 5.",
    ),
    "station-without-seed": FindingKind(
        "A station waters nothing that is sown.",
        "Nothing need be done; it keeps its own times.",
        mended=False,
        severity="note",
        example="Sprinklers of a full stand that gets no seed.",
    ),
    "zone-shared": FindingKind(
        "Several stations water one zone.",
        "Give each its own area, or draw the zones as the stations are.",
        mended=False,
        example="The front lawn named in two [[station]] sections.",
    ),
    "zone-without-water": FindingKind(
        "No station waters a zone.",
        "Add it to a station, or water it with a hose.",
        mended=False,
        example="Four zones, and stations for three of them.",
    ),
    "watering-does-not-fit": FindingKind(
        "The runs of a day do not fit into the hours that are allowed.",
        "Widen hours in [water], water fewer zones at a time, or fit larger nozzles where the supply allows it.",
        mended=False,
        example="Eight stations of 20 minutes twice a day, and water allowed from 6:00 to 8:00.",
    ),
    "watering-days-too-few": FindingKind(
        "Water is allowed on fewer days than young grass needs it.",
        "Ask for leave for a new lawn, or sow in a wetter time.",
        mended=False,
        example="Water allowed on Monday and Thursday, in the weeks after seeding.",
    ),
    "flow-over-limit": FindingKind(
        "A station draws more than the supply gives.",
        "Split it in two, or fit smaller nozzles.",
        mended=False,
        example="A station of 14 gal/min on a tap that gives 10.",
    ),
}
