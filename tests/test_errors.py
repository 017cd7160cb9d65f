"""The tree of errors and how they are worded."""

import pytest

from lawnmap import errors
from lawnmap.errors import ChoiceError, FileError, InputError, LawnmapError, OutputError, nearest

TREE = [kind for kind in vars(errors).values() if isinstance(kind, type) and issubclass(kind, LawnmapError)]


@pytest.mark.parametrize(
    ("where", "mend", "text"),
    [
        ("", "", "the layer is empty."),
        ("a.gpkg", "", "a.gpkg: the layer is empty."),
        ("", "name another", "the layer is empty; name another."),
        ("a.gpkg", "did you mean lots?", "a.gpkg: the layer is empty; did you mean lots?"),
    ],
)
@pytest.mark.parametrize("kind", TREE)
def test_one_sentence(kind, where, mend, text):
    assert str(kind("the layer is empty", where=where, mend=mend)) == text


def test_a_place_is_put_in_front():
    fault = FileError("it is empty", where="layer lots", mend="name another").at("a.gpkg")
    assert isinstance(fault, FileError)
    assert str(fault) == "a.gpkg, layer lots: it is empty; name another."
    assert str(LawnmapError("it is empty").at("a.gpkg")) == "a.gpkg: it is empty."


def test_bases_that_a_caller_expects():
    assert all(issubclass(kind, ValueError) for kind in TREE if issubclass(kind, InputError))
    assert issubclass(OutputError, OSError)
    with pytest.raises(ValueError, match="no such section"):
        raise ChoiceError("no such section")


def test_the_tree_at_the_head_is_complete():
    assert all(kind.__name__ in errors.__doc__ for kind in TREE)


def test_nearest():
    assert nearest("swaht", ["swath", "hopper"]) == 'did you mean "swath"?'
    assert nearest("zzz", ["swath", "hopper", "swath"]) == "use one of: hopper, swath"
    assert nearest("zzz", ["swath", "swaths"], ["swath"]) == "use one of: swath"
