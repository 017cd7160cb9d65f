"""Every section that a new job file offers commented out is readable once it is uncommented."""

import re

import pytest

from lawnmap.job import job_template, read_choices
from lawnmap.job.choices import PLACES

TEMPLATE = job_template({"file": "yard.geojson"})
NEEDED = {
    "product": 'name = "lime"\nrate = "40 lb / 1000 sq ft"',
    "spray": 'name = "dye"\nrate = "5 fl oz / acre"\nyearly_maximum = "20 fl oz / acre"\ntank = "4 gal"\n'
    'carrier = "40 gal / acre"',
    "client": 'name = "Invented"',
    "contractor": 'name = "Invented"',
    "dates": "seeding = 2026-09-08",
    "station": 'name = "front"\nzones = ["Front"]\nflow = "8 gal/min"',
}
"""The keys that no section can do without, and that the template can therefore not fill in."""

FIELDS = {place.key: place.field or place.key for place in PLACES} | {"option": "options"}


def offered():
    """Name and lines of every section that is commented out."""
    parts = re.split(r"(?m)^(?=# \[+\w+\]+$)", TEMPLATE)[1:]
    return {re.match(r"# \[+(\w+)\]+", part)[1]: part.split("\n\n")[0].splitlines() for part in parts}


def uncommented(lines):
    """The section with its brackets and every key that has a value."""
    return "\n".join(line[2:] for line in lines if re.match(r"# (\[+\w+\]+$|\w+ = .)", line))


@pytest.mark.parametrize("name", offered())
def test_a_section_reads_with_all_its_defaults_uncommented(tmp_path, name):
    path = tmp_path / "job.toml"
    path.write_text(f"{TEMPLATE}\n{uncommented(offered()[name])}\n{NEEDED.get(name, '')}\n", "utf-8")
    assert getattr(read_choices(path), FIELDS[name])


def test_the_sections_are_found():
    assert {"product", "spray", "topdress", "straw", "record", "prices", "dates", "station", "option"} <= set(
        offered()
    )
