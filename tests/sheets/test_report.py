"""The area report read back: figures of the take-off, what it is not, the same bytes, text that stays text."""

import csv
import io
from dataclasses import replace
from datetime import date

import pytest

from lawnmap.measure import DISCLAIMER
from lawnmap.sheets.pdf_report import report_csv, write_report
from lawnmap.sheets.printing import print_report
from lawnmap.units import ACRE_M2, FOOT_M

DAY = date(2026, 5, 4)


def words(path, read_pdf):
    return " ".join(" ".join(read_pdf(path)).split())


def test_report_says_what_was_measured_and_what_it_is_not(plan, tmp_path, read_pdf):
    write_report(plan, tmp_path / "r.pdf", dated=DAY)
    text = words(tmp_path / "r.pdf", read_pdf)
    net_sq_ft = plan.takeoff.net_area_m2 / float(FOOT_M**2)
    net_acre = plan.takeoff.net_area_m2 / float(ACRE_M2)
    # an error of 1.9 m² is 20.45 sq ft: the tens are what it supports
    assert f"Net lawn {round(net_sq_ft, -1):,.0f} ± 20 sq ft ({net_acre:.4f} acre)" in text
    assert " ".join(DISCLAIMER.split()) in text
    assert "2026-05-04" in text
    for zone in plan.takeoff.zones:
        assert f"of it {zone.name} {zone.density}" in text
    for obstacle in ("House", "Drive", "Rose bed", "Oak"):
        assert f"less {obstacle}" in text
    assert "one standard error" in text
    assert "mill_lane.gpkg" in text


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_the_same_plan_gives_the_same_bytes(plan, paper, tmp_path):
    for name in ("a.pdf", "b.pdf"):
        write_report(plan, tmp_path / name, paper=paper, dated=DAY)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_table_adds_up(plan):
    rows = list(csv.DictReader(io.StringIO(report_csv(plan))))
    by_role = {}
    for row in rows:
        by_role.setdefault(row["role"], []).append(float(row["area_m2"]))
    (gross,), (net,) = by_role["gross"], by_role["net"]
    assert sum(by_role["zone"]) == pytest.approx(net, abs=0.01)
    assert sum(by_role["density"]) == pytest.approx(net, abs=0.01)
    # what the obstacles take from the outlines is the difference, overlaps of obstacles apart
    assert gross - net <= sum(by_role["cut-out"]) + 0.01
    assert gross == pytest.approx(plan.takeoff.gross_area_m2, abs=1e-4)


def test_names_that_look_like_formulas_stay_text(build_plan, tmp_path, read_pdf):
    plan = build_plan(rename=lambda name: f"=HYPERLINK({name})")
    names = [row["name"] for row in csv.DictReader(io.StringIO(report_csv(plan))) if row["role"] == "zone"]
    assert names
    assert all(name.startswith("'=") for name in names)
    write_report(plan, tmp_path / "r.pdf")
    assert "=HYPERLINK(Front lawn)" in words(tmp_path / "r.pdf", read_pdf)


def test_markup_in_a_name_is_printed_as_it_is(build_plan, tmp_path, read_pdf):
    plan = build_plan(rename=lambda name: f'<font color="red">{name}</font> & <a href="x">')
    write_report(plan, tmp_path / "r.pdf")
    assert '<font color="red">Front lawn</font> & <a href="x">' in words(tmp_path / "r.pdf", read_pdf)


def test_folders_of_the_maker_are_not_told(plan, tmp_path, read_pdf):
    origin = replace(plan.yard.origin, path="/somebody/clients/mill_lane.gpkg")
    takeoff = replace(plan.takeoff, yard=replace(plan.yard, origin=origin))
    secret = replace(plan, takeoff=takeoff)
    write_report(secret, tmp_path / "r.pdf")
    assert "somebody" not in words(tmp_path / "r.pdf", read_pdf)
    assert "somebody" not in report_csv(secret)


def test_paper_follows_the_units(plan, local_plan, tmp_path, page_size):
    assert page_size(print_report(plan, tmp_path / "us.pdf")[0]) == pytest.approx((612, 792), abs=0.5)
    assert page_size(print_report(local_plan, tmp_path / "metric.pdf")[0]) == pytest.approx(
        (595, 842), abs=0.5
    )
    assert (tmp_path / "us.csv").read_bytes().startswith(b"role,name,kind,area_m2")
