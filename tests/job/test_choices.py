"""A job file is read, checked and written out."""

import tomllib

import pytest

from lawnmap.errors import ChoiceError, FileError, InputError
from lawnmap.job import Choices, job_template, read_choices


def write(folder, text):
    path = folder / "job.toml"
    path.write_text(text, "utf-8")
    return path


def test_a_new_job_file_reads_back_as_the_defaults(tmp_path):
    path = write(tmp_path, job_template({"file": "yard.geojson"}, name="Corner lot"))
    choices = read_choices(path)
    assert choices.general.name == "Corner lot"
    assert choices.source.file == "yard.geojson"
    fresh = Choices()
    for room in ("ground", "seed", "fertilizer", "rig"):
        assert getattr(choices, room) == getattr(fresh, room), room


def test_every_line_of_a_new_job_file_is_explained():
    text = job_template({"file": "yard.geojson"})
    lines = text.splitlines()
    for place, line in enumerate(lines):
        if "=" in line and not line.startswith("#"):
            assert lines[place - 1].startswith("# "), line
    assert set(tomllib.loads(text)) >= {"yard", "ground", "seed", "fertilizer", "rig"}


def test_a_folder_stands_for_the_job_file_in_it(tmp_path):
    write(tmp_path, '[rig]\nswath = "5 ft"\n')
    assert read_choices(tmp_path).rig.swath_m == pytest.approx(1.524)
    assert read_choices(tmp_path).folder == tmp_path


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("[rigs]\n", r"there is no section \[rigs\]; did you mean \"rig\"\?"),
        ("rig = 3\n", r'"rig" is a section; write it as \[rig\]'),
        ("[product]\nname = 'lime'\n", r'"product" may stand several times; write it as \[\[product\]\]'),
        ("nmae = 'x'\n", r'nmae: there is no key "nmae" here; did you mean "name"\?'),
        ("units = 'imperial'\n", r"'imperial' is not known; use one of: metric, us"),
        ("[rig]\nswath = 6\n", r"\[rig\], swath: 6 has no unit"),
        ('[rig]\nswath = "6 lb"\n', r"\[rig\], swath: \"6 lb\" is a quantity of weight, not of length"),
        ('[rig]\nswath = "0 ft"\n', r"\[rig\], swath: '0 ft' is not possible; it must be more than"),
        ('[rig]\nswaht = "6 ft"\n', r'there is no key "swaht" here; did you mean "swath"\?'),
        ("[rig\n", "is not valid TOML"),
        ("leave_out = ['mowing']\n", "'mowing' is not known"),
    ],
)
def test_each_fault_is_one_plain_sentence(tmp_path, text, sentence):
    path = write(tmp_path, text)
    with pytest.raises(InputError, match=sentence) as caught:
        read_choices(path)
    assert str(path) in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_missing_job_file_says_how_to_make_one(tmp_path):
    with pytest.raises(FileError, match='make one with "lawnmap new"'):
        read_choices(tmp_path)


def test_a_job_file_in_another_encoding_is_refused(tmp_path):
    path = tmp_path / "job.toml"
    path.write_bytes('name = "Böschung"'.encode("latin-1"))
    with pytest.raises(FileError, match="is not UTF-8 text"):
        read_choices(path)


def test_a_file_far_too_large_is_refused_unread(tmp_path):
    path = tmp_path / "job.toml"
    with path.open("wb") as stream:
        stream.truncate(5_000_000_000)
    with pytest.raises(FileError, match="too large to be a job file"):
        read_choices(path)


def test_a_deeply_nested_file_is_refused(tmp_path):
    path = write(tmp_path, "notes = " + "[" * 100_000 + "]" * 100_000)
    with pytest.raises((FileError, ChoiceError), match=r"nested too deeply|is not valid TOML"):
        read_choices(path)


def test_defaults_are_those_that_were_not_given(tmp_path):
    write(tmp_path, '[rig]\nswath = "5 ft"\n')
    keys = {(one.section, one.key) for one in read_choices(tmp_path).defaults()}
    assert ("rig", "swath") not in keys
    assert ("rig", "hopper") in keys
