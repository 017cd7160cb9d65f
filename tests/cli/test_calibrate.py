"""``lawnmap calibrate`` as a user types it: figures of published examples, and a sentence for every wrong input."""

import json
import re
import sys
import xml.etree.ElementTree as ET

import pytest

from lawnmap.cli import main

RUNS = "setting,used_lb,area_sq_ft\n4,1.0,500\n4,1.04,500\n6,2.1,500\n6,2.0,500\n8,3.1,500\n"
FLAT = "# weights in grams\noffset_ft,run 1,run 2,run 3 back\n"
JOB = """
leave_out = ["seed", "fertilizer"]
[yard]
file = "lot.geojson"
local_units = "ft"
[[product]]
name = "compost pellets"
rate = "6 lb / 1000 sq ft"
on = ["thin"]
"""


@pytest.fixture
def calibrate(monkeypatch, capsys):
    def run(*words):
        monkeypatch.setattr(sys, "argv", ["lawnmap", "calibrate", *map(str, words)])
        with pytest.raises(SystemExit) as end:
            main()
        told = capsys.readouterr()
        # the console folds nothing, but a terminal of its own may
        return end.value.code or 0, told.out, " ".join(told.err.split())

    return run


@pytest.fixture
def runs(tmp_path):
    path = tmp_path / "runs.csv"
    path.write_text(RUNS, "utf-8")
    return path


def test_trays_of_the_published_example(calibrate):
    """Ohio State University Extension, Bulletin 817, b817_13: 4 in the middle, 2 at 6 ft, swath 12 ft."""
    weights = " ".join(str(round(4 - abs(place) / 3, 6)) for place in range(-11, 12))
    code, out, err = calibrate("trays", weights, "--wander", "0 ft")
    assert code == 0
    assert "half the rate: 12 ft" in out
    assert "CV 0%, from 100% to 100%" in out
    assert "few-runs" in err


def test_json_has_the_figures_and_the_pattern(calibrate):
    """A triangle laid 1.5 half bases apart varies by 25 % in closed form."""
    code, out, _ = calibrate("trays", "0,1,2,3,4,3,2,1,0", "--spacing", "1 m", "--lanes", "6 m", "--json")
    values = json.loads(out)
    assert code == 0
    assert values["laid"]["cv"] == pytest.approx(0.25, abs=1e-6)
    assert [mode["mode"] for mode in values["modes"]] == ["one direction", "two directions", "half spacing"]
    assert values["modes"][1]["cv"] == pytest.approx(0.25 / 2**0.5, abs=1e-6)
    assert values["effective_swath_m"] == pytest.approx(4)
    assert values["findings"][0]["code"] == "few-runs"


def test_a_file_of_trays_with_its_rate_and_its_plot(calibrate, tmp_path):
    """10 g on each of the trays of 0.1 m², 0.5 m apart, by one pass: 10 × 5 × 0.5 / 0.1 / 2 = 125 g/m²."""
    catch, plot = tmp_path / "catch.csv", tmp_path / "plot.svg"
    rows = "".join(f"{offset},{grams},{grams},{grams}\n" for offset, grams in zip(
        (-1.5, -1, -0.5, 0, 0.5, 1, 1.5), (0, 10, 10, 10, 10, 10, 0), strict=True))  # fmt: skip
    catch.write_text(FLAT.replace("_ft", "_m") + rows, "utf-8")
    words = ("--tray-area", "0.1 m2", "--lanes", "2 m", "--units", "metric", "-o", plot)
    code, out, err = calibrate("trays", catch, *words)
    assert code == 0, err
    assert "Rate by the trays: 125 g / m²" in out
    assert ET.parse(plot).getroot().tag.endswith("svg")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["0 0 0 0 0"], "all trays of run 1 are empty; open the gate and run it again"),
        (["5"], "1 tray cannot show a throw; set out a row of at least seven"),
        (["0 2 -1 2 0"], "tray 3 of run 1 weighs -1, less than nothing; take the empty tray off"),
        (
            ["0 2 5 2 0; 0 2 5"],
            "run 2: there are 5 trays in the first run and 3 in this one; give one weight",
        ),
        (["4 5 6 5 4"], "so the throw is wider than the row; set out more trays on that side"),
        (["0 2 5.5.5 2 0"], 'run 1: "5.5.5" is not a number; correct it'),
        (["0 2 5 2 0", "--spacing", "12"], '--spacing: "12" has no unit'),
        (["0 2 5 2 0", "--lanes", "0 ft"], "lanes 0 m apart are not possible; give a spacing above zero"),
        (["0 2 5 2 0", "--limit", "0 %"], "a limit of 0% cannot be kept; give more than 0 %"),
        (["nothing.csv"], "nothing.csv: the catch test cannot be read; check the name of the file"),
        (["0 2 5 2 0", "-o", "plot.doc"], "the plot is an SVG file; give a name that ends in .svg"),
    ],
)
def test_wrong_trays_are_told_in_one_sentence(calibrate, words, says, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, out, err = calibrate("trays", *words)
    assert code == 1
    assert not out
    assert says in err
    assert not list(tmp_path.iterdir())


def test_trays_unevenly_spaced(calibrate, tmp_path):
    catch = tmp_path / "catch.csv"
    catch.write_text("offset_ft,one\n-2,0\n-1,3\n0,5\n1.5,3\n2.5,0\n", "utf-8")
    code, _, err = calibrate("trays", catch)
    assert code == 1
    assert (
        "unevenly spaced, from 0.305 to 0.457 m (1 ft to 1.5 ft) apart; space them evenly, or put in the missing trays"
        in err
    )


def test_settings_from_a_table(calibrate, runs):
    """Straight between the means of the runs: 2.04 at 4 and 4.1 at 6 lb / 1000 sq ft; 3.07 is half way."""
    code, out, err = calibrate("settings", runs, "--rate", "3.07 lb / 1000 sq ft")
    assert code == 0, err
    assert "setting 5.00 ± 0.0" in out
    assert "4: 2.04 lb / 1000 sq ft from 2 runs" in out
    assert "measured" in out


def test_settings_for_the_zones_of_a_job(calibrate, runs, tmp_path):
    (tmp_path / "job.toml").write_text(JOB, "utf-8")
    squares = {"front": (0, "thin"), "back": (100, "bare")}
    features = [
        {
            "type": "Feature",
            "properties": {"role": "lawn", "name": name, "density": density},
            "geometry": {
                "type": "Polygon",
                "coordinates": [[[e, 0], [e + 50, 0], [e + 50, 50], [e, 50], [e, 0]]],
            },
        }
        for name, (e, density) in squares.items()
    ]
    (tmp_path / "lot.geojson").write_text(
        json.dumps({"type": "FeatureCollection", "features": features}), "utf-8"
    )
    code, out, err = calibrate("settings", runs, "--job", tmp_path, "--rate", "10 lb / 1000 sq ft")
    assert code == 0, err
    # two passes at half the rate each: 3 lb / 1000 sq ft lies (3 - 2.04) / (4.1 - 2.04) of the way from 4 to 6
    assert re.search(r"front: 3 lb / 1000 sq ft in each of 2 passes: setting 4\.93 ± 0\.0\d\n", out)
    assert "back" not in out  # gets none of it
    assert "10 lb / 1000 sq ft lies outside the rates tried, 2.04 lb / 1000 sq ft to 6.2 lb" in out
    assert "make a test run higher than setting 8" in out
    assert "setting-untested" in err


def test_settings_from_the_runs_of_a_job(calibrate, tmp_path):
    (tmp_path / "job.toml").write_text(JOB, "utf-8")
    code, _, err = calibrate("settings", tmp_path)
    assert code == 1
    assert "[spreader], runs: there are no test runs; add them, or name a CSV file." in err
    runs = "[spreader]\nruns = [{ setting = 4, used = '1 lb', area = '500 sq ft' }, "
    runs += "{ setting = 6, used = '2 lb', area = '500 sq ft' }]\n"
    (tmp_path / "job.toml").write_text(f"{JOB}\n{runs}", "utf-8")
    code, out, err = calibrate("used", "3 lb", "--planned", "2 lb", "--area", "1000 sq ft", "--setting", "5",
                               "--runs", tmp_path / "job.toml")  # fmt: skip
    assert code == 0, err
    assert "set the gate to 4.0 for the rest" in out  # straight between 2 lb at 4 and 4 lb at 6


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (RUNS.replace("8,3.1", "8,1.4"), "setting 8 laid less (2.8 lb / 1000 sq ft) than setting 6"),
        (RUNS.replace("3.1,500", "3.1,0"), "row 6: area is 0; it must be more than 0; weigh the hopper"),
        (RUNS.replace("3.1,500", "-3.1,500"), "row 6: used is -3.1; it must be more than 0"),
        (RUNS.replace("8,3.1", "eight,3.1"), 'row 6: "eight" is not a number; correct it'),
        ("\n".join(RUNS.splitlines()[:3]), "the runs are at 1 setting; make a test run at a second setting"),
        (RUNS.replace("used_lb", "used"), 'row 2: "1.0" has no unit'),
        (RUNS.replace("area_sq_ft", "ground"), 'there is no column "area"; give three columns'),
        (RUNS.replace("4,1.0,500", "4,1.0"), 'row 2: there is nothing under "area"; fill the row'),
        ("setting,used_lb,area_sq_ft\n", "there are no runs under the heading; add a row for each run"),
        ("", 'there is no column "setting"'),
    ],
)
def test_wrong_runs_are_told_in_one_sentence(calibrate, runs, text, says):
    runs.write_text(text, "utf-8")
    code, out, err = calibrate("settings", runs)
    assert code == 1
    assert not out
    assert f"runs.csv{',' if says.startswith('row') else ':'} {says}" in err


def test_values_may_carry_their_own_unit(calibrate, runs):
    runs.write_text("setting,used,area\n4,1 lb,500 sq ft\n6,48 oz,1000 sq ft\n8,1.8 kg,60 m2\n", "utf-8")
    code, out, _ = calibrate("settings", runs, "--json")
    assert code == 0
    assert json.loads(out)["curve"]["rate_kg_per_m2"][2] == pytest.approx(0.03)


def test_used_eleven_where_fourteen_was_planned(calibrate):
    """11 / 14 = 79 %; in proportion 5 × 14 / 11 = 6.4; the rest needs 14 / 3000 × 4000 = 18.7 lb."""
    words = ["11 lb", "--planned", "14 lb", "--area", "3000 sq ft", "--setting", "5", "--rest", "4000 sq ft"]
    code, out, err = calibrate("used", *words)
    assert code == 0
    assert "79% of the planned rate was laid" in out
    assert "set the gate to 6.4 for the rest, which needs 18.7 lb" in out
    assert "setting-from-one-run" in err
    assert "21% under the rate that was wanted" in err


def test_used_with_a_curve_and_within_the_band(calibrate, runs):
    """UMass Extension, Rotary Spreader Calibration Procedures: 4.75 to 5.25 passes where 5 is wanted."""
    words = [
        "4.8 lb",
        "--planned",
        "5 lb",
        "--area",
        "1000 sq ft",
        "--setting",
        "7",
        "--runs",
        runs,
        "--json",
    ]
    code, out, _ = calibrate("used", *words)
    values = json.loads(out)
    assert code == 0
    assert values["check"]["passes"]
    assert values["check"]["low_kg_per_m2"] / values["check"]["high_kg_per_m2"] == pytest.approx(4.75 / 5.25)
    assert 7 < values["setting"] < 8


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"--area": "0 sq ft"}, "an area of 0 m² has no rate; give course length times swath"),
        ({"--planned": "0 lb"}, "the rate that is wanted is nothing; give the rate of the label or the plan"),
        ({"--rest": "-1 sq ft"}, "is not possible; give the area still to do"),
        ({"--planned": "14 ft"}, '--planned: "14 ft" is a quantity of length, not of weight'),
    ],
)
def test_wrong_use_is_told_in_one_sentence(calibrate, change, says):
    options = {"--planned": "14 lb", "--area": "3000 sq ft", "--setting": "5"} | change
    code, out, err = calibrate("used", "11 lb", *[word for pair in options.items() for word in pair])
    assert code == 1
    assert not out
    assert says in err


def test_ounces_are_gallons_per_acre(calibrate):
    """LSU AgCenter, Ounces Equal Gallons: 40 in rows take 102 ft, 14 ounces are 14 gallons per acre."""
    code, out, _ = calibrate("sprayer", "--width", "40 in", "--caught", "14 fl oz")
    assert code == 0
    assert "102 ft" in out
    assert "(14 gal / acre)" in out
    assert "The label is the law" in out


def test_nozzle_formula(calibrate):
    """Albany County (Wyoming) Weed and Pest, Calibrating Your Sprayer: 3.75 gpm, 5 mph, 222 in make 20 GPA."""
    words = ["--width", "222 in", "--flow", "3.75 gpm", "--speed", "5 mph", "--json"]
    volume_m = json.loads(calibrate("sprayer", *words)[1])["volume_m"]
    assert volume_m * 4046.8564224 / 0.003785411784 == pytest.approx(20, abs=0.1)


def test_a_boom_with_a_worn_nozzle(calibrate, tmp_path):
    caught = "14 fl oz, 14 fl oz, 18 fl oz, 14 fl oz"
    plot = tmp_path / "boom.svg"
    words = ["--width", "20 in", "--caught", caught, "--times", "30 s, 31 s, 32 s", "-o", plot]
    code, out, err = calibrate("sprayer", *words)
    assert code == 0
    assert "nozzle 3 of 4 gives a tenth more or less than the mean [nozzle-worn]" in err
    assert "Throw (boom of 4)" in out
    assert "from 3 runs" in out
    assert plot.is_file()


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["--width", "0 in"], "a nozzle spacing of 0 is not possible; give a value above zero"),
        (["--width", "20 in", "--volume", "1 gal / 1000 sq ft"], "depends on the speed; give the speed"),
        (["--width", "20 in", "--caught", "1 fl oz, 1 fl oz", "--nozzles", "3"], "2 catches from 3 nozzles"),
        (
            ["--width", "20 in", "--caught", "1 fl oz", "--catch-time", "0 s"],
            "a catch of 0 s is not possible",
        ),
        (["--width", "20 in", "--times", "0 s"], "a time of 0 is not possible"),
        (["--width", "20 in", "-o", "plot.svg"], "one nozzle has no overlap to draw; give --nozzles"),
    ],
)
def test_a_wrong_sprayer_test_is_told_in_one_sentence(calibrate, words, says):
    code, out, err = calibrate("sprayer", *words)
    assert code == 1
    assert not out
    assert says in err
