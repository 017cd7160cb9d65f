"""The quote read back: every price on it, sums, options, parties, identity, and what it says where something lacks."""

import csv
from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pypdfium2
import pytest

from lawnmap.errors import ChoiceError
from lawnmap.quote import Client, Contractor, Line, Money, Quote, TaxLine
from lawnmap.sheets import brief, write
from lawnmap.sheets.identity import identity
from lawnmap.sheets.page import write_page
from lawnmap.sheets.pdf_quote import NO_CLIENT, NO_CONTRACTOR, write_quote
from lawnmap.sheets.printing import print_quote

CLIENT = Client(name="Żofia & Sons <invented>", address=("1 Mill Lane", "Anytown"), reference="PO 77")
CONTRACTOR = Contractor(name="Green Works (invented)", licence="123", email="a@b.example")


def line(name, kind, cost, price, unit="h"):
    return Line(
        kind,
        name,
        f"basis of {name}",
        Decimal("2.00"),
        unit,
        Decimal(cost) / 2,
        Decimal(cost),
        Decimal(price),
    )


LINES = (
    line("Tall fescue, 50 lb", "material", "200.00", "250.00", "pack"),
    line("Spreading tall fescue", "labour", "96.00", "96.00"),
    line("Work by hand", "labour", "12.40", "12.40", "100 sq ft"),
)
# 7 % of 250.00 is 17.50; 250.00 + 96.00 + 12.40 + 17.50 = 375.90
TAX = TaxLine("Sales tax", Decimal("0.07"), ("material",), Decimal("250.00"), Decimal("17.50"))
OPTION = Quote("Without work by hand", Money(), LINES[:2], (TAX,))
QUOTE = Quote(
    "Full", Money(), LINES, (TAX,), client=CLIENT, contractor=CONTRACTOR, number="26-1", dated=date(2026, 2, 27),
    valid_days=30, terms=("Pay in 14 days.",), not_included=("Watering.",), options=(OPTION,),
)  # fmt: skip


@pytest.fixture
def priced(plan):
    return replace(plan, quote=QUOTE)


@pytest.fixture
def printed(priced, tmp_path, read_pdf):
    def text(plan=priced, **more):
        write_quote(plan, tmp_path / "q.pdf", **more)
        return " ".join(" ".join(read_pdf(tmp_path / "q.pdf")).split())

    return text


def test_every_line_and_sum_is_on_it(printed):
    text = printed()
    for one in LINES:
        assert one.name in text
        assert one.basis in text
        assert f"{one.price:,}" in text
    assert "2.00 packs 250.00" in text.replace("2 packs", "2.00 packs")
    assert "2.00 × 100 sq ft 12.40" in text
    assert "Before tax 358.40" in text
    assert "Sales tax, 7 % of 250.00 17.50" in text
    assert "Total USD 375.90" in text


def test_costs_and_gain_are_not_on_it(printed):
    assert "200.00" not in printed()


def test_parties_terms_and_days(printed):
    text = printed()
    # the bundled type has no Ż: the sheet says so and shows the rest
    assert "◊ofia & Sons <invented> 1 Mill Lane Anytown" in text
    assert "latin capital letter z with dot above" in text
    assert "Green Works (invented)" in text
    assert "Licence 123" in text
    assert "Quote 26-1".upper() in text
    assert "2026-02-27, holds until 2026-03-29" in text  # 30 days on
    assert "Terms – Pay in 14 days." in text
    assert "Not included – Watering." in text
    assert "no land survey" in text


def test_options_stand_beside_each_other(printed):
    text = printed()
    assert "Full Without work by hand" in text
    assert "Work by hand 12.40 –" in text
    # 250.00 + 96.00 + 17.50
    assert "Total USD 375.90 363.50" in text
    assert "[__] Full: USD 375.90 [__] Without work by hand: USD 363.50" in text


def test_many_options_go_on_in_a_further_table(priced, printed):
    options = tuple(replace(OPTION, name=f"Option {n}") for n in range(1, 7))
    text = printed(replace(priced, quote=replace(QUOTE, options=options)))
    assert "Options side by side" in text
    assert "More options" in text
    assert all(f"Option {n}" in text for n in range(1, 7))


def test_every_page_bears_the_mark_of_the_plan(priced, tmp_path, read_pdf):
    write_quote(priced, tmp_path / "q.pdf")
    pages = read_pdf(tmp_path / "q.pdf")
    assert all(identity(priced) in page for page in pages)
    other = replace(priced, quote=replace(QUOTE, lines=LINES[:1]))
    assert identity(other) != identity(priced)


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_the_same_quote_has_the_same_bytes(priced, paper, tmp_path):
    for name in ("a.pdf", "b.pdf"):
        write_quote(priced, tmp_path / name, paper=paper)
    assert (tmp_path / "a.pdf").read_bytes() == (tmp_path / "b.pdf").read_bytes()


def test_without_parties_and_day_it_says_so(priced, printed):
    text = printed(replace(priced, quote=replace(QUOTE, client=None, contractor=None, dated=None)))
    assert NO_CLIENT in text
    assert NO_CONTRACTOR in text
    assert "Holds for 30 days from its date" in text


def test_the_map_is_on_it(priced, tmp_path):
    write_quote(priced, tmp_path / "q.pdf")
    document = pypdfium2.PdfDocument(tmp_path / "q.pdf")
    pixels = np.asarray(document[0].render(scale=1.5).to_pil().convert("RGB")).astype(int)
    document.close()
    thin = (np.abs(pixels - (0xC2, 0xE6, 0x99)).max(axis=2) <= 1).sum()
    assert thin > 1000


def test_a_quote_for_nobody_is_not_printed(priced, tmp_path):
    nobody = replace(priced, quote=replace(QUOTE, client=None))
    with pytest.raises(
        ChoiceError, match=r"the quote names no client; add \[client\] with a name to the job file"
    ):
        print_quote(nobody, tmp_path / "q.pdf")
    assert not list(tmp_path.iterdir())


def test_a_plan_without_prices_is_not_printed(plan, tmp_path):
    with pytest.raises(
        ChoiceError, match=r"there are no prices to make a quote of; add \[prices\] to the job file"
    ):
        print_quote(plan, tmp_path / "q.pdf")


def test_the_day_of_the_job_goes_before_the_day_of_printing(priced, plan, tmp_path, read_pdf):
    print_quote(priced, tmp_path / "q.pdf", dated=date(2030, 1, 1))
    assert "2026-02-27" in read_pdf(tmp_path / "q.pdf")[0]
    undated = replace(plan, quote=replace(QUOTE, dated=None))
    print_quote(undated, tmp_path / "q.pdf", dated=date(2030, 1, 1))
    text = read_pdf(tmp_path / "q.pdf")[0]
    assert "2030-01-01, holds until 2030-01-31" in text
    assert identity(undated) in text  # the mark is that of the plan in its folder


def test_a_priced_plan_gets_its_papers_and_others_do_not(priced, plan, tmp_path):
    papers = {"quote.pdf", "field_sheet.pdf", "workbook.xlsx", "area_report.pdf", "area_report.csv"}
    write(priced, tmp_path / "priced")
    assert papers <= {path.name for path in (tmp_path / "priced").iterdir()}
    page = (tmp_path / "priced" / "map.html").read_text("utf-8")
    assert all(f'href="{name}"' in page for name in papers)
    write(plan, tmp_path / "plain")
    assert not papers & {path.name for path in (tmp_path / "plain").iterdir()}
    with (tmp_path / "priced" / "area_report.csv").open(newline="", encoding="utf-8") as file:
        assert next(csv.reader(file))[:2] == ["role", "name"]


def test_the_page_shows_what_is_offered_and_not_what_it_costs(priced):
    page = write_page(priced)
    for words in ("What is offered: Full", "Options side by side", "Tall fescue, 50 lb", "375.90", "363.50"):
        assert words in page
    assert "200.00" not in page
    assert "What is offered" not in write_page(replace(priced, quote=None))


def test_a_line_says_what_each_offer_comes_to(priced):
    assert "Quote: Full USD 375.90, Without work by hand USD 363.50" in brief(priced).splitlines()
    assert "Quote:" not in brief(replace(priced, quote=None))
