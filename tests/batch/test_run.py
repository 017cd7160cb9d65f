"""A batch gives for every yard what planning it alone gives, and says of every yard what became of it."""

import json
from dataclasses import replace

import geopandas
import pytest
from shapely.geometry import Polygon, box

from lawnmap.batch import Options, run
from lawnmap.errors import ChoiceError, FileError
from lawnmap.job import Choices, General, plan_yard, read_choices
from lawnmap.survey import Source, read_all, read_each
from lawnmap.yard import Yard

QUICK = Choices(general=General(leave_out=("lanes",)))
TWO = Options(yards_per_task=2)
BOW_TIE = Polygon([(40, 0), (70, 20), (70, 0), (40, 20)])


def table(report):
    return geopandas.read_parquet(report.folder / "yards.parquet").set_index("yard")


def reasons(report):
    rows = table(report)
    return {name: (row.status, row.reason) for name, row in rows.iterrows() if row.reason}


@pytest.fixture(scope="module")
def alone(sample, sample_choices):
    """Every yard of the sample portfolio planned one by one."""
    choices = replace(sample_choices, general=General(units="metric", leave_out=("evenness",)))
    source = sample_choices.source.model_copy(update={"yard": None})
    return {yard.name: plan_yard(yard, choices) for yard in read_all(sample, source=source)}


def test_every_yard_is_accounted_for(planned, alone):
    assert list(table(planned).index) == list(alone)
    assert (planned.totals.planned, planned.totals.no_lawn, planned.totals.refused) == (28, 0, 0)


def test_every_yard_has_the_figures_it_has_alone(planned, alone):
    for name, row in table(planned).iterrows():
        plan = alone[name]
        assert row.net_area_m2 == plan.takeoff.net_area_m2
        assert row.net_area_se_m2 == plan.takeoff.net_area_se_m2
        labours = [outing.labour for outing in plan.lanes.outings]
        assert row.path_length_m == sum(outing.path_length_m for outing in plan.lanes.outings)
        assert row.walk_time_s + row.refill_time_s == pytest.approx(sum(one.total_s for one in labours))
        walked = [single for outing in plan.lanes.outings for single in outing.passes]
        assert row.fills == sum(len(single.refills) for single in walked)
        assert list(row.findings) == [str(finding) for finding in plan.findings]
        given = [(one["zone"], one["material"], one["amount_kg"]) for one in row.given]
        assert given == [
            (amount.zone, material.name, amount.amount_kg)
            for material in plan.prescription.materials
            for amount in material.by_zone
        ]


def test_totals_are_the_sums_of_yards_planned_one_by_one(planned, alone):
    totals, plans = planned.totals, list(alone.values())
    assert totals.net_area_m2 == sum(plan.takeoff.net_area_m2 for plan in plans)
    outings = [outing for plan in plans for outing in plan.lanes.outings]
    assert totals.crew_time_s == pytest.approx(sum(outing.labour.total_s for outing in outings), rel=1e-12)
    assert totals.path_length_m == pytest.approx(sum(outing.path_length_m for outing in outings), rel=1e-12)
    for number, purchase in enumerate(totals.purchases.values()):
        singles = [plan.prescription.materials[number] for plan in plans]
        assert purchase.amount_kg == pytest.approx(sum(single.total_kg for single in singles), rel=1e-12)
        assert purchase.yards == sum(bool(single.by_zone) for single in singles)


def test_net_area_is_the_one_worked_out_by_hand(planned):
    """1 Larch Lane, ORIGIN.md of the sample: 20 × 38 − 12 × 10 − 3 × 13 − 12 × 1.5 − 36 × sin 5° × 1.5². [m²]"""
    by_hand = 20 * 38 - 12 * 10 - 3 * 13 - 12 * 1.5 - 36 * 0.08715574274765817 * 1.5**2
    assert table(planned).net_area_m2["1 Larch Lane"] == pytest.approx(by_hand, rel=2e-7)


def test_one_purchase_covers_the_sum_and_its_allowance(planned):
    seed = next(one for one in planned.totals.purchases.values() if one.kind == "seed")
    bought = sum(pack.size_kg * pack.count for pack in seed.bought())
    assert 0 <= bought - seed.amount_kg * 1.05 < 5  # packs of 10 and 5 kg


@pytest.mark.parametrize(
    "options", [Options(), Options(yards_per_task=1), Options(yards_per_task=9, processes=2)]
)
def test_neither_tasks_nor_processes_change_a_figure(planned, sample, sample_choices, tmp_path, options):
    again = run([sample], tmp_path / "town", sample_choices, options)
    assert again.totals.to_dict() == planned.totals.to_dict()
    assert (
        table(again).drop(columns=["zones", "given"]).equals(table(planned).drop(columns=["zones", "given"]))
    )


def test_without_lanes_the_amounts_are_the_same(planned, sample, sample_choices, tmp_path):
    quick = replace(sample_choices, general=General(units="metric", leave_out=("lanes",)))
    report = run([sample], tmp_path / "town", quick)
    assert report.totals.walk_time_s == 0
    assert report.totals.net_area_m2 == planned.totals.net_area_m2
    kilograms = [
        [one.amount_kg for one in totals.purchases.values()] for totals in (report.totals, planned.totals)
    ]
    assert kilograms[0] == kilograms[1]


def test_broken_yards_do_not_stop_the_others(town, tmp_path):
    path = (
        town(6)
        .spoil("lot 1", "lawn", geometry=BOW_TIE)
        .spoil("lot 2", "lawn", density="lush")
        .spoil("lot 3", "house", geometry=box(110, -10, 170, 30))
        .spoil("lot 4", "lawn", role="house")
        .save(tmp_path / "town.gpkg")
    )
    report = run([path], tmp_path / "out", QUICK, TWO)
    found = reasons(report)
    assert set(found) == {"lot 1", "lot 2", "lot 3", "lot 4"}
    assert found["lot 1"][0] == found["lot 2"][0] == found["lot 4"][0] == "refused"
    assert "crosses itself" in found["lot 1"][1]
    assert '"lush" is not a density class' in found["lot 2"][1]
    assert found["lot 3"] == ("no lawn", "no lawn is left: obstacles cover all of it.")
    assert 'yard "lot 4" has no lawn' in found["lot 4"][1]
    assert (report.totals.planned, report.totals.no_lawn, report.totals.refused) == (2, 1, 3)
    assert report.totals.net_area_m2 == pytest.approx(2 * (600 - 80), rel=1e-6)


def test_a_file_that_cannot_be_read_is_one_refused_yard(town, tmp_path):
    good = town(2).save(tmp_path / "good.gpkg")
    (tmp_path / "bad.gpkg").write_text("no database")
    report = run([tmp_path / "bad.gpkg", good, tmp_path / "gone.gpkg"], tmp_path / "out", QUICK)
    assert {name: status for name, (status, _) in reasons(report).items()} == {
        "bad": "refused",
        "gone": "refused",
    }
    assert "it is no GeoPackage" in reasons(report)["bad"][1]
    assert "there is no such file" in reasons(report)["gone"][1]
    assert report.totals.planned == 2


def test_yards_of_one_name_are_told_apart(town, tmp_path):
    files = [town(2).save(tmp_path / f"{name}.gpkg") for name in ("north", "south", "west")]
    report = run(files, tmp_path / "out", QUICK)
    rows = table(report)
    assert list(rows.index) == ["lot 0", "lot 1", "lot 0 (2)", "lot 1 (2)", "lot 0 (3)", "lot 1 (3)"]
    assert 'a second yard is called "lot 0"; here it is "lot 0 (2)"' in rows.findings["lot 0 (2)"][-1]
    assert report.repeated == 4


def test_a_column_of_job_files(town, tmp_path):
    (tmp_path / "rye.toml").write_text('leave_out = ["lanes"]\n[seed]\nspecies = "perennial ryegrass"\n')
    (tmp_path / "wrong.toml").write_text('[seed]\nspeceis = "rye"\n')
    path = (
        town(4)
        .spoil("lot 1", "lawn", job="rye.toml")
        .spoil("lot 2", "lawn", job="wrong.toml")
        .spoil("lot 3", "lawn", job="gone.toml")
        .save(tmp_path / "town.gpkg")
    )
    report = run([path], tmp_path / "out", QUICK, Options(choices_column="job"))
    seeds = {
        name: row.given[0]["material"] for name, row in table(report).iterrows() if row.status == "planned"
    }
    assert seeds == {"lot 0": "tall fescue", "lot 1": "perennial ryegrass"}
    assert 'there is no key "speceis" here' in reasons(report)["lot 2"][1]
    assert "there is no such job file" in reasons(report)["lot 3"][1]


def test_job_files_go_by_their_own_choices(town, tmp_path):
    for number, species in enumerate(("tall fescue", "buffalograss")):
        folder = tmp_path / f"job {number}"
        folder.mkdir()
        town(2).save(folder / "yard.gpkg")
        text = f'leave_out = ["lanes"]\n[yard]\nfile = "yard.gpkg"\nyard = "lot {number}"\n[seed]\nspecies = "{species}"\n'
        (folder / "job.toml").write_text(text)
    report = run([tmp_path / "job 0", tmp_path / "job 1" / "job.toml"], tmp_path / "out")
    assert {name: row.given[0]["material"] for name, row in table(report).iterrows()} == {
        "lot 0": "tall fescue",
        "lot 1": "buffalograss",
    }


def test_a_folder_of_geoparquet_partitions(town, tmp_path):
    (tmp_path / "parts").mkdir()
    whole = town(6)
    for number in range(3):
        part = town(0)
        part.rows = whole.rows[4 * number : 4 * number + 4]
        part.save(tmp_path / "parts" / f"part.{number}.parquet")
    report = run([tmp_path / "parts"], tmp_path / "out", QUICK, TWO)
    assert list(table(report).index) == [f"lot {number}" for number in range(6)]


def test_yards_without_a_place_on_the_earth_have_figures_and_no_shape(tmp_path):
    local = {
        "type": "FeatureCollection",
        "lawnmap": {"coordinates": "local", "unit": "m"},
        "features": [
            {
                "type": "Feature",
                "properties": {"role": "lawn", "density": "thin"},
                "geometry": {
                    "type": "Polygon",
                    "coordinates": [[[0, 0], [30, 0], [30, 20], [0, 20], [0, 0]]],
                },
            }
        ],
    }
    (tmp_path / "sketch.geojson").write_text(json.dumps(local))
    report = run([tmp_path / "sketch.geojson"], tmp_path / "out", QUICK)
    row = table(report).loc["sketch"]
    assert row.net_area_m2 == 600
    assert row.geometry is None


def test_many_files_are_each_done_as_a_whole(town, tmp_path, monkeypatch):
    monkeypatch.setattr("lawnmap.batch.worklist.LISTED_FILES", 2)
    files = [town(2).save(tmp_path / f"{name}.gpkg") for name in ("a", "b", "c")]
    report = run(files, tmp_path / "out", QUICK, TWO)
    assert report.totals.planned == 6


def test_evenness_only_where_it_is_asked_for(town, tmp_path):
    path = town(1).save(tmp_path / "town.gpkg")
    assert table(run([path], tmp_path / "out")).interior_cv.isna().all()
    assert table(run([path], tmp_path / "even", options=Options(evenness=True))).interior_cv.notna().all()


def test_quotes_are_added_up_to_the_cent(town, tmp_path):
    text = 'leave_out = ["fertilizer"]\n[seed]\npacks = [{ size = "25 lb", price = 96 }]\n'
    (tmp_path / "job.toml").write_text(text + '[prices]\nlabour = "60 / h"\ntravel_time = "30 min"\n')
    choices = read_choices(tmp_path)
    path = town(3).spoil("lot 1", "lawn", density="lush").save(tmp_path / "town.gpkg")
    report = run([path], tmp_path / "out", choices)
    alone = [
        plan_yard(yard, choices).quote
        for yard in read_each(path, Source()).values()
        if isinstance(yard, Yard)
    ]
    assert list(report.totals.quoted.values()) == [sum(quote.total for quote in alone)]
    assert table(report).quote_total.dropna().tolist() == [str(quote.total) for quote in alone]


def test_what_more_a_job_asks_for_is_planned_in_full(town, tmp_path):
    (tmp_path / "job.toml").write_text('leave_out = ["lanes"]\n[topdress]\ndepth = "0.25 in"\n')
    report = run([town(1).save(tmp_path / "town.gpkg")], tmp_path / "out", read_choices(tmp_path))
    assert (
        table(report)
        .findings["lot 0"][-1]
        .startswith("sprays, topdressing and straw are in the plan of the yard")
    )


def test_a_wrong_choice_for_all_refuses_all_of_them(town, tmp_path):
    path = town(3).save(tmp_path / "town.gpkg")
    wrong = replace(QUICK, fertilizer=type(QUICK.fertilizer)(ceiling_kg_per_m2=1e-6))
    assert set(reasons(run([path], tmp_path / "out", wrong))) == {"lot 0", "lot 1", "lot 2"}


def test_no_file_at_all(tmp_path):
    with pytest.raises(FileError, match="no yard file is given"):
        run([], tmp_path / "out")
    (tmp_path / "empty").mkdir()
    with pytest.raises(FileError, match="there is no yard file in this folder"):
        run([tmp_path / "empty"], tmp_path / "out")


def test_a_wrong_job_file_stops_before_anything_is_done(tmp_path):
    (tmp_path / "job.toml").write_text("[seed]\nlevel = 'middling'\n")
    with pytest.raises(ChoiceError, match="'middling' is not known"):
        run([tmp_path / "job.toml"], tmp_path / "out")


def test_progress_counts_every_yard(town, tmp_path):
    told = []
    run([town(5).save(tmp_path / "town.gpkg")], tmp_path / "out", QUICK, TWO, told.append)
    assert [count.done for count in told] == [0, 2, 4, 5]
    assert {count.total for count in told} == {5}
