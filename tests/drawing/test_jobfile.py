"""A value set in a job file leaves every other letter of it alone. TOML as the standard library reads it."""

import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from lawnmap.drawing.jobfile import section_of, with_values
from lawnmap.errors import FileError
from lawnmap.job import job_template

BY_HAND = """\
# Our yard, second try
name = "Ours"  # not the neighbour's

[seed]   # asked at the store
species = { "tall fescue" = "90 %", "KBG" = "10 %" }
packs = [
    "50 lb",  # the big one
    "5 lb",
]

[seed.factors]
bare = 0.9 # windy
thin = 0.8

[rig]
swath = "6 ft"
# the end
"""


def comments(text):
    return [line.partition("#")[2] for line in text.splitlines() if "#" in line]


def test_a_value_is_changed_in_its_place():
    changed = with_values(BY_HAND, "rig", {"swath": "8 ft"})
    assert changed == BY_HAND.replace('"6 ft"', '"8 ft"')


def test_a_new_key_stands_at_the_head_of_its_section():
    changed = with_values(BY_HAND, "rig", {"hopper": "80 lb"})
    assert changed == BY_HAND.replace("[rig]\n", '[rig]\nhopper = "80 lb"\n')


def test_a_table_inside_a_section_keeps_its_other_values():
    changed = with_values(BY_HAND, "seed", {"factors.bare": 1.0, "factors.full": 0.1})
    assert tomllib.loads(changed)["seed"]["factors"] == {"bare": 1.0, "thin": 0.8, "full": 0.1}
    assert comments(changed) == comments(BY_HAND)
    assert tomllib.loads(with_values("", "seed", {"factors.bare": 1.0})) == {
        "seed": {"factors": {"bare": 1.0}}
    }


def test_a_key_at_the_head_and_a_section_that_is_not_there():
    changed = with_values(BY_HAND, "", {"units": "metric"})
    assert tomllib.loads(changed)["units"] == "metric"
    changed = with_values(BY_HAND, "fertilizer", {"grade": "18-24-12"})
    assert changed.startswith(BY_HAND)
    assert tomllib.loads(changed)["fertilizer"] == {"grade": "18-24-12"}


def test_taken_out_is_back_at_the_default():
    changed = with_values(BY_HAND, "rig", {"swath": None, "speed": None})
    assert tomllib.loads(changed)["rig"] == {}
    assert "# the end" in changed


def test_a_section_written_with_dots_stays_one():
    text = 'rig.swath = "6 ft"  # dotted\n'
    changed = with_values(text, "rig", {"speed": "3 mph"})
    assert tomllib.loads(changed)["rig"] == {"swath": "6 ft", "speed": "3 mph"}
    assert "# dotted" in changed


def test_a_waiting_key_of_the_template_is_filled_in_where_it_stands():
    text = job_template({"file": "yard.geojson"})
    changed = with_values(text, "seed", {"rate": "7 lb / 1000 sq ft"})
    assert [line for line in changed.splitlines() if line not in text.splitlines()] == [
        'rate = "7 lb / 1000 sq ft"'
    ]
    assert len(changed.splitlines()) == len(text.splitlines())


def test_no_toml_is_refused():
    with pytest.raises(FileError, match="not valid TOML"):
        with_values("[rig\n", "rig", {"swath": "8 ft"})
    with pytest.raises(FileError, match="not valid TOML"):
        section_of("= 1", "rig")


TEXTS = st.text(max_size=20)
VALUES = st.one_of(TEXTS, st.booleans(), st.integers(-1000, 1000), st.lists(TEXTS, max_size=3))


@given(
    st.sampled_from([BY_HAND, "", job_template({"file": "yard.geojson"}), "[rig]"]),
    st.sampled_from(["", "seed", "rig", "spreader"]),
    st.dictionaries(
        st.sampled_from(["name", "swath", "species", "packs", "rate", "reverse"]), VALUES, max_size=4
    ),
)
def test_the_rest_of_the_file_means_what_it_meant(text, section, values):
    before, after = tomllib.loads(text), tomllib.loads(with_values(text, section, values))
    expected = before | values if not section else before | {section: before.get(section, {}) | values}
    assert after == (expected if values else before)


@given(st.dictionaries(st.sampled_from(["swath", "hopper", "speed"]), TEXTS | st.none(), max_size=3))
def test_no_comment_is_lost(values):
    assert comments(with_values(BY_HAND, "rig", values)) == comments(BY_HAND) or any(
        "#" in value for value in values.values() if value
    )
