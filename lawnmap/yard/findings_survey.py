"""What reading the shapes of any yard file mends, doubts or assumes."""

from __future__ import annotations

from typing import Final

from lawnmap.yard.finding import FindingKind

SURVEY: Final[dict[str, FindingKind]] = {
    "crs-overruled": FindingKind(
        "The file names its CRS, and the user gave another word.",
        "Take the option away if the file is right.",
        mended=False,
        example="--crs EPSG:2263 for a GeoPackage that says it is in EPSG:2272.",
    ),
    "perhaps-swapped": FindingKind(
        "The yard lies so near a pole that longitude and latitude may be swapped.",
        "Write longitude before latitude.",
        mended=False,
        example="[44.9, -93.1] in a GeoJSON file: the first number is longitude, so this lies in the far south.",
    ),
    "reader-warning": FindingKind(
        "The library that reads this format gave a warning.",
        "Save the file anew from the program that made it.",
        mended=False,
        example="A layer with a field that is wider than its format allows.",
    ),
    "no-table": FindingKind(
        "The table of attributes of a shapefile is missing.",
        "Keep the .dbf file beside the .shp file.",
        mended=False,
        example="lot.shp and lot.shx were mailed, lot.dbf was not.",
    ),
    "no-shape": FindingKind(
        "A row has no shape, or an empty one.",
        "Draw the shape or delete the row.",
        mended=True,
        example="A row of an attribute table whose polygon was deleted.",
    ),
    "height-dropped": FindingKind(
        "The coordinates have heights; areas are as seen from above.",
        "State a slope where the ground is steep.",
        mended=True,
        severity="note",
        example="A survey in three dimensions; a bank of 33 % has 5 % more ground than its plan.",
    ),
    "measure-dropped": FindingKind(
        "The coordinates carry measures along the line, which say nothing of ground.",
        "Nothing needs mending.",
        mended=True,
        severity="note",
        example="A road line with mileposts.",
    ),
    "parts-left-out": FindingKind(
        "Points and lines are drawn together with an outline as one shape.",
        "Give them a role of their own.",
        mended=True,
        example="A GeometryCollection of a bed's outline and a point for its label.",
    ),
    "repeated-vertex": FindingKind(
        "A corner is given twice in a row.",
        "Nothing needs mending.",
        mended=True,
        severity="note",
        example="[5, 0], [5, 0]: a double click while tracing.",
    ),
    "ring-closed": FindingKind(
        "The last corner of an outline is not the first one; it was closed with a straight edge.",
        "Repeat the first corner at the end.",
        mended=True,
        example="[0, 0], [50, 0], [50, 30], [0, 30] and no [0, 0] again.",
    ),
    "ring-repeated": FindingKind(
        "A hole is given twice or has no width.",
        "Delete the second one.",
        mended=True,
        example="A pool cut out of the lawn twice.",
    ),
    "outline-tidied": FindingKind(
        "An outline touches itself or runs out and back along one line; its area is unchanged.",
        "Delete the spike or part the outline.",
        mended=True,
        example="A lawn whose outline runs out along a fence and back along the same line.",
    ),
    "parts-joined": FindingKind(
        "Parts of one shape overlap or share an edge; their ground counts once.",
        "Join the parts in the drawing.",
        mended=True,
        example="A multipolygon of two halves that overlap by a foot.",
    ),
    "no-ground": FindingKind(
        "An outline encloses nothing.",
        "Delete it or draw it anew.",
        mended=True,
        example="An outline of three corners on one line.",
    ),
    "arcs-as-chords": FindingKind(
        "Arcs are drawn as chords so short that a circle loses less than a millionth of its area.",
        "Nothing needs mending.",
        mended=True,
        severity="note",
        example="A GeoPackage of curve polygons, or a circle that a survey program stored as one.",
    ),
    "closed-line": FindingKind(
        "A closed line is taken as the ground inside it.",
        "Save it as a polygon.",
        mended=True,
        example="A lawn traced as a line that ends where it began.",
    ),
    "line-left-out": FindingKind(
        "An open line has no role that a line can play.",
        "Give it the role water or landmark, or close it.",
        mended=False,
        example="A fence drawn as an open line in a layer of lawns.",
    ),
    "point-left-out": FindingKind(
        "A point is given a role that only ground can play.",
        "Draw its outline.",
        mended=False,
        example="A tree given as a point with the role obstacle: draw its circle.",
    ),
    "landmark-moved": FindingKind(
        "A landmark is drawn as ground and put at a point inside it.",
        "Draw it as a point or a line.",
        mended=True,
        example="A house drawn as a polygon with the role landmark.",
    ),
    "role-guessed": FindingKind(
        "The file does not say what a shape is; it was told by other words or by its form.",
        'Give the file a column "role": lawn, obstacle, water or landmark.',
        mended=False,
        example="A shape called “Back lawn” in a file without a column “role”.",
    ),
    "role-unknown": FindingKind(
        "The role column holds a word that is not known.",
        "Write lawn, obstacle, water or landmark.",
        mended=False,
        example="role = “turfgrass area 1”.",
    ),
    "kind-guessed": FindingKind(
        "The kind of an obstacle or landmark is told by its name.",
        'Give the file a column "kind".',
        mended=False,
        example="role = “obstacle”, name = “Garden shed”, and no kind.",
    ),
    "kind-unknown": FindingKind(
        "The kind of an obstacle or landmark is a word not known; it counts as other.",
        "Write house, drive, walk, bed, pool, tree or other.",
        mended=False,
        example="role = “obstacle”, kind = “gazebo”: write other.",
    ),
    "lot-as-lawn": FindingKind(
        "The outline of a whole lot is taken as lawn, less the obstacles drawn.",
        "Draw the lawn itself and give it the role lawn.",
        mended=False,
        example="A parcel, a house and a drive, and no lawn: what is left of the parcel is taken as lawn.",
    ),
    "lot-set-aside": FindingKind(
        "The outline of a lot is not counted, since lawn is drawn.",
        "Give it the role lawn if it is one.",
        mended=False,
        severity="note",
        example="V-PROP-LINE beside L-PLNT-TURF in one drawing: the turf is measured.",
    ),
    "density-read": FindingKind(
        "The density is given by a word or number of the file's own.",
        "Write bare, thin, patchy or full, or a column cover_percent.",
        mended=True,
        example="density = “sparse”, or 2 on a scale of 1 to 4.",
    ),
    "cover-as-fraction": FindingKind(
        "Percent covers never pass 1 and are taken for fractions.",
        "Write percent.",
        mended=True,
        example="cover_percent = 0.65 in every row.",
    ),
    "name-made": FindingKind(
        "A shape has no name.",
        'Give the file a column "name".',
        mended=True,
        severity="note",
        example="A polygon without a name, called “Lawn 1”.",
    ),
    "name-repeated": FindingKind(
        "Two shapes of one yard have the same name; the second was numbered.",
        "Name them apart.",
        mended=True,
        example="Two zones called “Front”; the second is “Front (2)”.",
    ),
    "yard-missing": FindingKind(
        "A lawn names no yard in a file of several yards.",
        "Fill in the column that names the yard.",
        mended=False,
        example="An empty cell in the column “yard” of a layer of parcels.",
    ),
    "no-yard": FindingKind(
        "A shape belongs to no yard and is left out.",
        "Name its yard, or draw it where it touches one.",
        mended=False,
        example="A tree between two parcels, in a column “yard” that is empty for it.",
    ),
}
