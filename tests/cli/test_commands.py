"""The commands as a user types them, each in a process of its own."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
COMMANDS = (
    "plan",
    "measure",
    "convert",
    "new",
    "rates",
    "explain",
    "calibrate",
    "cover",
    "report",
    "quote",
    "sheet",
)
LOT = {
    "type": "FeatureCollection",
    "features": [
        {
            "type": "Feature",
            "properties": {"role": "lawn", "name": "front", "density": "thin"},
            "geometry": {
                "type": "Polygon",
                "coordinates": [
                    [[-93.001, 45], [-93, 45], [-93, 45.0005], [-93.001, 45.0005], [-93.001, 45]]
                ],
            },
        }
    ],
}


def run(*words, cwd=None):
    return subprocess.run(
        [sys.executable, "-m", "lawnmap", *map(str, words)],
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
        cwd=cwd,
        env={
            **os.environ,
            "PYTHONPATH": str(ROOT),
            "PYTHONIOENCODING": "utf-8",
            "COLUMNS": "200",
            "NO_COLOR": "1",
        },
    )


@pytest.fixture
def lot(tmp_path):
    path = tmp_path / "lot.geojson"
    path.write_text(json.dumps(LOT), "utf-8")
    return path


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_has_help_with_an_example(command):
    done = run(command, "--help")
    assert done.returncode == 0
    assert f"lawnmap {command}" in done.stdout.replace("Usage: python -m lawnmap", "")


def test_help_does_not_load_what_is_slow():
    code = (
        "import sys; sys.argv = ['lawnmap', '--help']\n"
        "from lawnmap.cli import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print({'numpy', 'shapely', 'pyproj', 'pandas', 'geopandas', 'folium', 'pydantic'} & set(sys.modules))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert done.stdout.splitlines()[-1] == "set()"


def test_plan_on_defaults_says_which_and_where(lot):
    done = run("plan", lot)
    assert done.returncode == 0, done.stderr
    assert "choices are at their defaults" in done.stderr
    assert "lawnmap new" in done.stderr
    page = Path(done.stdout.splitlines()[-1].removeprefix("Map: "))
    assert page == lot.with_name("lot_plan") / "map.html"
    assert {path.name for path in page.parent.iterdir()} >= {
        "map.html",
        "areas.csv",
        "plan.json",
        "yard.gpkg",
    }


def test_json_is_the_plan_and_words_go_elsewhere(lot, tmp_path):
    done = run("plan", lot, "-o", tmp_path / "out", "--json")
    values = json.loads(done.stdout)
    assert values == json.loads((tmp_path / "out" / "plan.json").read_text("utf-8"))


def test_measure_json_is_the_take_off(lot):
    values = json.loads(run("measure", lot, "--json").stdout)
    assert values["net_area_m2"] == pytest.approx(4380, rel=0.01)  # 0.001° × 0.0005° at 45° N


def test_measure_prints_a_statement_to_file(lot):
    done = run("measure", lot, "--statement")
    assert done.returncode == 0, done.stderr
    assert "not a land survey" in " ".join(done.stdout.lower().split())
    assert json.loads(run("measure", lot, "--statement", "--json").stdout)


def test_new_writes_a_job_that_plans(lot):
    assert run("new", lot, "--units", "metric").returncode == 0
    assert 'units = "metric"' in (lot.parent / "job.toml").read_text("utf-8").splitlines()
    again = run("new", lot)
    assert again.returncode == 1
    assert "is there already; use --force to replace it." in again.stderr
    assert run("plan", lot.parent).returncode == 0


def test_convert_and_back_keeps_the_area(lot, tmp_path):
    assert run("convert", lot, "-o", tmp_path / "lot.gpkg").returncode == 0
    first = json.loads(run("measure", lot, "--json").stdout)["net_area_m2"]
    second = json.loads(run("measure", tmp_path / "lot.gpkg", "--json").stdout)["net_area_m2"]
    assert second == pytest.approx(first, rel=1e-9)


def test_plan_writes_the_walk_as_lines_when_asked(lot):
    done = run("plan", lot, "--also", "dxf")
    assert done.returncode == 0, done.stderr
    written = {path.name for path in (lot.with_name("lot_plan")).iterdir()}
    assert {"walk.csv", "walk.dxf"} <= written
    wrong = run("plan", lot, "--also", "dfx")
    assert wrong.returncode == 1
    assert 'there is no sheet "dfx"' in wrong.stderr


def test_rates_of_a_grass_go_before_rows_that_only_name_it():
    items = [row["item"] for row in json.loads(run("rates", "tall fescue", "new lawn", "--json").stdout)]
    named = ["tall fescue" in item for item in items]
    assert named == sorted(named, reverse=True)
    assert not all(named)


def test_rates_shows_rows_with_sources():
    done = run("rates", "tall fescue", "--json")
    rows = json.loads(done.stdout)
    assert rows
    assert all(row["title"] and row["grade"] for row in rows)


@pytest.mark.parametrize(
    "words", [("plan", "nowhere.geojson"), ("measure", "nowhere.geojson"), ("rates", "tall fescoo")]
)
def test_a_fault_is_one_sentence_and_exit_code_one(words, tmp_path):
    done = run(*words, cwd=tmp_path)
    assert done.returncode == 1
    assert done.stdout == ""
    assert len(done.stderr.strip().splitlines()) == 1
    assert "Traceback" not in done.stderr


def test_wrong_usage_is_exit_code_two():
    assert run("plan").returncode == 2


def test_report_prints_the_areas(lot, tmp_path):
    done = run("report", lot, "-o", tmp_path / "areas.pdf", "--paper", "A4", "--date", "2026-05-04")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "areas.pdf").read_bytes().startswith(b"%PDF-")
    assert "net,Net lawn" in (tmp_path / "areas.csv").read_text("utf-8")
    assert f"Area report: {tmp_path / 'areas.pdf'}" in done.stdout


def test_report_refuses_paper_that_there_is_not(lot, tmp_path):
    done = run("report", lot, "-o", tmp_path / "areas.pdf", "--paper", "lettr")
    assert done.returncode == 1
    assert 'there is no paper "lettr"; did you mean "letter"?' in done.stderr
    assert not (tmp_path / "areas.pdf").exists()


def test_quote_without_prices_says_what_to_add(lot, tmp_path):
    done = run("quote", lot, "-o", tmp_path / "q.pdf")
    assert done.returncode == 1
    assert "there are no prices to make a quote of; add [prices] to the job file" in done.stderr
    assert not (tmp_path / "q.pdf").exists()


def test_quote_prints_offers_and_json(lot, tmp_path):
    (tmp_path / "job.toml").write_text(
        'leave_out = ["seed", "fertilizer", "lanes"]\n[yard]\nfile = "lot.geojson"\n[client]\nname = "Nobody"\n'
        '[[prices.extra]]\nname = "Visit"\nprice = "80"\n',
        "utf-8",
    )
    done = run("quote", tmp_path)
    assert done.returncode == 0, done.stderr
    assert "As planned: USD 80.00" in done.stdout
    assert (tmp_path / "quote.pdf").read_bytes().startswith(b"%PDF-")
    told = json.loads(run("quote", tmp_path, "--json").stdout)
    assert (told["total"], told["currency"]) == ("80.00", "USD")


def test_sheet_prints_the_field_sheet(lot, tmp_path):
    done = run("sheet", lot, "-o", tmp_path / "field.pdf", "--paper", "A4")
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "field.pdf").read_bytes().startswith(b"%PDF-")
    assert f"Field sheet: {tmp_path / 'field.pdf'}" in done.stdout
