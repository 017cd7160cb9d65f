"""Tables of trays and of test runs, and the gate for every zone."""

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lawnmap.errors import InputError, LawnmapError
from lawnmap.evenness.catch import read_catch, typed_text
from lawnmap.evenness.gates import read_runs, untested, zone_settings
from lawnmap.evenness.settings import SettingCurve
from lawnmap.units import METRIC

CURVE = SettingCurve(
    np.array([2.0, 4.0, 8.0]),
    np.array([0.01, 0.02, 0.03]),
    np.array([1.0, 4.0, 1.0]),
    0.04,
    scatter_measured=True,
)


def test_a_zone_gets_the_setting_of_its_share_in_one_pass():
    """Straight between the runs: half of 30 g/m² is 15, half way from setting 2 to 4."""
    (row,) = zone_settings(CURVE, {"front": 0.03, "bed": 0.0}, passes=2)
    assert row.setting.setting == pytest.approx(3)
    # ends err by 4 % of 10 and 2 % of 20 g/m², each with half the weight, over a slope of 5 g/m² a step
    assert row.setting.plus_minus == pytest.approx(np.hypot(0.5 * 0.4, 0.5 * 0.4) / 5)
    assert row.line(METRIC) == "front: 15 g / m² in each of 2 passes: setting 3.00 ± 0.06"
    assert untested((row,)) == ()


def test_a_rate_that_was_not_tried_says_which_run_to_make():
    low, high = zone_settings(CURVE, {"west": 0.005, "east": 0.05}, units=METRIC)
    assert low.setting is None
    assert "make a test run lower than setting 2" in low.why
    assert "50 g / m² lies outside the rates tried, 10 g / m² to 30 g / m²" in high.line(METRIC)
    assert [(one.code, one.where) for one in untested((low, high))] == [
        ("setting-untested", "west"),
        ("setting-untested", "east"),
    ]
    assert high.to_dict()["setting"] is None


def test_no_pass_at_all():
    with pytest.raises(InputError, match="0 passes put nothing down; give one or more"):
        zone_settings(CURVE, {"front": 0.03}, passes=0)


@pytest.mark.parametrize("cell", ["inf", "nan", "1e999", "five"])
def test_a_setting_is_a_number(tmp_path, cell):
    path = tmp_path / "runs.csv"
    path.write_text(f"setting,used_lb,area_sq_ft\n{cell},1,500\n", "utf-8")
    with pytest.raises(InputError, match=f'runs.csv, row 2: "{cell}" is not a number; correct it'):
        read_runs(path)


CELLS = st.text("0123456789.,-+e\n ", max_size=200)


@given(
    st.one_of(
        st.text(max_size=300),
        CELLS,
        CELLS.map("offset_ft,a,b back\n{}".format),
        CELLS.map("setting,used_lb,area_sq_ft\n{}".format),
    )
)
@example("offset_ft,a\n\x000,1\n")
@example('offset_ft,"a\n0,1\n')
@example("setting,used_lb,area_sq_ft\n1,1e400,1\n")
@example("offset_ft,a\n1e300,1\n2e300,1\n3e300,1\n")
@settings(max_examples=200, deadline=None)
def test_any_text_is_read_or_refused_in_a_sentence(tmp_path_factory, text):
    path = tmp_path_factory.mktemp("table") / "table.csv"
    path.write_text(text, "utf-8", errors="replace")
    for read in (read_catch, read_runs, lambda _: typed_text(text, 0.3)):
        said = ""
        try:
            read(path)
        except LawnmapError as fault:
            said = str(fault)
        assert not said or said.endswith((".", "?"))


@pytest.mark.parametrize("data", [b"\xff\xfe\x00\x01", b"\x00" * 50, b"x" * 1_100_000])
def test_what_is_no_table(tmp_path, data):
    path = tmp_path / "table.csv"
    path.write_bytes(data)
    for read in (read_catch, read_runs):
        with pytest.raises(LawnmapError, match=r"table\.csv"):
            read(path)
