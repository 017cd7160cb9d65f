"""What a reader or a room mended, doubted or assumed: the one channel for all of it."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import Finding, FindingKind
from lawnmap.yard.findings_doors import DOORS
from lawnmap.yard.findings_evenness import EVENNESS
from lawnmap.yard.findings_record import RECORD
from lawnmap.yard.findings_schedule import SCHEDULE
from lawnmap.yard.findings_survey import SURVEY

_MEASURE: Final[dict[str, FindingKind]] = {
    "zones-overlap": FindingKind(
        "Two zones cover the same ground; it was counted once, for the zone that comes first.",
        "Draw the zones edge to edge, or put first the zone that shall have the ground.",
        mended=True,
        example="A front and a back lawn drawn two feet into each other along the house.",
    ),
    "spot-within": FindingKind(
        "A zone lies wholly within a later one; its ground was counted once, as its own.",
        "Nothing to mend: a spot is drawn on top of the lawn that it is in, and comes before it.",
        mended=True,
        severity="note",
        example="A bare spot where a swing stood, in the middle of a back lawn that comes after it in the file.",
    ),
    "obstacle-outside": FindingKind(
        "An obstacle has no ground in common with any zone, so nothing was cut out for it.",
        "Check that it was drawn in the right place and in the same coordinates; if it was, nothing need be done.",
        mended=False,
        example="A neighbour's shed, or a pool drawn in feet over a lawn in metres.",
    ),
    "zone-without-lawn": FindingKind(
        "Obstacles or earlier zones cover a whole zone, so no lawn is left of it.",
        "Check the outlines and the roles of the shapes: was the lot taken for an obstacle?",
        mended=False,
        example="A zone called “Drive”, with the drive drawn over it as an obstacle.",
    ),
    "area-doubtful": FindingKind(
        "The corners are so uncertain beside the size of the zone that its area is known to a fifth at best.",
        "Measure the corners better, or tape the zone's sides and give it as a simple figure.",
        mended=False,
        example="A strip three feet wide, walked with a phone.",
    ),
    "density-default": FindingKind(
        "A zone states neither a density nor a percent cover, so it took the default class.",
        "Give the zone a density (bare, thin, patchy, full) or a cover_percent, or set default_density in [ground].",
        mended=False,
        example="A lawn traced without saying how thin it stands.",
    ),
    "vertex-accuracy-assumed": FindingKind(
        "Neither the file nor the user says how well the corners were measured, so the ± of every area rests on "
        "a guess.",
        "Set vertex_accuracy in [ground] or in [yard]: a tenth of a foot for a survey, several feet for a phone.",
        mended=False,
        example="A drawing that does not say how it was measured; --accuracy '0.05 ft' for a total station.",
    ),
    "setback-assumed": FindingKind(
        "Water without a stated setback took the default one.",
        "Look up the local ordinance and set water_setback in [ground].",
        mended=False,
        example="A creek drawn as a line with the role water, and no setback.",
    ),
    "few-photos": FindingKind(
        "A percent cover rests on fewer than three photos, which may not show what the stand is like.",
        "Take three photos or more, straight down from the same height, at places that you did not choose.",
        mended=False,
        severity="note",
        example="One photo of the worst spot, taken for the whole back lawn.",
    ),
    "cover-near-line": FindingKind(
        "A percent cover lies so close to the line between two density classes that it may be either.",
        "Take more photos, or choose the class by eye.",
        mended=False,
        severity="note",
        example="Photos that show 48, 55 and 50 %, where patchy begins at 50 %.",
    ),
    "cover-photo-short": FindingKind(
        "An orthophoto shows less than 95 % of the lawn; the rest took the cover of its surroundings.",
        "Give a photo of the whole yard, or check the CRS of both files.",
        mended=False,
        example="A mosaic with a hole over the back lawn.",
    ),
    "cover-pixels-coarse": FindingKind(
        "The pixels of an orthophoto are so large that leaves and the soil between them are mixed in one.",
        "Check the classes by photos from hand height at a few places.",
        mended=False,
        severity="note",
        example="An aerial photo with pixels of six inches.",
    ),
    "geodesic-mismatch": FindingKind(
        "The area on the yard's plane and the area on the ellipsoid differ by more than one part in a million.",
        "Check the CRS; if it is right, the yard is too large for one plane, so split it.",
        mended=False,
        example="A park twenty miles long, or a CRS on another ellipsoid than its file says.",
    ),
}

_RATES: Final[dict[str, FindingKind]] = {
    "species-not-in-table": FindingKind(
        "The tables hold no figure for a species; the user's own rate is used.",
        "Check its spelling, and that the rate is for this species.",
        mended=False,
        example='species = "crested wheatgrass" with a rate of your own.',
    ),
    "provisional-rate": FindingKind(
        "The rate of a species rests on one or two thin sources.",
        "Give your own rate, from your extension service or the bag.",
        mended=False,
        example="A warm-season grass sown from seed.",
    ),
    "unusual-rate": FindingKind(
        "A rate is far outside what is published.",
        "Check its unit: a rate per acre is 43.56 times one per 1000 square feet.",
        mended=False,
        example='rate = "200 lb / 1000 sq ft", a rate per acre with the wrong unit.',
    ),
    "nothing-to-seed": FindingKind(
        "No zone gets any seed.",
        "Grade the thin parts of the lawn as zones of their own, or leave the seed out.",
        mended=False,
        example="Every zone is graded full.",
    ),
    "nitrogen-over-ceiling": FindingKind(
        "One dose holds more nitrogen than any published ceiling in the tables.",
        "Lower the rate, or give the ceiling of your place.",
        mended=False,
        example='rate = "2 lb / 1000 sq ft" of nitrogen in one dose of quick-release fertilizer.',
    ),
    "zone-unfed": FindingKind(
        "A whole zone lies within the setback of water.",
        "Check the setback of your place, or split the zone.",
        mended=False,
        example="A narrow bank along a creek, drawn as a zone of its own.",
    ),
    "nothing-to-spray": FindingKind(
        "No zone is sprayed.",
        "Check the densities and zones that the spray goes on.",
        mended=False,
        example="A spray for thin zones in a yard that has none.",
    ),
    "rate-mixed-up": FindingKind(
        "A rate is so far below its yearly maximum that one of the two may be per acre, the other per 1000 sq ft.",
        "Read both on the label again.",
        mended=False,
        example="1.5 fl oz / acre with a yearly maximum of 65 fl oz / 1000 sq ft.",
    ),
    "unusual-carrier": FindingKind(
        "A sprayer puts down far more or less than turf sprayers do.",
        "Check its unit, and calibrate the sprayer.",
        mended=False,
        example='carrier = "44 gal / 1000 sq ft": 44 gallons to the acre were meant.',
    ),
    "ingredient-not-added-up": FindingKind(
        "Two sprays bring the same active ingredient, and the strength of one is missing, so they were not added up.",
        "Give the strength on both labels, or add them up by hand against the yearly maximum.",
        mended=False,
        example="Two [[spray]] sections with the same active_ingredient, and strength in one of them alone.",
    ),
    "grass-at-risk": FindingKind(
        "An extension service warns of an active ingredient on a grass that is sown.",
        "Read which grasses the label names, and follow it.",
        mended=False,
        example="mesotrione at the seeding of a mixture with fine fescue in it.",
    ),
    "strong-mix": FindingKind(
        "Product makes up an unusual share of the spray.",
        "Check the rate and the carrier on the label.",
        mended=False,
        example="A quart of product in two quarts of water.",
    ),
}

_LANES: Final[dict[str, FindingKind]] = {
    "narrower-than-swath": FindingKind(
        "A piece of ground is too narrow for a single lane.",
        "Spread it by hand, or use a narrower swath.",
        mended=False,
        example="A strip of three feet between drive and fence, for a swath of eight.",
    ),
    "hand-spots": FindingKind(
        "Corners and necks that no lane or round reaches.",
        "Spread them by hand; they are drawn on the map.",
        mended=False,
        severity="note",
        example="The sharp corner of a triangle.",
    ),
    "no-way-through": FindingKind(
        "Two parts of the ground are not joined by ground that may be walked on; the way is drawn straight.",
        "Add the drive, path or gate that joins them, or work the parts one by one.",
        mended=False,
        example="A back yard behind a fence whose gate is not drawn.",
    ),
    "start-off-ground": FindingKind(
        "The place where the walk begins is not on ground that may be walked on; the nearest such place is used.",
        "Move the landmark, or add the drive or path that leads to it.",
        mended=True,
        example="A refill landmark in the garage.",
    ),
    "stake-without-ties": FindingKind(
        "Stakes that no two fixed points (tapes meeting at 30° or more) and no wall in the yard can place.",
        "Add landmarks: house corners, posts, a fence line; or set these stakes from their neighbours.",
        mended=False,
        severity="note",
        example="A meadow with one tree in it and no house near.",
    ),
    "stake-beyond-tape": FindingKind(
        "Stakes that can only be taped from points farther away than the tape is long.",
        "Bring a longer tape and set its length as tape in [rig], or add a landmark near that part of the lawn.",
        mended=False,
        severity="note",
        example="A back lawn 150 ft deep behind the only house corner, with a tape of 100 ft.",
    ),
    "rounds-for-turns": FindingKind(
        "No number of rounds is stated, so as many are laid as the turns of the machine need.",
        "Set headland_loops in [rig] if you turn elsewhere, on the drive for instance.",
        mended=True,
        severity="note",
        example="A tow-behind of 8 ft radius on lanes 4 ft apart.",
    ),
    "turn-does-not-fit": FindingKind(
        "A turn at the machine's radius would leave the lawn and what may be crossed.",
        "Walk more headland rounds, allow reverse, or use a machine that turns tighter.",
        mended=False,
        example="A ride-on machine that turns in eight feet on a verge of ten.",
    ),
    "order-cut-short": FindingKind(
        "The search for a short order of the lanes was cut short; the best one so far is used.",
        "Split the ground into zones if the order looks poor.",
        mended=False,
        example="A park of a hundred islands.",
    ),
}

_QUOTE: Final[dict[str, FindingKind]] = {
    "labour-not-priced": FindingKind(
        "The price book says nothing of labour, so the offer is for materials alone.",
        "Give labour, the price of an hour, or labour_flat, in [prices] or in the price book.",
        mended=False,
        severity="note",
        example="A price book with bags of seed and nothing else.",
    ),
    "laying-not-priced": FindingKind(
        "Topdressing or straw is laid over the seed, and the price book has no price for that work.",
        "Give laying, a price per area, in [prices] or in the price book.",
        mended=False,
        severity="note",
        example="A job with [topdress], and a price book with compost by the cubic yard and nothing for laying it.",
    ),
    "spraying-not-priced": FindingKind(
        "A product is sprayed, and the price book has no price for that work.",
        "Give spraying, a price per area, in [prices] or in the price book.",
        mended=False,
        severity="note",
        example="A job with [[spray]], and a price book with the product by the gallon and nothing for spraying it.",
    ),
    "hand-work-not-priced": FindingKind(
        "Some ground is worked by hand, and the price book has no price for that.",
        "Give by_hand, a price per area, in [prices] or in the price book.",
        mended=False,
        severity="note",
        example="A bare spot that is seeded by hand, and a price book with labour by the hour.",
    ),
}

FINDINGS: Final[dict[str, FindingKind]] = {
    **DOORS,
    **SURVEY,
    **_MEASURE,
    **_RATES,
    **_LANES,
    **EVENNESS,
    **RECORD,
    **_QUOTE,
    **SCHEDULE,
}
"""Every code that a room may raise, with its meaning and how to mend the source."""


def finding(code: str, text: str, where: str = "") -> Finding:
    """Make a finding of a registered kind.

    Parameters
    ----------
    code : str
        A key of `FINDINGS`.
    text : str
        One plain sentence.
    where : str
        The place.
    """
    kind = FINDINGS[code]
    return Finding(code, text, where, kind.mended, kind.severity)
