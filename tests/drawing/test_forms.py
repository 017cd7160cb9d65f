"""What the page asks for, and how a section's own sentence comes back to the field that it is about."""

import json
import tomllib

import pytest

from lawnmap.drawing.forms import FieldError, describe_forms, fill_in
from lawnmap.errors import FileError
from lawnmap.job import Choices, job_template

TEMPLATE = job_template({"file": "yard.geojson"})


def send(section, values, text=TEMPLATE):
    return fill_in(text, json.dumps({"section": section, "values": values}).encode())


def fields(text=TEMPLATE):
    return {
        (part["section"], field["key"]): field for part in describe_forms(text) for field in part["fields"]
    }


def test_every_key_of_a_section_is_asked_for():
    asked = fields()
    for section in ("seed", "fertilizer", "rig", "spreader"):
        model = type(getattr(Choices(), section))
        keys = {field.alias for field in model.model_fields.values()}
        assert keys == {key.partition(".")[0] for name, key in asked if name == section}
    assert [key for name, key in asked if not name] == ["leave_out"]
    assert asked["rig", "swath"]["value"] == asked["rig", "swath"]["default"] == "6 ft"
    assert "two directions" in asked["rig", "passes"]["options"]
    assert "tall fescue" in asked["seed", "species"]["suggestions"]


@pytest.mark.parametrize(
    ("section", "key", "typed", "held"),
    [
        ("seed", "species", "perennial ryegrass", "perennial ryegrass"),
        (
            "seed",
            "species",
            '{ "tall fescue" = "90 %", "KBG" = "10 %" }',
            {"tall fescue": "90 %", "KBG": "10 %"},
        ),
        ("seed", "packs", "50 lb, 5 lb", ["50 lb", "5 lb"]),
        ("seed", "packs", '[{ size = "50 lb", price = 120 }]', [{"size": "50 lb", "price": 120}]),
        ("rig", "headland_loops", "2", 2),
        ("rig", "lane_end", "0.75", 0.75),
        ("rig", "direction", "45", 45),
        ("rig", "direction", "best", "best"),
        ("rig", "reverse", True, True),
        ("fertilizer", "on", ["bare", "thin"], ["bare", "thin"]),
        ("spreader", "trays", "1, 2.5, 4, 2.5, 1", [1, 2.5, 4, 2.5, 1]),
        ("", "leave_out", ["seed"], ["seed"]),
    ],
)
def test_what_is_typed_stands_in_the_file_and_is_shown_again(section, key, typed, held):
    text = send(section, {key: typed})
    values = tomllib.loads(text)
    assert (values[section] if section else values)[key] == held
    again = fields(text)[section, key]["value"]
    assert send(section, {key: again}, text) == text


def test_an_emptied_field_is_at_its_default_again():
    assert "swath" not in tomllib.loads(send("rig", {"swath": " "}))["rig"]


@pytest.mark.parametrize(
    ("section", "values", "key", "sentence"),
    [
        ("rig", {"swath": "6"}, "swath", r'"6" has no unit; write it like "6 ft"'),
        ("rig", {"swath": "-6 ft"}, "swath", "it must be more than"),
        ("rig", {"headland_loops": "7"}, "headland_loops", "7 is not possible; it must be at most 3"),
        ("seed", {"species": "moss"}, "species", '"moss" is not a species in the tables'),
        ("seed", {"packs": "50"}, "packs", "50 has no unit"),
        ("seed", {"factors.bare": "9"}, "factors.bare", "it must be at most 3"),
        ("seed", {"species": '{ "tall fescue"'}, "species", "not written as in a job file"),
        ("fertilizer", {"grade": "18-24"}, "grade", '"18-24" is not a grade'),
        ("fertilizer", {"grade": "18-24-0", "nutrient": "K2O"}, "nutrient", "holds no K2O"),
        ("fertilizer", {"on": []}, "on", "at least 1 item"),
    ],
)
def test_a_bad_value_is_refused_at_its_field(section, values, key, sentence):
    with pytest.raises(FieldError, match=sentence) as caught:
        send(section, values)
    assert caught.value.key == key


def test_values_that_need_each_other_go_in_together():
    with pytest.raises(FieldError, match="one germination for each purity"):
        send("seed", {"purity": "97.5 %"})
    assert tomllib.loads(send("seed", {"purity": "97.5 %", "germination": "88 %"}))["seed"][
        "germination"
    ] == ["88 %"]


@pytest.mark.parametrize(
    "sent", [b"", b"[]", b'{"section": "yard", "values": {}}', b'{"section": "rig", "values": {"swath": 6}}']
)
def test_what_is_no_choice_is_refused(sent):
    with pytest.raises(FileError, match="those are no choices"):
        fill_in(TEMPLATE, sent)


def test_a_key_that_does_not_exist():
    with pytest.raises(FieldError, match='there is no key "sawth" here; did you mean "swath"'):
        send("rig", {"sawth": "6 ft"})
