"""What the doors for drawings, points, deeds, tape sheets and walks mend, doubt or assume."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import FindingKind

DOORS: Final[dict[str, FindingKind]] = {
    "area-twice": FindingKind(
        "The area of a deed by double meridian distances, beside the area by coordinates.",
        "Nothing to mend: the two should be one figure.",
        mended=False,
        severity="note",
        example="A deed of four calls: 43,560.2 sq ft by double meridian distances, 43,560.2 sq ft by coordinates.",
    ),
    "curve-disagrees": FindingKind(
        "The parts of a curve in a deed differ from each other by more than rounding.",
        "Compare radius, central angle, arc and chord with the recorded deed.",
        mended=False,
        example="“radius 200.00 feet, delta 10-00-00, arc length 36.91 feet”: the arc is 34.91; ask which of the three is wrong.",
    ),
    "letters-are-names": FindingKind(
        "Letters after a point code look like line commands but are names of corners.",
        "Begin lines with BEG and close them with CLS, or name corners by number.",
        mended=True,
        example="“1,500,1000,0,LOT A”, “…LOT B”, “…LOT C”, “…LOT D”: here B and C are corners, no commands.",
    ),
    "misclosure": FindingKind(
        "How far the last call of a deed ends from its beginning.",
        "Nothing to mend if it is small; otherwise look for a wrong call.",
        mended=True,
        severity="note",
        example="Calls copied to a hundredth of a foot end 0.02 ft from where they began.",
    ),
    "misclosure-wide": FindingKind(
        "The calls of a deed miss closing by more than 1 in 5,000, which few ordinances accept of a survey.",
        "Compare every call with the recorded deed; an old deed in whole rods may be no better.",
        mended=True,
        example="“N 12-30-00 E” typed for “N 13-20-00 E” leaves the last corner feet away; go through the calls one by one.",
    ),
    "point-order-guessed": FindingKind(
        "The order of the columns of a point file was guessed.",
        "Say it with [yard] point_order, PNEZD for instance, or write a line of headings.",
        mended=False,
        example="Rows such as “101,5000.00,2000.00,98.2,TURF”; write --point-order PNEZD once you know it.",
    ),
    "point-repeated": FindingKind(
        "One point number stands twice with different coordinates.",
        "Delete the wrong one, or code check shots CHK.",
        mended=False,
        example="“7,500,1000” in line 7 and “7,500.31,1000.02” in line 52, a check shot without its code CHK.",
    ),
    "points-joined": FindingKind(
        "Points without line commands were joined in their order and closed.",
        "Write line commands after the code: B to begin, C to close.",
        mended=True,
        example="Four rows of code TURF and no B or C among them; write “TURF B” on the first and “TURF C” on the last.",
    ),
    "arcs-may-be-missing": FindingKind(
        "The descriptions of survey points speak of curves, but no curve command draws them.",
        "Mark the ends of each curve PC and PT and a point on it OC, or read the drawing or the deed instead.",
        mended=False,
        example="Points described PC, RP or PT on a line without curve commands: chords are drawn where the street bends.",
    ),
    "stated-area-differs": FindingKind(
        "The area that a file states is not the one that its lines enclose.",
        "Ask who made the file which of the two is right.",
        mended=False,
        example='A parcel with area="12450" whose lines enclose 12,540: two figures were changed round.',
    ),
    "average-radius": FindingKind(
        "An area by the mean of squared radii, beside the one often taught.",
        "Nothing to mend: the first is right.",
        mended=False,
        severity="note",
        example="Sixteen readings from the middle of an island bed.",
    ),
    "kidney-as-ellipse": FindingKind(
        "A kidney-shaped figure was drawn as an ellipse of the same area.",
        "Tie its outline from two corners to see its form.",
        mended=False,
        severity="note",
        example="“pool, Pool, kidney, length 20, widths 10 15”: the area holds, its bays do not show.",
    ),
    "laid-out": FindingKind(
        "A figure without a place was drawn where there was room.",
        "Say where it is: at 12 30, or tied 30 40.",
        mended=False,
        severity="note",
        example="“bed, Roses, circle, diameter 6” says how large the bed is and not where; add “at 12 30”.",
    ),
    "offset-area": FindingKind(
        "The area of offsets from a baseline by two rules.",
        "Nothing to mend: they are the same within the curve of the edge.",
        mended=False,
        severity="note",
        example="“lawn, Front, offsets, every 10, 0, 12, 15.5, 18, 14, 9, 0”.",
    ),
    "tape-corrected": FindingKind(
        "A tape that is too long or too short was allowed for.",
        "Nothing to mend.",
        mended=True,
        severity="note",
        example="“tape, reads 100, is 100.2”: a tape that has stretched by two tenths of a foot.",
    ),
    "weak-tie": FindingKind(
        "Two ties meet at so sharp or flat an angle that their point is badly fixed.",
        "Tie it from two other corners.",
        mended=False,
        example="“tied 30 30” from corners 50 apart is good; “tied 90 92” meets so flat that an inch moves it a foot.",
    ),
    "vara-assumed": FindingKind(
        "A deed in varas does not say whose vara.",
        "Write the distances in feet if it is not the vara of Texas.",
        mended=True,
        example="“thence N 45-00-00 E 120 varas” in a deed of California, where a vara was 33.372 inches.",
    ),
    "drawing-recovered": FindingKind(
        "The drawing was damaged; what could be read was read.",
        "Open it in the program that made it, audit it and save it again.",
        mended=True,
        example="A .dxf cut short by a broken download.",
    ),
    "entity-left-out": FindingKind(
        "Entities that have no outline in plan were left out.",
        "Draw the outline flat, as a polyline.",
        mended=False,
        example="“3 × 3DFACE left out”: a terrain model in the drawing of the lot.",
    ),
    "foot-differs": FindingKind(
        "The file states one kind of foot and its CRS is in the other.",
        "Set the drawing's unit to the foot of its CRS.",
        mended=True,
        example="$INSUNITS 2, international feet, in EPSG:2272, whose feet are US survey feet: set $INSUNITS to 21.",
    ),
    "gap-closed": FindingKind(
        "Ends of linework that did not quite meet were joined.",
        "Join the lines in the drawing, with end-point snap on.",
        mended=True,
        example="Two lines of an outline that end 3 mm apart.",
    ),
    "geodata-unread": FindingKind(
        "The drawing names a place on the earth in a way that is not understood.",
        "Give the CRS with --crs.",
        mended=False,
        example="A drawing placed by a map of the program that made it, with no EPSG code in it.",
    ),
    "layer-left-out": FindingKind(
        "Closed outlines stand on a layer that nothing is known about.",
        "Say what the layer is with [yard.layers] in the job file.",
        mended=False,
        example="Closed outlines on a layer “X-REF-17” beside one called “TURF”; say --role X-REF-17=bed, or =skip.",
    ),
    "layer-role-guessed": FindingKind(
        "The role of a layer was told from the words in its name.",
        "Say what the layer is with [yard.layers] in the job file.",
        mended=True,
        example="A layer “L-PLNT-TURF”, taken for lawn; say --role L-PLNT-TURF=lawn and nothing is guessed.",
    ),
    "open-linework": FindingKind(
        "Lines on a layer of outlines bound no closed shape.",
        "Close the outline, or allow a wider gap with [yard] gap.",
        mended=False,
        example="A lot line that stops at the street because the curb is on another layer.",
    ),
    "scaled-to-ground": FindingKind(
        "Grid coordinates were divided by the combined factor that was given.",
        "Nothing to mend: the areas are at ground.",
        mended=True,
        severity="note",
        example="--scale-factor 0.99987 for a state-plane drawing whose areas are wanted at ground.",
    ),
    "unit-overruled": FindingKind(
        "The unit given by the user is not the one that the file states.",
        "Leave out --local-units, or correct the file.",
        mended=True,
        example="--local-units m for a drawing whose $INSUNITS says feet.",
    ),
    "walk-closed": FindingKind(
        "A GPS walk ends near its start and was closed with a straight edge.",
        "Walk on to the point where you began, or state a smaller closing_gap.",
        mended=True,
        severity="note",
        example="You stopped the recording two steps before the gate where it began.",
    ),
    "walk-overlap": FindingKind(
        "A GPS walk runs on past its start; both ends were cut where they cross.",
        "Stop where you began.",
        mended=True,
        severity="note",
        example="You walked on past the gate; both ends are cut where they cross.",
    ),
    "walk-joined": FindingKind(
        "A GPS walk was interrupted, and its pieces were joined in the order walked.",
        "Do not pause the recording between two corners.",
        mended=True,
        example="The phone was paused at the shed and started again beside it.",
    ),
    "walk-thinned": FindingKind(
        "Points of a GPS walk that only jitter about its line were taken out.",
        "State a smaller jitter to keep them, 0 to keep them all.",
        mended=True,
        severity="note",
        example="You stood still at a corner, and the phone wrote twenty points around you.",
    ),
    "gps-accuracy": FindingKind(
        "The accuracy of a GPS walk is assumed, since the file does not tell it.",
        "State vertex_accuracy, the standard error of one coordinate of one point.",
        mended=False,
        example="A track of a phone; a receiver that corrects its fixes is better: --accuracy '0.3 ft'.",
    ),
}
