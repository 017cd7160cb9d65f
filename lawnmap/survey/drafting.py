"""Linework of a drawing sorted into shapes of a yard: rings closed, layers given roles, texts made names."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING, Final

import numpy as np
import shapely
from shapely import LineString, Point, Polygon, STRtree

from lawnmap.errors import FileError
from lawnmap.survey.features import Feature
from lawnmap.survey.linework import Label, Piece, chain
from lawnmap.survey.roles import attributes_of, check_role, guess_role
from lawnmap.yard import DENSITIES, LANDMARK_KINDS, Finding, finding

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from lawnmap.survey.source import Source

_OPEN_ROLES: Final = ("water", "landmark", *LANDMARK_KINDS)
_FIGURES: Final = re.compile(r"(?i)\b(?:acres?|feet|foot|sqft|sq|metres?|meters?|radius|delta|chord|scale)\b")


@dataclass(slots=True)
class Draft:
    """Pieces on their way to features.

    Attributes
    ----------
    path : str
        The file, for messages.
    gap : float
        Ends that are nearer than this are one point. [unit of the file]
    unit : str
        Name of that unit, for messages.
    findings : list of Finding
        What was mended or doubted so far.
    """

    path: str
    gap: float
    unit: str = "drawing units"
    findings: list[Finding] = field(default_factory=list)

    def note(self, code: str, text: str, where: str = "") -> None:
        """Add a finding."""
        place = f"{self.path}, {where}" if where else self.path
        self.findings.append(finding(code, text, place))


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
    lines = [piece for piece in pieces if not piece.closed]
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
        draft.note("gap-closed", text, f"layer {layer}")
    if chained.left:
        first = lines[chained.left[0]]
        text = (
            f"{len(chained.left)} lines bound no closed outline and were left out, the first is {first.where}"
        )
        draft.note("open-linework", text, f"layer {layer}")
    return closed


def roles_of(layers: Iterable[str], given: Mapping[str, str], draft: Draft) -> dict[str, str]:
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
    roles: dict[str, str] = {}
    for pattern, word in given.items():
        role = check_role(word, f"{draft.path}, layer {pattern}")
        hits = [layer for layer in layers if fnmatchcase(layer.upper(), pattern.upper())]
        if not hits:
            raise FileError(
                f'there is no linework on a layer "{pattern}"',
                where=draft.path,
                mend=f"it has: {', '.join(sorted(layers)) or 'none'}",
            )
        roles.update(dict.fromkeys(hits, role))
    for layer in layers:
        if layer not in roles:
            guess = guess_role(layer)
            if guess is not None:
                roles[layer] = guess
            if guess not in (None, "skip"):
                draft.note(
                    "layer-role-guessed",
                    f'layer "{layer}" was taken as {guess} from its name',
                    f"layer {layer}",
                )
    return roles


def find_lawn(closed: Mapping[str, Sequence[Piece]], roles: dict[str, str], draft: Draft) -> None:
    """See to it that some layer is lawn: the lot where no layer is, or the only layer with an outline.

    Parameters
    ----------
    closed : mapping
        Layer to its closed pieces.
    roles : dict
        Layer to role; completed here.
    draft : Draft
        Takes the findings.

    Raises
    ------
    FileError
        Where nothing in the file can be told to be lawn.
    """
    full = [layer for layer, pieces in closed.items() if pieces]
    if any(roles.get(layer) == "lawn" for layer in full):
        return
    lots = [layer for layer in full if roles.get(layer) == "boundary"]
    unknown = [layer for layer in full if layer not in roles]
    if lots:
        for layer in lots:
            roles[layer] = "lawn"
            text = f'no layer is lawn, so the lot on layer "{layer}" was taken as lawn, obstacles cut out'
            draft.note("lot-taken-as-lawn", text, f"layer {layer}")
    elif len(unknown) == 1:
        roles[unknown[0]] = "lawn"
        text = f'layer "{unknown[0]}" is the only one left with closed outlines and was taken as lawn'
        draft.note("layer-role-guessed", text, f"layer {unknown[0]}")
    elif not full:
        open_ends = [found.text for found in draft.findings if found.code == "open-linework"]
        raise FileError(
            "there is no closed outline in it" + (f": {open_ends[0]}" if open_ends else ""),
            where=draft.path,
            mend="close the outlines, allow a wider gap, or name another layer",
        )
    else:
        raise FileError(
            "no layer can be told to be lawn",
            where=draft.path,
            mend=f"say what the layers are with --map LAYER=ROLE; closed outlines are on: {', '.join(full)}",
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
    """
    by_layer: dict[str, list[Piece]] = {}
    for piece in pieces:
        by_layer.setdefault(piece.layer, []).append(piece)
    roles = roles_of(by_layer, source.layers, draft)
    wanted = {layer: found for layer, found in by_layer.items() if roles.get(layer) != "skip"}
    closed = {
        layer: close_rings(found, draft)
        for layer, found in wanted.items()
        if roles.get(layer) not in _OPEN_ROLES
    }
    find_lawn(closed, roles, draft)
    features: list[Feature] = []
    for layer, found in wanted.items():
        role = roles.get(layer)
        if role is None or (role == "boundary"):
            if closed.get(layer):
                text = (
                    f'{len(closed[layer])} closed outlines on layer "{layer}" have no role and were left out'
                )
                draft.note("layer-left-out", text, f"layer {layer}")
            continue
        if role in _OPEN_ROLES:
            features += [_feature(_as_drawn(piece), role, piece) for piece in found]
        else:
            shapes = _polygons(closed[layer])
            features += [
                _feature(shape, role, piece) for shape, piece in zip(shapes, closed[layer], strict=True)
            ]
    return name_by_labels(features, labels)


def _feature(shape: Polygon | LineString | Point, role: str, piece: Piece) -> Feature:
    attributes = attributes_of(role, piece.name)
    words = re.split(r"[^a-z]+", piece.layer.lower())
    said = [word for word in DENSITIES if word in words]
    if role == "lawn" and len(said) == 1:
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
    if not pieces:
        return []
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
    points = shapely.points([label.at for label in telling])
    of_label, of_shape = STRtree(shapes).query(points, predicate="within")
    sizes = shapely.area(shapes)
    names: dict[int, str] = {}
    for i, label in enumerate(telling):
        around = of_shape[of_label == i]
        around = around[sizes[around] > 0]
        if len(around):
            smallest = int(around[np.argmin(sizes[around])])
            own = label.layer == features[smallest].layer
            if own or smallest not in names:
                names[smallest] = label.text[:60]
    return [
        Feature(f.shape, {**f.attributes, "name": names[i]}, f.where, f.layer)
        if i in names and "name" not in f.attributes
        else f
        for i, f in enumerate(features)
    ]
