"""What a reader of yard files mends, doubts or assumes."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import FindingKind

SURVEY: Final[dict[str, FindingKind]] = {
    "area-twice": FindingKind(
        "The area of a deed by double meridian distances, beside the area by coordinates.",
        "Nothing to mend: the two should be one figure.",
        mended=False,
    ),
    "curve-disagrees": FindingKind(
        "The parts of a curve in a deed differ from each other by more than rounding.",
        "Compare radius, central angle, arc and chord with the recorded deed.",
        mended=False,
    ),
    "letters-are-names": FindingKind(
        "Letters after a point code look like line commands but are names of corners.",
        "Begin lines with BEG and close them with CLS, or name corners by number.",
        mended=True,
    ),
    "misclosure": FindingKind(
        "How far the last call of a deed ends from its beginning.",
        "Nothing to mend if it is small; otherwise look for a wrong call.",
        mended=True,
    ),
    "point-order-guessed": FindingKind(
        "The order of the columns of a point file was guessed.",
        "Say it with [yard] point_order, PNEZD for instance, or write a line of headings.",
        mended=False,
    ),
    "point-repeated": FindingKind(
        "One point number stands twice with different coordinates.",
        "Delete the wrong one, or code check shots CHK.",
        mended=False,
    ),
    "points-joined": FindingKind(
        "Points without line commands were joined in their order and closed.",
        "Write line commands after the code: B to begin, C to close.",
        mended=True,
    ),
    "stated-area-differs": FindingKind(
        "The area that a file states is not the one that its lines enclose.",
        "Ask who made the file which of the two is right.",
        mended=False,
    ),
    "average-radius": FindingKind(
        "An area by the mean of squared radii, beside the one often taught.",
        "Nothing to mend: the first is right.",
        mended=False,
    ),
    "kidney-as-ellipse": FindingKind(
        "A kidney-shaped figure was drawn as an ellipse of the same area.",
        "Tie its outline from two corners to see its form.",
        mended=False,
    ),
    "laid-out": FindingKind(
        "A figure without a place was drawn where there was room.",
        "Say where it is: at 12 30, or tied 30 40.",
        mended=False,
    ),
    "offset-area": FindingKind(
        "The area of offsets from a baseline by two rules.",
        "Nothing to mend: they are the same within the curve of the edge.",
        mended=False,
    ),
    "tape-corrected": FindingKind(
        "A tape that is too long or too short was allowed for.",
        "Nothing to mend.",
        mended=True,
    ),
    "weak-tie": FindingKind(
        "Two ties meet at so sharp or flat an angle that their point is badly fixed.",
        "Tie it from two other corners.",
        mended=False,
    ),
    "vara-assumed": FindingKind(
        "A deed in varas does not say whose vara.",
        "Write the distances in feet if it is not the vara of Texas.",
        mended=True,
    ),
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
    "walk-closed": FindingKind(
        "A GPS walk ends near its start and was closed with a straight edge.",
        "Walk on to the point where you began, or state a smaller closing_gap.",
        mended=True,
    ),
    "walk-overlap": FindingKind(
        "A GPS walk runs on past its start; both ends were cut where they cross.",
        "Stop where you began.",
        mended=True,
    ),
    "walk-joined": FindingKind(
        "A GPS walk was interrupted, and its pieces were joined in the order walked.",
        "Do not pause the recording between two corners.",
        mended=True,
    ),
    "walk-thinned": FindingKind(
        "Points of a GPS walk that only jitter about its line were taken out.",
        "State a smaller jitter to keep them, 0 to keep them all.",
        mended=True,
    ),
    "gps-accuracy": FindingKind(
        "The accuracy of a GPS walk is assumed, since the file does not tell it.",
        "State vertex_accuracy, the standard error of one coordinate of one point.",
        mended=False,
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
