"""Sections of a job file: values with units in, plain faults, and a template that reads back."""

import tomllib
from typing import ClassVar, Literal

import pytest
from pydantic import BaseModel, ConfigDict, Field, field_validator

from lawnmap.choices import Area, Length, MassPerArea, Percent, Section, choice, template
from lawnmap.choices.kinds import Kind
from lawnmap.errors import ChoiceError, LawnmapError
from lawnmap.lanes.rig import Rig
from lawnmap.measure import Ground
from lawnmap.units import EXAMPLES


class Pack(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)
    size_m2: Area = Field(alias="size", gt=0)


class Bench(Section):
    """A section with one of everything."""

    section: ClassVar[str] = "bench"

    swath_m: Length = choice("swath", "6 ft", "How wide.", gt=0, le=10)
    rate: MassPerArea | None = choice("rate", None, "How much, if known.", gt=0)
    share: Percent = choice("share", "10 %", "Which part.", ge=0, le=1)
    name: str = choice("name", ..., "What it is called.")
    loud: bool = choice("loud", False, "Whether it speaks.")  # noqa: FBT003  a field, not an argument
    packs: tuple[Pack, ...] = choice("packs", (), "What it comes in.")
    blend: dict[str, Percent] = choice(
        "blend", {"tall fescue": "80 %", "bluegrass": "20 %"}, "What is in it."
    )
    angle: float | Literal["best"] = choice("angle", "best", "Which way.")

    @field_validator("name")
    @classmethod
    def _no_nonsense(cls, value: str) -> str:
        if value == "nonsense":
            raise ValueError("nonsense is no name")
        return value


def read(**values):
    return Bench.read({"name": "x", **values}, file="job.toml")


def test_written_values_are_kept_in_si():
    bench = read(
        swath="10 ft", rate="7 lb / 1000 sq ft", share="25 %", packs=[{"size": "5000 sq ft"}], angle=45
    )
    assert bench.swath_m == pytest.approx(3.048)
    assert bench.share == 0.25
    assert bench.packs[0].size_m2 == pytest.approx(464.5152)
    assert bench.blend == {"tall fescue": 0.8, "bluegrass": 0.2}
    assert bench.angle == 45


def test_python_speaks_si_by_field_name():
    assert Bench(name="x", swath_m=2).swath_m == 2


def test_sections_are_frozen():
    with pytest.raises(ValueError, match="frozen"):
        read().swath_m = 3


@pytest.mark.parametrize(
    ("values", "message"),
    [
        ({"swaht": "6 ft"}, 'job.toml, [bench], swaht: there is no key "swaht" here; did you mean "swath"?'),
        ({"swath_m": 2}, 'job.toml, [bench], swath_m: there is no key "swath_m" here; did you mean "swath"?'),
        ({"swath": 6}, 'swath: 6 has no unit; write length with its unit, "6 ft" for instance.'),
        ({"swath": True}, "swath: true has no unit"),
        ({"swath": "6"}, 'swath: "6" has no unit; write it like "6 ft".'),
        ({"swath": "6 lb"}, 'swath: "6 lb" is a quantity of weight, not of length'),
        ({"swath": "0 ft"}, "swath: '0 ft' is not possible; it must be more than 0 ft."),
        ({"swath": "40 ft"}, "swath: '40 ft' is not possible; it must be at most 32.8 ft."),
        ({"swath": ["6 ft"]}, "swath: ['6 ft'] does not fit"),
        ({"share": "120 %"}, "share: '120 %' is not possible; it must be at most 100 %."),
        ({"rate": "-1 lb / 1000 sq ft"}, "it must be more than 0 lb / 1000 sq ft."),
        ({"name": "nonsense"}, "[bench], name: nonsense is no name."),
        ({"packs": [{"size": "1 acre"}, {"size": "0 acre"}]}, "packs.1.size: '0 acre' is not possible; it must be more than 0 sq ft."),
        ({"packs": [{"sizes": "1 acre"}]}, 'packs.0.sizes: there is no key "sizes" here; did you mean "size"?'),
        ({"packs": [{}]}, 'the key "packs.0.size" is missing; add it.'),
        ({"angle": "bets"}, "angle: 'bets' is not known; did you mean \"best\"?"),
        ({"angle": float("nan")}, "angle: nan is not known"),
        ({"swath": "0 ft", "share": "2"}, "(1 more fault in this section)"),
        ({"swath": "0 ft", "share": "2", "angle": "bets"}, "(2 more faults in this section)"),
    ],
)  # fmt: skip
def test_faults_in_words(values, message):
    with pytest.raises(ChoiceError) as caught:
        read(**values)
    assert message in str(caught.value)


def test_a_missing_key_is_named():
    with pytest.raises(ChoiceError, match=r'job.toml, \[bench\]: the key "name" is missing; add it\.'):
        Bench.read({}, file="job.toml")


def test_python_gets_the_same_words_without_a_file():
    with pytest.raises(
        ChoiceError, match=r"^\[bench\], swath_m: -1 is not possible; it must be more than 0 ft\.$"
    ):
        Bench(name="x", swath_m=-1)


def test_a_fault_is_an_input_error_and_a_value_error():
    assert issubclass(ChoiceError, LawnmapError)
    with pytest.raises(ValueError, match="swath"):
        read(swath=6)


def test_defaults_are_what_the_user_did_not_give():
    rows = {row.key: row for row in read(swath="10 ft").defaults()}
    assert "swath" not in rows
    assert "name" not in rows
    assert "rate" not in rows  # there is no default to tell
    assert rows["share"].to_dict() == {
        "section": "bench",
        "key": "share",
        "value": "10 %",
        "about": "Which part.",
    }
    assert rows["loud"].value == "false"


def test_the_template_reads_back():
    text = template(Bench, {"name": 'the "best" one'})
    values = tomllib.loads(text)["bench"]
    assert Bench.read(values, file="job.toml").model_dump() == Bench(name='the "best" one').model_dump()
    assert "# rate =" in text
    assert "# packs =" in text
    assert text.count("#") >= len(Bench.model_fields)


@pytest.mark.parametrize("model", [Rig, Ground])
def test_the_template_of_every_room_reads_back(model):
    text = template(model)
    assert (
        model.read(tomllib.loads(text)[model.section], file="job.toml").model_dump() == model().model_dump()
    )
    assert max(map(len, text.splitlines())) <= 100


def test_given_values_go_into_the_template():
    values = tomllib.loads(template(Bench, {"name": "x", "packs": [{"size": "1 acre"}], "loud": True}))[
        "bench"
    ]
    assert values["packs"] == [{"size": "1 acre"}]
    assert values["loud"] is True


@pytest.mark.parametrize("name", EXAMPLES)
def test_limits_are_written_in_the_unit_of_the_example(name):
    unit = Kind(name).write(1.0).split(" ", 1)[1]
    assert unit.split("/")[0].strip() in EXAMPLES[name]
