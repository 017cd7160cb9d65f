"""Every tool of the page in a real browser, on a lot with areas that are known.

The sheet is 40 m by 30 m of lot with a house of 10 m by 10 m, so 1,100 m² of lawn.
"""

import json
from math import cos, pi, sin

import pytest
from playwright.sync_api import expect

import lawnmap

pytestmark = pytest.mark.browser

LOT = [(100, 100), (1060, 100), (1060, 820), (100, 820)]


def test_token_leaves_the_address(page, service):
    assert page.url == f"{service.keys.origin}/"
    assert page.evaluate("document.cookie") == ""


def test_lawn_with_a_house_has_its_true_area(page, hand, service):
    hand.trace_lot()
    page.click("[data-density=patchy]")
    page.select_option("#kind", "house")
    page.check("[name=form][value=rectangle]")
    hand.click((340, 340), (580, 340), (580, 580))
    assert hand.net_m2() == pytest.approx(1100, rel=0.003)
    expect(page.locator("#cutouts")).to_contain_text("house")
    folder = service.studio.store.folder
    measured = lawnmap.take_off(lawnmap.read(folder / "yard.geojson"))
    assert measured.net_area_m2 == pytest.approx(1100, rel=0.003)
    assert f"{measured.net_area_m2:,.0f} m²" in page.inner_text("#zones")
    assert measured.zones[0].density == "patchy"
    assert {path.name for path in folder.iterdir()} == {
        "sketch.json",
        "yard.geojson",
        "job.toml",
        "paper.png",
    }


def test_plan_from_the_page_is_the_folder_planned(page, hand, service):
    hand.trace_lot()
    hand.saved()
    page.click("#plan")
    expect(page.locator("#plan-said")).to_have_text("Planned.", timeout=60_000)
    page.frame_locator("#map").locator(".leaflet-container").wait_for()
    plan = json.loads((service.studio.store.folder / "plan" / "plan.json").read_text("utf-8"))
    again = lawnmap.plan(service.studio.store.folder)
    assert plan["takeoff"]["net_area_m2"] == pytest.approx(again.takeoff.net_area_m2, rel=1e-12)
    assert plan["units"] == "metric"
    shown = page.inner_text("#outcome")
    assert f"Tall fescue: {lawnmap.units.METRIC.mass(again.prescription.materials[0].total_kg)}" in shown
    assert f"{sum(one.lane_count for one in again.lanes.passes)} lanes" in shown
    page.click("#show-map")
    expect(page.locator("#sheet")).to_be_visible()
    page.click("[data-density=bare]")
    expect(page.locator("#plan-said")).to_contain_text("plan again")


def test_choices_go_into_the_job_file_and_bad_ones_are_marked(page, hand, service):
    hand.trace_lot()
    hand.saved()
    path = service.studio.store.folder / "job.toml"
    path.write_text(path.read_text("utf-8") + "\n# by hand\n", "utf-8")  # an editor has it open as well
    page.fill("#choice-seed-rate", "30")
    page.press("#choice-seed-rate", "Tab")
    expect(page.locator("[data-section=seed] [data-key=rate] .bad")).to_contain_text('"30" has no unit')
    expect(page.locator("#choice-seed-rate")).to_have_attribute("aria-invalid", "true")
    page.fill("#choice-seed-rate", "30 g / m²")
    page.press("#choice-seed-rate", "Tab")
    expect(page.locator("#choices-said")).to_have_text("Saved in job.toml.")
    page.fill("#choice-seed-purity", "97.5 %")  # one alone is not enough
    page.press("#choice-seed-purity", "Tab")
    expect(page.locator("[data-section=seed] [data-key=germination] .bad")).to_contain_text("germination")
    page.fill("#choice-seed-germination", "90 %")
    page.press("#choice-seed-germination", "Tab")
    expect(page.locator("#choices-said")).to_have_text("Saved in job.toml.")
    page.click("text=Spreader or rig")
    page.select_option("#choice-rig-passes", "half spacing")
    page.fill("#yard-name", "Renamed")
    page.press("#yard-name", "Tab")
    hand.saved()
    choices = lawnmap.job.read_choices(path)
    assert choices.seed.rate_kg_per_m2 == pytest.approx(0.030)
    assert (choices.seed.germination, choices.rig.passes) == ((0.9,), "half spacing")
    assert choices.general.name == "Renamed"
    assert path.read_text("utf-8").endswith("# by hand\n")
    page.faults.clear()  # the browser writes each refusal, 422, into its console


def test_undo_redo_and_a_corner_dragged_added_and_removed(page, hand):
    hand.trace_lot()
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    page.mouse.move(*hand.at(*LOT[2]))
    page.mouse.down()
    page.mouse.move(*hand.at(1000, 800))
    page.mouse.move(*hand.at(820, 820), steps=4)  # half a side less: a triangle of 10 m by 30 m goes
    live = page.inner_text(".label.area")
    page.mouse.up()
    assert hand.net_m2() == pytest.approx(1050, rel=0.005)
    assert float(live.split()[0].replace(",", "")) == pytest.approx(1050, rel=0.005)
    page.keyboard.press("Control+z")
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    page.keyboard.press("Control+y")
    assert hand.net_m2() == pytest.approx(1050, rel=0.005)
    page.locator('[data-corner="0:2:false"]').click(button="right")
    assert hand.net_m2() == pytest.approx(600, rel=0.005)
    page.locator('[data-corner="0:1:false"]').focus()
    page.keyboard.press("Shift+ArrowLeft")
    assert hand.net_m2() < 597


def test_typed_lengths_make_a_square(page, hand):
    hand.scale((100, 100), (1060, 100), "40 m")
    page.click("[data-tool=lawn]")
    hand.click((200, 700))
    page.mouse.move(*hand.at(600, 700))
    page.fill("#typed", "10 m")
    page.press("#typed", "Enter")
    page.mouse.move(*hand.at(500, 300))
    page.fill("#typed", "10 m square")
    page.press("#typed", "Enter")
    page.mouse.move(*hand.at(220, 300))
    page.fill("#typed", "10 m, 90°")
    page.press("#typed", "Enter")
    page.click("#finish")
    assert hand.net_m2() == pytest.approx(100, abs=0.11)


def test_bow_tie_is_shown_and_is_no_zone(page, hand, service):
    hand.scale((100, 100), (1060, 100), "40 m")
    page.click("[data-tool=lawn]")
    hand.click(LOT[0], LOT[2], LOT[1])
    page.mouse.move(*hand.at(*LOT[3]))
    assert page.locator('.leaflet-draft-pane path[stroke="#b3261e"]').count()  # while it is being drawn
    hand.click(LOT[3], LOT[0])
    hand.saved()
    expect(page.locator("#troubles")).to_contain_text("crosses itself")
    assert not service.studio.store.yard()
    assert json.loads(service.studio.store.sketch())["shapes"]


def test_what_is_being_typed_outlives_an_answer_of_the_server(page, hand, service):
    hand.trace_lot()
    page.route("**/sketch", lambda route: (page.wait_for_timeout(300), route.continue_()))
    page.click("[data-density=bare]")
    page.focus("#chosen input")
    page.keyboard.type("Fr")
    expect(page.locator("#status")).to_have_text("Saved")
    page.keyboard.type("ont")
    page.keyboard.press("Tab")
    hand.saved()
    assert json.loads(service.studio.store.sketch())["shapes"][0]["name"] == "Frontlawn 1"
    assert page.evaluate(
        "document.activeElement.closest('#chosen') !== null"
    )  # and the focus stays in its place


def test_names_stay_text(page, hand):
    hand.trace_lot()
    page.fill("#chosen input", '<img src=x onerror="document.title=1">')
    page.press("#chosen input", "Tab")
    hand.saved()
    expect(page.locator("#zones")).to_contain_text("<img src=x")
    assert page.locator("#zones img").count() == 0


def test_lawn_is_split_by_density_joined_again_and_gets_a_hole(page, hand):
    hand.trace_lot()
    page.click("#split")
    hand.click((580, 60), (580, 860))
    page.keyboard.press("f")
    hand.saved()
    expect(page.locator("#zones tr")).to_have_count(3)
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    page.locator("[data-shape]").nth(1).click()
    page.click("[data-density=bare]")
    hand.saved()
    assert "bare" in page.inner_text("#zones")
    page.select_option("#join", index=1)
    hand.saved()
    expect(page.locator("#zones tr")).to_have_count(2)
    page.click("#hole")
    hand.click((340, 340), (580, 340), (580, 580), (340, 580), (340, 340))
    assert hand.net_m2() == pytest.approx(1100, rel=0.003)


def test_tree_and_a_curved_bed(page, hand):
    hand.trace_lot()
    page.select_option("#kind", "tree")
    hand.click((800, 300), (848, 300))
    hand.saved()
    assert hand.net_m2() == pytest.approx(1200 - 3.1416 * 4, rel=0.003)
    page.select_option("#kind", "bed")
    page.check("[name=form][value=corners]")
    hand.click((400, 600))
    page.keyboard.press("c")
    hand.click((520, 480), (640, 600))  # half a circle of 5 m
    page.keyboard.press("f")
    assert hand.net_m2() == pytest.approx(1200 - 3.1416 * 4 - 3.1416 * 25 / 2, rel=0.003)


def test_a_typed_turn_makes_a_triangle(page, hand):
    """Sides of 10 m that turn 120° at each corner close to a triangle of √3 / 4 · 10² = 43.30 m²."""
    hand.scale((100, 100), (1060, 100), "40 m")
    page.click("[data-tool=lawn]")
    hand.click((300, 700))
    for toward, text in (((600, 700), "10 m"), ((420, 300), "10 m, 120"), ((300, 690), "10 m 120°")):
        page.mouse.move(*hand.at(*toward))
        page.fill("#typed", text)
        page.press("#typed", "Enter")
    page.click("#finish")
    assert hand.net_m2() == pytest.approx(43.30, rel=0.003)
    page.click("[data-tool=lawn]")
    page.fill("#typed", "24 ft 6")  # feet and inches, or an angle of 6 degrees?
    page.press("#typed", "Enter")
    expect(page.locator("#typed")).to_have_attribute("aria-invalid", "")


def test_smooth_bed_edge_runs_along_the_house(page, hand):
    """Half a circle of 5 m through seven points, straight along the wall: π / 2 · 5² = 39.27 m²."""
    hand.trace_lot()
    page.select_option("#kind", "bed")
    hand.click((580, 700), (820, 700))
    page.keyboard.press("s")
    expect(page.locator("#smooth")).to_have_attribute("aria-pressed", "true")
    hand.click(*((700 + 120 * cos(pi * k / 6), 700 - 120 * sin(pi * k / 6)) for k in range(1, 6)))
    hand.click((580, 700))
    assert hand.net_m2() == pytest.approx(1200 - pi / 2 * 25, rel=0.003)
    expect(page.locator("#smooth")).to_have_attribute("aria-pressed", "false")
    assert page.locator("[data-corner$=false]").count() > 12  # it is kept as corners


def test_smooth_all_round(page, hand):
    hand.scale((100, 100), (1060, 100), "40 m")
    page.click("[data-tool=lawn]")
    page.click("#smooth")
    ring = [(580 + 240 * cos(pi * k / 6), 460 + 240 * sin(pi * k / 6)) for k in range(12)]
    hand.click(*ring, ring[0])
    assert hand.net_m2() == pytest.approx(pi * 100, rel=0.004)


def test_whole_shape_is_moved_and_moved_back(page, hand):
    hand.trace_lot()
    page.check("[name=form][value=rectangle]")
    page.select_option("#kind", "house")
    hand.click((340, 340), (580, 340), (580, 580))
    assert hand.net_m2() == pytest.approx(1100, rel=0.003)
    grip = page.locator("[data-move]").bounding_box()
    x, y = grip["x"] + grip["width"] / 2, grip["y"] + grip["height"] / 2
    side = hand.at(240, 0)[0] - hand.at(0, 0)[0]
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x - side / 2, y, steps=3)
    page.mouse.move(x - 1.5 * side, y, steps=3)  # half of the house now stands outside
    page.mouse.up()
    assert hand.net_m2() == pytest.approx(1150, rel=0.006)
    page.click("#undo")
    assert hand.net_m2() == pytest.approx(1100, rel=0.003)


def test_overlapping_zones_count_once_and_the_user_decides(page, hand):
    hand.trace_lot()
    page.click("[data-tool=lawn]")
    page.check("[name=form][value=rectangle]")
    hand.click((340, 340), (580, 340), (580, 580))
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    expect(page.locator("#findings")).to_contain_text("overlap")
    page.click("text=Before the others")
    hand.saved()
    assert [row.split()[3] for row in page.inner_text("#zones").splitlines()[:2]] == ["100", "1,100"]
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)


def control(page, hand, spot, east, north):
    page.click("[data-tool=control]")
    hand.click(spot)
    page.fill("#ask-east", east)
    page.fill("#ask-north", north)
    page.press("#ask-north", "Enter")


def test_control_points_set_a_slanted_photo_straight(page, hand, service):
    """Four corners of a known quadrangle, clicked where a slanted photo shows them, give its true area."""
    seen = [(300, 300), (900, 300), (1060, 820), (100, 820)]  # 40 m by 30 m, the far side seen shorter
    for spot, east, north in zip(seen, ("0", "40", "40", "0"), ("30", "30", "0", "0"), strict=True):
        control(page, hand, spot, east, north)
    expect(page.locator("#fit")).to_contain_text("projective")
    page.click("[data-tool=lawn]")
    hand.click(*seen, seen[0])
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    assert page.inner_text(".label.area") == "1,200 m²"


def test_points_taped_from_two_corners_make_an_affine_map(page, hand, service):
    """A scan that is stretched: 40 m are 960 pixels across and 30 m are 360 pixels up. The far corners are taped."""
    seen = [(100, 820), (1060, 820), (1060, 460), (100, 460)]
    control(page, hand, seen[0], "0", "0")
    control(page, hand, seen[1], "40", "0")
    for spot, one, two in (
        (seen[2], "50", "30"),
        (seen[3], "30", "50"),
    ):  # sides and diagonal of 3-4-5 triangles
        page.click("[data-tool=control]")
        hand.click(spot)
        page.check("[name=by][value=tapes]")
        page.fill("#ask-tape-one", one)
        page.fill("#ask-tape-two", two)
        page.press("#ask-tape-two", "Enter")
    page.select_option("#map-kind", "affine")
    expect(page.locator("#fit")).to_contain_text("An affine map")
    expect(page.locator("#doubts")).to_contain_text("differ in scale")
    page.click("[data-tool=lawn]")
    hand.click(*seen, seen[0])
    assert hand.net_m2() == pytest.approx(1200, rel=0.003)
    assert page.locator("#known li").filter(has_text="misses by 0 m").count() == 4
    page.fill('[aria-label="Control point 3, distance from point 1"]', "52 m")  # read wrongly off the tape
    page.press('[aria-label="Control point 3, distance from point 1"]', "Tab")
    hand.saved()
    expect(page.locator("#known li").first).to_contain_text("misses by 0.6")
    page.click('[aria-label="Delete control point 2"]')  # and those that are taped from it
    hand.saved()
    assert len(json.loads(service.studio.store.sketch())["control"]) == 1


def test_yard_is_handed_out_for_a_gis(page, hand, service, tmp_path):
    hand.trace_lot()
    hand.saved()
    for link, name in (("GeoJSON", "yard.geojson"), ("GeoPackage", "yard.gpkg"), ("DXF", "yard.dxf")):
        with page.expect_download() as getting:
            page.click(f"text={link}")
        getting.value.save_as(tmp_path / name)
        assert lawnmap.take_off(lawnmap.read(tmp_path / name)).net_area_m2 == pytest.approx(1200, rel=0.003)
