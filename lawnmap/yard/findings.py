"""What a reader or a room mended, doubted or assumed: the one channel for all of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Finding:
    """One thing that the user should know.

    Attributes
    ----------
    code : str
        Stable name of the kind, a key of `FINDINGS`.
    text : str
        One plain sentence.
    where : str
        The place: file, layer, feature, zone.
    mended : bool
        Whether the program put it right; if not, it only tells.
    """

    code: str
    text: str
    where: str
    mended: bool

    def to_dict(self) -> dict[str, str | bool]:
        """Return the four attributes as a mapping."""
        return {"code": self.code, "text": self.text, "where": self.where, "mended": self.mended}

    def __str__(self) -> str:
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.text} [{self.code}]"


@dataclass(frozen=True)
class FindingKind:
    """What a code means.

    Attributes
    ----------
    meaning : str
        What was seen, in one sentence.
    mend : str
        How the user can put the source right.
    mended : bool
        Whether the program has put it right in the result.
    """

    meaning: str
    mend: str
    mended: bool


_SURVEY: Final[dict[str, FindingKind]] = {
    "drawing-recovered": FindingKind(
        "The drawing was damaged; what could be read was read.",
        "Open it in the program that made it, audit it and save it again.",
        mended=True,
    ),
    "entity-left-out": FindingKind(
        "Entities that have no outline in plan were left out.",
        "Draw the outline flat, as a polyline.",
        mended=False,
    ),
    "foot-differs": FindingKind(
        "The file states one kind of foot and its CRS is in the other.",
        "Set the drawing's unit to the foot of its CRS.",
        mended=True,
    ),
    "gap-closed": FindingKind(
        "Ends of linework that did not quite meet were joined.",
        "Join the lines in the drawing, with end-point snap on.",
        mended=True,
    ),
    "geodata-unread": FindingKind(
        "The drawing names a place on the earth in a way that is not understood.",
        "Give the CRS with --crs.",
        mended=False,
    ),
    "layer-left-out": FindingKind(
        "Closed outlines stand on a layer that nothing is known about.",
        "Say what the layer is with [yard.layers] in the job file.",
        mended=False,
    ),
    "layer-role-guessed": FindingKind(
        "The role of a layer was told from the words in its name.",
        "Say what the layer is with [yard.layers] in the job file.",
        mended=True,
    ),
    "open-linework": FindingKind(
        "Lines on a layer of outlines bound no closed shape.",
        "Close the outline, or allow a wider gap with [yard] gap.",
        mended=False,
    ),
    "scaled-to-ground": FindingKind(
        "Grid coordinates were divided by the combined factor that was given.",
        "Nothing to mend: the areas are at ground.",
        mended=True,
    ),
    "unit-overruled": FindingKind(
        "The unit given by the user is not the one that the file states.",
        "Leave out --local-units, or correct the file.",
        mended=True,
    ),
    "crs-overruled": FindingKind(
        "The file names its CRS, and the user gave another word.",
        "Take the option away if the file is right.",
        mended=False,
    ),
    "perhaps-swapped": FindingKind(
        "The yard lies so near a pole that longitude and latitude may be swapped.",
        "Write longitude before latitude.",
        mended=False,
    ),
    "reader-warning": FindingKind(
        "The library that reads this format gave a warning.",
        "Save the file anew from the program that made it.",
        mended=False,
    ),
    "no-table": FindingKind(
        "The table of attributes of a shapefile is missing.",
        "Keep the .dbf file beside the .shp file.",
        mended=False,
    ),
    "no-shape": FindingKind(
        "A row has no shape, or an empty one.",
        "Draw the shape or delete the row.",
        mended=True,
    ),
    "height-dropped": FindingKind(
        "The coordinates have heights; areas are as seen from above.",
        "State a slope where the ground is steep.",
        mended=True,
    ),
    "measure-dropped": FindingKind(
        "The coordinates carry measures along the line, which say nothing of ground.",
        "Nothing needs mending.",
        mended=True,
    ),
    "parts-left-out": FindingKind(
        "Points and lines are drawn together with an outline as one shape.",
        "Give them a role of their own.",
        mended=True,
    ),
    "repeated-vertex": FindingKind(
        "A corner is given twice in a row.",
        "Nothing needs mending.",
        mended=True,
    ),
    "ring-closed": FindingKind(
        "The last corner of an outline is not the first one; it was closed with a straight edge.",
        "Repeat the first corner at the end.",
        mended=True,
    ),
    "ring-repeated": FindingKind(
        "A hole is given twice or has no width.",
        "Delete the second one.",
        mended=True,
    ),
    "outline-tidied": FindingKind(
        "An outline touches itself or runs out and back along one line; its area is unchanged.",
        "Delete the spike or part the outline.",
        mended=True,
    ),
    "parts-joined": FindingKind(
        "Parts of one shape overlap or share an edge; their ground counts once.",
        "Join the parts in the drawing.",
        mended=True,
    ),
    "no-ground": FindingKind(
        "An outline encloses nothing.",
        "Delete it or draw it anew.",
        mended=True,
    ),
    "arcs-as-chords": FindingKind(
        "Arcs are drawn as chords so short that a circle loses less than a millionth of its area.",
        "Nothing needs mending.",
        mended=True,
    ),
    "closed-line": FindingKind(
        "A closed line is taken as the ground inside it.",
        "Save it as a polygon.",
        mended=True,
    ),
    "line-left-out": FindingKind(
        "An open line has no role that a line can play.",
        "Give it the role water or landmark, or close it.",
        mended=False,
    ),
    "point-left-out": FindingKind(
        "A point is given a role that only ground can play.",
        "Draw its outline.",
        mended=False,
    ),
    "landmark-moved": FindingKind(
        "A landmark is drawn as ground and put at a point inside it.",
        "Draw it as a point or a line.",
        mended=True,
    ),
    "role-guessed": FindingKind(
        "The file does not say what a shape is; it was told by other words or by its form.",
        'Give the file a column "role": lawn, obstacle, water or landmark.',
        mended=False,
    ),
    "role-unknown": FindingKind(
        "The role column holds a word that is not known.",
        "Write lawn, obstacle, water or landmark.",
        mended=False,
    ),
    "kind-guessed": FindingKind(
        "The kind of an obstacle or landmark is told by its name.",
        'Give the file a column "kind".',
        mended=False,
    ),
    "kind-unknown": FindingKind(
        "The kind of an obstacle or landmark is a word not known; it counts as other.",
        "Write house, drive, walk, bed, pool, tree or other.",
        mended=False,
    ),
    "lot-as-lawn": FindingKind(
        "The outline of a whole lot is taken as lawn, less the obstacles drawn.",
        "Draw the lawn itself and give it the role lawn.",
        mended=False,
    ),
    "lot-set-aside": FindingKind(
        "The outline of a lot is not counted, since lawn is drawn.",
        "Give it the role lawn if it is one.",
        mended=False,
    ),
    "density-read": FindingKind(
        "The density is given by a word or number of the file's own.",
        "Write bare, thin, patchy or full, or a column cover_percent.",
        mended=True,
    ),
    "cover-as-fraction": FindingKind(
        "Percent covers never pass 1 and are taken for fractions.",
        "Write percent.",
        mended=True,
    ),
    "name-made": FindingKind(
        "A shape has no name.",
        'Give the file a column "name".',
        mended=True,
    ),
    "name-repeated": FindingKind(
        "Two shapes of one yard have the same name; the second was numbered.",
        "Name them apart.",
        mended=True,
    ),
    "yard-missing": FindingKind(
        "A lawn names no yard in a file of several yards.",
        "Fill in the column that names the yard.",
        mended=False,
    ),
    "no-yard": FindingKind(
        "A shape belongs to no yard and is left out.",
        "Name its yard, or draw it where it touches one.",
        mended=False,
    ),
}

_MEASURE: Final[dict[str, FindingKind]] = {
    "zones-overlap": FindingKind(
        "Two zones cover the same ground; it was counted once, for the zone that comes first.",
        "Draw the zones edge to edge, or put first the zone that shall have the ground.",
        mended=True,
    ),
    "obstacle-outside": FindingKind(
        "An obstacle has no ground in common with any zone, so nothing was cut out for it.",
        "Check that it was drawn in the right place and in the same coordinates; if it was, nothing need be done.",
        mended=False,
    ),
    "zone-without-lawn": FindingKind(
        "Obstacles or earlier zones cover a whole zone, so no lawn is left of it.",
        "Check the outlines and the roles of the shapes: was the lot taken for an obstacle?",
        mended=False,
    ),
    "area-doubtful": FindingKind(
        "The corners are so uncertain beside the size of the zone that its area is known to a fifth at best.",
        "Measure the corners better, or tape the zone's sides and give it as a simple figure.",
        mended=False,
    ),
    "density-default": FindingKind(
        "A zone states neither a density nor a percent cover, so it took the default class.",
        "Give the zone a density (bare, thin, patchy, full) or a cover_percent, or set default_density in [ground].",
        mended=False,
    ),
    "vertex-accuracy-assumed": FindingKind(
        "Neither the file nor the user says how well the corners were measured, so the ± of every area rests on "
        "a guess.",
        "Set vertex_accuracy in [ground] or in [yard]: a tenth of a foot for a survey, several feet for a phone.",
        mended=False,
    ),
    "setback-assumed": FindingKind(
        "Water without a stated setback took the default one.",
        "Look up the local ordinance and set water_setback in [ground].",
        mended=False,
    ),
    "geodesic-mismatch": FindingKind(
        "The area on the yard's plane and the area on the ellipsoid differ by more than one part in a million.",
        "Check the CRS; if it is right, the yard is too large for one plane, so split it.",
        mended=False,
    ),
}

_RATES: Final[dict[str, FindingKind]] = {
    "species-not-in-table": FindingKind(
        "The tables hold no figure for a species; the user's own rate is used.",
        "Check its spelling, and that the rate is for this species.",
        mended=False,
    ),
    "provisional-rate": FindingKind(
        "The rate of a species rests on one or two thin sources.",
        "Give your own rate, from your extension service or the bag.",
        mended=False,
    ),
    "unusual-rate": FindingKind(
        "A rate is far outside what is published.",
        "Check its unit: a rate per acre is 43.56 times one per 1000 square feet.",
        mended=False,
    ),
    "nothing-to-seed": FindingKind(
        "No zone gets any seed.",
        "Grade the thin parts of the lawn as zones of their own, or leave the seed out.",
        mended=False,
    ),
    "nitrogen-over-ceiling": FindingKind(
        "One dose holds more nitrogen than any published ceiling in the tables.",
        "Lower the rate, or give the ceiling of your place.",
        mended=False,
    ),
    "zone-unfed": FindingKind(
        "A whole zone lies within the setback of water.",
        "Check the setback of your place, or split the zone.",
        mended=False,
    ),
    "nothing-to-spray": FindingKind(
        "No zone is sprayed.",
        "Check the densities and zones that the spray goes on.",
        mended=False,
    ),
    "rate-mixed-up": FindingKind(
        "A rate is so far below its yearly maximum that one of the two may be per acre, the other per 1000 sq ft.",
        "Read both on the label again.",
        mended=False,
    ),
    "unusual-carrier": FindingKind(
        "A sprayer puts down far more or less than turf sprayers do.",
        "Check its unit, and calibrate the sprayer.",
        mended=False,
    ),
    "strong-mix": FindingKind(
        "Product makes up an unusual share of the spray.",
        "Check the rate and the carrier on the label.",
        mended=False,
    ),
}

_LANES: Final[dict[str, FindingKind]] = {
    "narrower-than-swath": FindingKind(
        "A piece of ground is too narrow for a single lane.",
        "Spread it by hand, or use a narrower swath.",
        mended=False,
    ),
    "hand-spots": FindingKind(
        "Corners and necks that no lane or round reaches.",
        "Spread them by hand; they are drawn on the map.",
        mended=False,
    ),
    "no-way-through": FindingKind(
        "Two parts of the ground are not joined by ground that may be walked on; the way is drawn straight.",
        "Add the drive, path or gate that joins them, or work the parts one by one.",
        mended=False,
    ),
    "order-cut-short": FindingKind(
        "The search for a short order of the lanes was cut short; the best one so far is used.",
        "Split the ground into zones if the order looks poor.",
        mended=False,
    ),
}

_EVENNESS: Final[dict[str, FindingKind]] = {}

FINDINGS: Final[dict[str, FindingKind]] = {**_SURVEY, **_MEASURE, **_RATES, **_LANES, **_EVENNESS}
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
    return Finding(code, text, where, FINDINGS[code].mended)
