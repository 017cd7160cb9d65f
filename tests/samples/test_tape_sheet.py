"""The homeowner's tape sheet against the sums in its ORIGIN.md, and against the tracing of the same yard."""

import pytest

import lawnmap
from lawnmap.errors import FindingsError
from lawnmap.job import refuse_findings

SQ_FT = 0.3048**2


@pytest.fixture(scope="module")
def sheet(samples):
    return samples / "homeowner" / "tape" / "tape_sheet.csv"


def test_every_zone_has_its_worked_out_area(sheet, expected_m2):
    found = {zone.name: zone.net_area_m2 for zone in lawnmap.take_off(lawnmap.read(sheet)).zones}
    assert found == pytest.approx(expected_m2["homeowner/tape"], rel=1e-6)


def test_it_agrees_with_the_tracing_but_for_the_pool(sheet, samples):
    """The rule of thumb for kidneys takes 302.4 sq ft for the pool, whose arcs hold 275.3."""
    taped = lawnmap.take_off(lawnmap.read(sheet))
    traced = lawnmap.take_off(lawnmap.read(samples / "homeowner" / "yard.geojson"))
    pool_m2 = (0.45 * (12 + 12) * 28 - 275.338) * SQ_FT
    assert taped.net_area_m2 == pytest.approx(traced.net_area_m2 - pool_m2, abs=0.5 * SQ_FT)
    assert taped.gross_area_m2 == pytest.approx(traced.gross_area_m2, abs=0.2 * SQ_FT)
    assert {cut.obstacle for cut in taped.cutouts} == {cut.obstacle for cut in traced.cutouts}


def test_it_has_no_doubts(sheet):
    findings = lawnmap.take_off(lawnmap.read(sheet)).findings
    assert {found.code for found in findings} == {"kidney-as-ellipse", "offset-area", "spot-within"}
    refuse_findings(findings, strict=True)


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ("tied 80' 6\" 72' 3\"", "tied 100 99", "weak-tie"),
        ("lawn thin, Shade", "lawn, Shade", "density-default"),
        ("accuracy, 0.2", "# ", "vertex-accuracy-assumed"),
        ("at -14 12", "at -14 10", "zones-overlap"),
    ],
)
def test_a_worse_sheet_is_doubted(sheet, tmp_path, old, new, code):
    text = sheet.read_text("utf-8")
    assert old in text
    path = tmp_path / "sheet.csv"
    path.write_text(text.replace(old, new), "utf-8")
    findings = lawnmap.take_off(lawnmap.read(path)).findings
    assert code in {found.code for found in findings}
    with pytest.raises(FindingsError, match="leave out --strict"):
        refuse_findings(findings, strict=True)
