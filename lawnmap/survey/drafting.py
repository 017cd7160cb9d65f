"""Linework of a drawing sorted into shapes of a yard: rings closed, layers given roles, texts made names."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING, Any, Final

import numpy as np
import shapely
from shapely import LineString, MultiLineString, MultiPoint, MultiPolygon, Point, Polygon, STRtree

from lawnmap.errors import FileError
from lawnmap.survey.codes import SKIP, attributes_of, guess_role, role_of
from lawnmap.survey.features import Feature
from lawnmap.survey.linework import Label, Piece, chain
from lawnmap.yard import DENSITIES, Finding, finding

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from shapely.geometry.base import BaseGeometry

    from lawnmap.survey.source import Source

Roles = dict[str, tuple[str, str]]
"""Layer to role and kind."""

_MANY: Final[dict[str, Callable[[list[Any]], BaseGeometry]]] = {
    "Polygon": MultiPolygon,
    "LineString": MultiLineString,
    "Point": MultiPoint,
}
_OPEN: Final = ("water", "landmark")
_FIGURES: Final = re.compile(r"(?i)\b(?:acres?|feet|foot|sqft|sq|metres?|meters?|radius|delta|chord|scale)\b")


@dataclass(slots=True)
class Draft:
    """Pieces on their way to features.

    Attributes
    ----------
    gap : float
        Ends that are nearer than this are one point. [unit of the file]
    unit : str
        Name of that unit, for messages.
    findings : list of Finding
        What was mended or doubted so far.
    """

    gap: float
    unit: str = "drawing units"
    findings: list[Finding] = field(default_factory=list)

    def note(self, code: str, text: str, layer: str) -> None:
        """Add a finding about a layer."""
        self.findings.append(finding(code, text, f"layer {layer}"))


def close_rings(pieces: Sequence[Piece], draft: Draft) -> list[Piece]:
    """Chain the open pieces of one layer into rings.

    Parameters
    ----------
    pieces : sequence of Piece
        Linework of one layer.
    draft : Draft
        Takes the findings.

    Returns
    -------
    list of Piece
        Closed pieces only.
    """
    closed = [piece for piece in pieces if piece.closed and len(piece.points) > 2]
    lines = [piece for piece in pieces if not piece.closed and len(piece.points) > 1]
    if not lines:
        return closed
    layer = lines[0].layer
    chained = chain([piece.points for piece in lines], draft.gap)
    closed += [
        Piece(ring, closed=True, layer=layer, where=f"layer {layer}, ring {number} of its linework")
        for number, ring in enumerate(chained.rings, 1)
    ]
    if chained.rings and chained.bridged > 0:
        text = (
            f"open linework was joined across gaps of up to {chained.bridged:.3g} {draft.unit} "
            f"(the limit is {draft.gap:.3g})"
        )
        draft.note("gap-closed", text, layer)
    if chained.left:
        first = lines[chained.left[0]]
        count = len(chained.left)
        what = "1 line bounds" if count == 1 else f"{count} lines bound"
        text = f"{what} no closed outline and was left out: {first.where}"
        draft.note("open-linework", text if count == 1 else text.replace("was", "were"), layer)
    return closed


def roles_of(layers: Iterable[str], given: Mapping[str, str], draft: Draft) -> Roles:
    """Return the role of each layer: as the user says, or as its name hints.

    Parameters
    ----------
    layers : iterable of str
        Layers that have linework.
    given : mapping
        Layer name or pattern with ``*`` to role; letter case does not matter.
    draft : Draft
        Takes the findings.

    Raises
    ------
    ChoiceError
        Where the user names a role that there is not.
    FileError
        Where the user names a layer that there is not.
    """
    layers = list(layers)
    roles: Roles = {}
    for pattern, word in given.items():
        role = role_of(word, f"[yard.layers], {pattern}")
        hits = [layer for layer in layers if fnmatchcase(layer.upper(), pattern.upper())]
        if not hits:
            raise FileError(
                f'there is no linework on a layer "{pattern}"',
                mend=f"it has: {', '.join(sorted(layers)) or 'none'}",
            )
        roles.update(dict.fromkeys(hits, role))
    guesses = {layer: guess for layer in layers if layer not in roles and (guess := guess_role(layer))}
    told = [
        f'"{layer}" for {kind or role}' for layer, (role, kind) in guesses.items() if (role, kind) != SKIP
    ]
    if told:
        what = "layer was" if len(told) == 1 else f"{len(told)} layers were"
        draft.findings.append(finding("layer-role-guessed", f"{what} taken by name: {', '.join(told)}"))
    return roles | guesses


def _check_ground(closed: Mapping[str, Sequence[Piece]], roles: Roles, draft: Draft) -> None:
    """See to it that some layer is lawn or lot, or that only one is left that can be."""
    full = [layer for layer, pieces in closed.items() if pieces]
    if any(roles.get(layer, ("",))[0] in {"lawn", "lot"} for layer in full):
        return
    unknown = [layer for layer in full if layer not in roles]
    if not full:
        ends = [found.text for found in draft.findings if found.code == "open-linework"]
        raise FileError(
            "there is no closed outline in it" + (f" ({ends[0]})" if ends else ""),
            mend="close the outlines, allow a wider gap with [yard] gap, or name another layer",
        )
    if len(unknown) != 1:
        raise FileError(
            "no layer can be told to be lawn",
            mend=f"say what the layers are in [yard.layers]; closed outlines are on: {', '.join(full)}",
        )


def draft_features(
    pieces: Sequence[Piece], labels: Sequence[Label], source: Source, draft: Draft
) -> list[Feature]:
    """Sort linework into features with roles and names.

    Parameters
    ----------
    pieces : sequence of Piece
        All linework of the file.
    labels : sequence of Label
        All texts of the file.
    source : Source
        Layers as the user maps them.
    draft : Draft
        Takes the findings.

    Raises
    ------
    FileError
        Where nothing in the file can be told to be lawn.
    """
    by_layer: dict[str, list[Piece]] = {}
    told: dict[str, list[Piece]] = {}
    for piece in pieces:
        if piece.attributes:
            told.setdefault(str(piece.attributes.get("part_of", piece.where)), []).append(piece)
        else:
            by_layer.setdefault(piece.layer, []).append(piece)
    features = list(_told(told))
    if by_layer or not told:
        features += _untold(by_layer, source, draft, lawn_told=bool(told))
    return name_by_labels(features, labels)


def _told(pieces: Mapping[str, Sequence[Piece]]) -> Iterator[Feature]:
    """Put the parts of each entity that says what it is together again."""
    for parts in pieces.values():
        shapes = [_as_drawn(part) for part in parts]
        shape = shapes[0] if len(shapes) == 1 else _MANY[shapes[0].geom_type](shapes)
        yield Feature(shape, parts[0].attributes or {}, parts[0].where, parts[0].layer)


def _untold(
    by_layer: Mapping[str, list[Piece]], source: Source, draft: Draft, *, lawn_told: bool
) -> list[Feature]:
    """Features of the layers, whose roles the user or their names tell."""
    roles = roles_of(by_layer, source.layers, draft)
    wanted = {layer: found for layer, found in by_layer.items() if roles.get(layer) != SKIP}
    closed = {
        layer: close_rings(found, draft)
        for layer, found in wanted.items()
        if roles.get(layer, ("",))[0] not in _OPEN
    }
    if not lawn_told:
        _check_ground(closed, roles, draft)
    known = lawn_told or any(
        roles.get(layer, ("",))[0] in {"lawn", "lot"} for layer, found in closed.items() if found
    )
    features: list[Feature] = []
    for layer, found in wanted.items():
        role = roles.get(layer)
        if layer not in closed:
            features += [_feature(_as_drawn(piece), role, piece) for piece in found]
        elif role is None and known and closed[layer]:
            text = f'{len(closed[layer])} closed outlines on layer "{layer}" have no role and were left out'
            draft.note("layer-left-out", text, layer)
        elif closed[layer]:
            shapes = _polygons(closed[layer])
            features += [
                _feature(shape, role, piece) for shape, piece in zip(shapes, closed[layer], strict=True)
            ]
    return features


def _feature(shape: Polygon | LineString | Point, role: tuple[str, str] | None, piece: Piece) -> Feature:
    attributes = attributes_of(role, piece.name)
    words = re.split(r"[^a-z]+", piece.layer.lower())
    said = [word for word in DENSITIES if word in words]
    if role == ("lawn", "") and len(said) == 1:
        attributes["density"] = said[0]
    return Feature(shape, attributes, piece.where, piece.layer)


def _as_drawn(piece: Piece) -> Polygon | LineString | Point:
    if len(piece.points) == 1:
        return Point(piece.points[0])
    if piece.closed and len(piece.points) > 2:
        return Polygon(piece.points, piece.holes)
    return LineString(piece.points)


def _polygons(pieces: Sequence[Piece]) -> list[Polygon]:
    """Build many polygons at once; only those with holes one by one."""
    sizes = [len(piece.points) for piece in pieces]
    coordinates = np.vstack([piece.points for piece in pieces])
    rings = shapely.linearrings(coordinates, indices=np.repeat(np.arange(len(pieces)), sizes))
    shapes: list[Polygon] = np.asarray(shapely.polygons(rings), dtype=object).tolist()
    for i, piece in enumerate(pieces):
        if piece.holes:
            shapes[i] = Polygon(piece.points, piece.holes)
    return shapes


def name_by_labels(features: list[Feature], labels: Sequence[Label]) -> list[Feature]:
    """Give each shape the text that stands in it; a text belongs to the smallest shape around it.

    Parameters
    ----------
    features : list of Feature
        Shapes; those with a name keep it.
    labels : sequence of Label
        Texts. Bearings, distances and areas name nothing.
    """
    telling = [
        label
        for label in labels
        if re.search(r"[^\W\d_]{3,}", label.text) and not _FIGURES.search(label.text)
    ]
    shapes = np.array([feature.shape for feature in features], dtype=object)
    if not telling or not features:
        return features
    points = np.asarray(shapely.points([label.at for label in telling]), dtype=object)
    sizes = shapely.area(shapes)
    around: dict[int, list[int]] = {}
    for label, shape in STRtree(shapes).query(points, predicate="within").T.tolist():
        if sizes[shape] > 0:
            around.setdefault(label, []).append(shape)
    names: dict[int, str] = {}
    for number, found in around.items():
        smallest, label = min(found, key=lambda shape: float(sizes[shape])), telling[number]
        if smallest not in names or label.layer == features[smallest].layer:
            names[smallest] = label.text[:60]
    return [
        Feature(feature.shape, {**feature.attributes, "name": names[i]}, feature.where, feature.layer)
        if i in names and "name" not in feature.attributes
        else feature
        for i, feature in enumerate(features)
    ]
