"""What a survey file does not say of itself is said by options, alike in every command."""

import json
import math
import sys
from types import SimpleNamespace

import ezdxf
import pytest
from ezdxf import units as dxf_units

from lawnmap.cli import main
from lawnmap.cli.source import Typed
from lawnmap.errors import ChoiceError

SQ_FT = 0.3048**2
DEED = """[lawn] Lot 4
Beginning at N 1000.00, E 500.00
thence N 90-00-00 E 100.00 feet
thence N 00-00-00 E 80.00 feet
thence N 90-00-00 W 100.02 feet
thence S 00-00-00 E 80.00 feet
"""
POINTS = "1,500,1000,0,A\n2,600,1000,0,A\n3,600,1080,0,A\n4,500,1080,0,A\n"


@pytest.fixture
def run(monkeypatch, capsys):
    """Type a command line; what it prints and its exit code."""

    def typed(*words):
        monkeypatch.setattr(sys, "argv", ["lawnmap", *map(str, words)])
        with pytest.raises(SystemExit) as end:
            main()
        printed = capsys.readouterr()
        return SimpleNamespace(returncode=end.value.code or 0, stdout=printed.out, stderr=printed.err)

    return typed


@pytest.fixture
def drawing(tmp_path):
    """A round lawn and a house on layers that say nothing, and a text."""
    document = ezdxf.new("R2010", units=dxf_units.FT)
    space = document.modelspace()
    space.add_circle((0, 0), 50, dxfattribs={"layer": "L1"})
    space.add_lwpolyline([(0, 0), (20, 0), (20, 10), (0, 10)], close=True, dxfattribs={"layer": "L2"})
    space.add_text("not to scale", dxfattribs={"layer": "ANNO"})
    path = tmp_path / "lot.dxf"
    document.saveas(path)
    return path


def test_layers_are_listed_before_anything_is_known(run, drawing):
    done = run("measure", drawing, "--layers")
    assert done.returncode == 0, done.stderr
    rows = [line.split("  ") for line in done.stdout.splitlines()]
    assert [row[0] for row in rows] == ["Layer", "ANNO", "L1", "L2"]
    assert "1 CIRCLE" in done.stdout
    assert "7,854 sq ft" in done.stdout  # π 50²
    assert "? (--role)" in done.stdout
    listed = json.loads(run("measure", drawing, "--layers", "--json").stdout)["layers"]
    assert listed[1]["closed_area_m2"][0] == pytest.approx(math.pi * 2500 * SQ_FT, rel=1e-9)


def test_only_a_drawing_is_listed(run, tmp_path):
    path = tmp_path / "lot.deed"
    path.write_text(DEED, "utf-8")
    done = run("measure", path, "--layers")
    assert done.returncode == 1
    assert "only a drawing is listed by its layers" in done.stderr


ROLES = ("--role", "L1=lawn", "--role", "L2=house")
NET_M2 = (math.pi * 2500 - 200) * SQ_FT


def test_roles_are_the_same_in_every_command(run, drawing, tmp_path):
    assert json.loads(run("measure", drawing, *ROLES, "--json").stdout)["net_area_m2"] == pytest.approx(
        NET_M2, rel=1e-6
    )
    done = run("convert", drawing, *ROLES, "-o", tmp_path / "lot.gpkg")
    assert done.returncode == 0, done.stderr
    done = run("plan", drawing, *ROLES, "-o", tmp_path / "plan", "--json")
    assert json.loads(done.stdout)["takeoff"]["net_area_m2"] == pytest.approx(NET_M2, rel=1e-6)
    done = run("new", drawing, *ROLES, "--gap", "2 cm", "--accuracy", "0.05 ft")
    assert done.returncode == 0, done.stderr
    assert 'layers = { L1 = "lawn", L2 = "house" }' in (tmp_path / "job.toml").read_text("utf-8")
    measured = json.loads(run("measure", tmp_path, "--json").stdout)
    assert measured["net_area_m2"] == pytest.approx(NET_M2, rel=1e-6)
    assert measured["vertex_sigma_m"] == pytest.approx(0.05 * 0.3048)


def test_an_option_is_added_to_the_job_file_and_wins_over_it(run, drawing, tmp_path):
    assert run("new", drawing, *ROLES).returncode == 0
    measured = json.loads(run("measure", tmp_path, "--role", "L2=skip", "--json").stdout)
    assert measured["net_area_m2"] == pytest.approx(math.pi * 2500 * SQ_FT, rel=1e-6)


def test_the_statement_of_a_deed_tells_its_closure_and_what_was_done(run, tmp_path):
    path = tmp_path / "lot.deed"
    path.write_text(DEED, "utf-8")
    facts = json.loads(run("measure", path, "--statement", "--json", "--balance").stdout)["facts"]
    assert facts["Closure"].endswith("0.020 ft in 360.02 ft: 1:18,000; spread by the compass rule")
    assert facts["Measured"] == "by the calls of a deed"
    assert facts["Grid or ground"].startswith("no combined factor applied")
    facts = json.loads(run("measure", path, "--statement", "--json", "--scale-factor", "0.9999").stdout)[
        "facts"
    ]
    assert facts["Closure"].endswith("taken up by the last course")
    assert "combined factor 0.9999" in facts["Grid or ground"]


def test_the_order_of_points_is_typed(run, tmp_path):
    path = tmp_path / "lot.csv"
    path.write_text(POINTS, "utf-8")
    words = ("measure", path, "--local-units", "ft", "--role", "A=lawn", "--json")
    for order, guessed in (("--point-order", "PENZD"), False), ((), True):
        found = json.loads(run(*words, *order).stdout)["findings"]
        assert ("point-order-guessed" in {one["code"] for one in found}) is guessed


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--role", "TURF"), "gives no layer a role"),
        (("--role", "L1=lawm"), '"lawm" is not a role'),
        (("--gap", "3"), "gap"),
        (("--scale-factor", "2"), "scale_factor"),
    ],
)
def test_a_slip_is_one_sentence(run, drawing, words, said):
    done = run("measure", drawing, *words)
    assert done.returncode == 1
    assert said in done.stderr
    assert len(done.stderr.strip().splitlines()) == 1


def test_a_layer_may_have_a_sign_in_its_name():
    assert Typed(role=["A=B=lawn"]).given() == {"layers": {"A=B": "lawn"}}
    with pytest.raises(ChoiceError, match="gives no layer a role"):
        Typed(role=["=lawn"]).given()


@pytest.mark.parametrize(
    ("code", "standing"), [("misclosure", "--strict lets it pass"), ("gap-closed", "--strict refuses it")]
)
def test_a_finding_is_explained_with_an_example(run, code, standing):
    done = run("explain", code)
    assert standing in done.stdout
    assert "For example: " in done.stdout
    assert "How to mend it: " in done.stdout
    row = next(line for line in run("explain").stdout.splitlines() if line.startswith(f"{code} "))
    assert row.split()[1] == ("note" if "pass" in standing else "doubt")


def test_the_statement_is_saved_as_it_is_printed(run, tmp_path):
    path = tmp_path / "lot.deed"
    path.write_text(DEED, "utf-8")
    done = run("measure", path, "--statement", "-o", tmp_path / "page.txt")
    assert done.returncode == 0
    assert (tmp_path / "page.txt").read_text("utf-8").strip() == done.stdout.strip()
    done = run("measure", path, "--statement", "-o", tmp_path / "nowhere" / "page.txt")
    assert done.returncode == 1
    assert "cannot be written" in done.stderr
    assert run("measure", path, "-o", tmp_path / "page.txt").returncode == 1
