"""The workbook read back by openpyxl and worked out anew by LibreOffice, which share no code with what wrote it."""

import shutil
import subprocess
from decimal import Decimal

import openpyxl
import pytest

import lawnmap
from lawnmap.sheets.workbook import write_workbook

YARD = """{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"role": "lawn", "name": "=front", "density": "bare", "slope_percent": 20},
 "geometry": {"type": "Polygon", "coordinates": [[[-93.001, 45], [-93.0004, 45], [-93.0004, 45.0003], [-93.001, 45.0003], [-93.001, 45]]]}},
{"type": "Feature", "properties": {"role": "lawn", "name": "+back", "density": "thin"},
 "geometry": {"type": "Polygon", "coordinates": [[[-93.001, 45.0003], [-93.0004, 45.0003], [-93.0004, 45.0005], [-93.001, 45.0005], [-93.001, 45.0003]]]}}]}"""
JOB = """
name = "@job"
leave_out = ["fertilizer"]
[yard]
file = "yard.geojson"
[rig]
swath = "10 ft"
passes = "one direction"
[seed]
species = "tall fescue"
packs = ["50 lb", "20 lb"]
[[product]]
name = "=1+1"
rate = "10 lb / 1000 sq ft"
[[product]]
name = "gypsum"
rate = "5 lb / 1000 sq ft"
packs = ["40 lb"]
[prices]
%s
labour = "40.00 / h"
crew = 2
machine = "7.50 / h"
set_up = "20 min"
by_hand = "3.00 / 100 sq ft"
travel = "0.85 / mi"
travel_distance = "17.3 mi"
minimum_charge = "5000"
tax = [{ name = "=tax", rate = "6.25 %%", on = ["material", "minimum"], exempt = ["gypsum"] }, { name = "levy", rate = "0.5 %%" }]
[[prices.material]]
name = "tall fescue"
packs = [{ size = "50 lb", price = "101.15" }, { size = "20 lb", price = "45.05" }]
[[prices.material]]
name = "=1+1"
price = "0.35 / lb"
[[prices.material]]
name = "gypsum"
price = "0.225 / lb"
[[prices.extra]]
name = "@dump"
kind = "disposal"
price = "19.95"
[client]
name = "Nobody"
[[option]]
name = "-no gypsum"
product = [{ name = "=1+1", rate = "10 lb / 1000 sq ft" }]
"""
RULES = ('markup = "22.5 %"\nmarked_up = ["material", "labour"]', 'margin = "17 %"\nrounding = "half even"')
SOFFICE = shutil.which("soffice") or shutil.which("libreoffice")
needs_office = pytest.mark.skipif(
    SOFFICE is None, reason="LibreOffice is not on this machine, so nothing can work the formulas out"
)


@pytest.fixture(scope="module", params=RULES, ids=["markup", "margin"])
def planned(request, tmp_path_factory):
    folder = tmp_path_factory.mktemp("job")
    (folder / "yard.geojson").write_text(YARD, "utf-8")
    (folder / "job.toml").write_text(JOB % request.param, "utf-8")
    plan = lawnmap.plan(folder)
    write_workbook(plan, folder / "w.xlsx")
    return plan, folder / "w.xlsx"


def cells_of(path, **how):
    book = openpyxl.load_workbook(path, **how)
    return {(page.title, cell.coordinate): cell for page in book for row in page.iter_rows() for cell in row}


def values_of(path):
    return {place: cell.value for place, cell in cells_of(path, data_only=True).items()}


def formulas_of(path):
    return {place: cell.value for place, cell in cells_of(path).items() if cell.data_type == "f"}


def beside(path, page, words, column):
    """Return the place of the cell in a column beside some words."""
    row = next(
        cell.row
        for (title, _), cell in cells_of(path).items()
        if title == page and isinstance(cell.value, str) and cell.value.startswith(words)
    )
    return page, f"{column}{row}"


def test_every_formula_has_its_value_beside_it(planned):
    _, path = planned
    formulas, values = formulas_of(path), values_of(path)
    assert len(formulas) > 60
    assert all(isinstance(values[place], int | float) for place in formulas)


def test_stored_totals_are_those_of_the_plan(planned):
    plan, path = planned
    values = values_of(path)
    assert values[beside(path, "Quote", "Total", "H")] == float(plan.quote.total)
    assert values[beside(path, "Option 1", "Total", "H")] == float(plan.quote.options[0].total)
    net = values[beside(path, "Areas", "Net lawn", "D")]
    assert net * 0.3048**2 == pytest.approx(plan.takeoff.net_area_m2)  # a foot is 0.3048 m


def test_words_that_look_like_formulas_stay_words(planned):
    _, path = planned
    found = {cell.value: cell.data_type for cell in cells_of(path).values()}
    for words in ("=front", "+back", "=1+1", "@dump", "=tax"):
        assert found[words] == "s"


def test_the_same_plan_gives_the_same_bytes(planned, tmp_path):
    plan, path = planned
    write_workbook(plan, tmp_path / "again.xlsx")
    assert (tmp_path / "again.xlsx").read_bytes() == path.read_bytes()


def recalculated(path, folder, changes):
    """Work a workbook out anew: openpyxl drops the stored values, LibreOffice has to find them again."""
    book = openpyxl.load_workbook(path)
    kept = {
        place
        for place, cell in cells_of(path).items()
        if cell.data_type == "s" and str(cell.value)[:1] in {*"=+-@"}
    }
    for page, place in kept:
        book[page][place].data_type = "s"
    for (page, place), value in changes.items():
        book[page][place] = value
    (folder / "in").mkdir(parents=True)
    book.save(folder / "in" / "w.xlsx")
    profile = f"-env:UserInstallation={(folder / 'profile').as_uri()}"
    words = ["--headless", "--convert-to", "xlsx:Calc MS Excel 2007 XML", "--outdir", str(folder / "out")]
    subprocess.run(
        [SOFFICE, profile, *words, str(folder / "in" / "w.xlsx")],
        check=True,
        capture_output=True,
        timeout=180,
    )
    return values_of(folder / "out" / "w.xlsx")


@needs_office
def test_a_spreadsheet_program_finds_the_same_figures(planned, tmp_path):
    _, path = planned
    values, anew = values_of(path), recalculated(path, tmp_path, {})
    wrong = {
        place: (formula, values[place], anew[place])
        for place, formula in formulas_of(path).items()
        if not isinstance(anew[place], int | float)
        or abs(values[place] - anew[place]) > 1e-6 * max(1, abs(values[place]))
    }
    assert not wrong


@needs_office
def test_a_changed_rate_or_price_moves_the_total(planned, tmp_path):
    """Twice the rate of the weighed product on both zones, and one hour dearer by 10.00: worked out by hand."""
    plan, path = planned
    values = values_of(path)
    first = beside(path, "Rates", "=1+1", "D")
    second = ("Rates", f"D{int(first[1][1:]) + 1}")
    hour = beside(path, "Quote", "Spreading tall fescue", "F")
    anew = recalculated(path, tmp_path, {first: 2 * values[first], second: 2 * values[second], hour: 50.0})
    before = {line.name: line for line in plan.quote.lines}
    weighed, spread = before["=1+1"], before["Spreading tall fescue"]
    pounds = 2 * plan.prescription.materials[1].total_kg * 1.05 / 0.45359237  # a pound is 0.45359237 kg
    cost = (Decimal(f"{pounds:.2f}") * Decimal("0.35")).quantize(Decimal("0.01"))
    costs = (
        plan.quote.cost - weighed.cost + cost - spread.cost + (spread.quantity * 50).quantize(Decimal("0.01"))
    )
    assert anew[beside(path, "Quote", "Before tax", "G")] == pytest.approx(float(costs), abs=0.011)
    # dearer by the gain as well
    before_tax = beside(path, "Quote", "Before tax", "H")
    assert anew[before_tax] >= values[before_tax]
    lifted = beside(path, "Quote", "Up to the minimum", "H")
    assert anew[lifted] <= values[lifted]
