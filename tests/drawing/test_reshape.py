"""Cutting and joining keeps the ground; inputs whose answers are plain."""

import json

import pytest
from shapely.geometry import Polygon

from lawnmap.drawing.reshape import cut_in_two, make_one
from lawnmap.errors import InputError

SQUARE = [[0, 0], [10, 0], [10, 10], [0, 10]]


def shape(points, **values):
    return {"id": "s1", "role": "lawn", "form": "polygon", "points": points, "name": "Front", **values}


def cut(line, **values):
    return cut_in_two(json.dumps(shape(SQUARE, line=line, **values)).encode())


def areas(parts):
    return [Polygon(part["points"], part["holes"]).area for part in parts]


def test_cut_keeps_ground_name_id_and_density():
    parts = cut([[-1, 3], [11, 3]], density="bare")
    assert areas(parts) == pytest.approx([70, 30])
    assert [part["name"] for part in parts] == ["Front", "Front part 2"]
    assert [part["id"] for part in parts] == ["s1", ""]
    assert {part["density"] for part in parts} == {"bare"}


def test_cut_through_a_hole():
    parts = cut([[-1, 5], [11, 5]], holes=[[[4, 4], [6, 4], [6, 6], [4, 6]]])
    assert areas(parts) == pytest.approx([48, 48])


@pytest.mark.parametrize("line", [[[1, 1], [9, 9]], [[20, 0], [20, 10]]])
def test_line_that_does_not_cross(line):
    with pytest.raises(InputError, match="from edge to edge"):
        cut(line)


def test_cut_and_joined_again_is_the_same_ground():
    parts = cut([[-1, 3], [11, 4]])
    whole = make_one(json.dumps([parts[0], {**parts[1], "id": "s2"}]).encode())
    assert Polygon(whole["points"]).equals(Polygon(SQUARE))
    assert whole["name"] == "Front"


@pytest.mark.parametrize(
    ("second", "said"),
    [
        (shape([[20, 0], [30, 0], [30, 10]], id="s2"), "do not touch"),
        (shape([[0, 0], [9, 9], [9, 0], [0, 9]], id="s2"), "crosses itself"),
        (shape([[0, 0], [9, 9]], id="s2", form="line"), "no outline"),
    ],
)
def test_what_cannot_be_joined(second, said):
    with pytest.raises(InputError, match=said):
        make_one(json.dumps([shape(SQUARE), second]).encode())


@pytest.mark.parametrize("held", [b"", b"[]", b"[1]", b"{}", b"[" * 100_000])
def test_junk(held):
    for work in (cut_in_two, make_one):
        with pytest.raises(InputError):
            work(held)
