// Run by node's own runner; test_page_geometry.py starts it. Figures: elementary geometry.
import assert from "node:assert/strict";
import { test } from "node:test";
import { netAreas } from "../../lawnmap/drawing/page/areas.js";
import * as curves from "../../lawnmap/drawing/page/curves.js";
import * as geom from "../../lawnmap/drawing/page/geom.js";

const SQUARE = [[0, 0], [10, 0], [10, 10], [0, 10]];
const SAME = [[1, 0, 0], [0, 1, 0], [0, 0, 1]];
const near = (a, b, within = 1e-9) => assert.ok(Math.abs(a - b) <= within, `${a} is not ${b}`);

test("area of a square, whichever way round, and far from the origin", () => {
  near(geom.ringArea(SQUARE), 100);
  near(geom.ringArea([...SQUARE].reverse()), 100);
  near(geom.ringArea(SQUARE.map(([a, b]) => [a + 5e6, b + 5e6])), 100);
});

test("a hole is taken out and a matrix scales", () => {
  const hole = [[2, 2], [4, 2], [4, 4], [2, 4]];
  near(geom.areaOf({ form: "polygon", points: SQUARE, holes: [hole] }, [[2, 0, 0], [0, 2, 0], [0, 0, 1]]), 384);
});

test("a circle has its own area", () => {
  near(geom.areaOf({ form: "circle", points: [[5, 5], [5, 8]], holes: [] }, SAME), Math.PI * 9);
});

test("a projective matrix divides", () => {
  assert.deepEqual(geom.project([[1, 0, 0], [0, 1, 0], [0, 0.1, 1]], [10, 10]), [5, 5]);
});

test("a bow tie crosses itself once, a square never", () => {
  assert.equal(geom.crossings(SQUARE).length, 0);
  assert.equal(geom.crossings([[0, 0], [10, 10], [10, 0], [0, 10]]).length, 1);
  assert.equal(geom.crossings([[0, 0], [10, 10], [10, 0], [0, 10]], false).length, 1);
});

test("snapping: a corner before an edge, an edge before a right angle", () => {
  const rings = [{ points: SQUARE, closed: true }];
  assert.deepEqual(geom.snap([0.4, 0.3], rings, 1), { point: [0, 0], what: "corner" });
  assert.deepEqual(geom.snap([5, 0.5], rings, 1), { point: [5, 0], what: "edge" });
  assert.deepEqual(geom.snap([0.3, 5], [{ points: SQUARE, closed: false }], 1).what, "");
  const free = geom.snap([30.4, 40], rings, 1, [[20, 20], [30, 20]]);
  assert.equal(free.what, "right angle");
  near(free.point[0], 30);
  assert.deepEqual(geom.snap([50, 60], rings, 1), { point: [50, 60], what: "" });
});

test("a rectangle from a slanted side", () => {
  const corners = geom.rectangle([0, 0], [3, 4], [3 - 8, 4 + 6]);
  near(geom.ringArea(corners), 50);
  near(geom.distance(corners[1], corners[2]), 10);
});

test("an arc keeps to its circle, both ways round", () => {
  for (const b of [[0, 5], [0, -5]]) {
    const arc = curves.arcThrough([-5, 0], b, [5, 0]);
    arc.forEach((point) => near(Math.hypot(...point), 5));
    assert.ok(arc.some((point) => geom.distance(point, b) < 0.4));
    assert.deepEqual(arc.at(-1), [5, 0]);
    near(geom.ringArea([[-5, 0], ...arc]), (Math.PI * 25) / 2, 0.05);
  }
  assert.deepEqual(curves.arcThrough([0, 0], [1, 1], [2, 2]), [[1, 1], [2, 2]]);
});

test("lengths as people write them", () => {
  near(geom.parseLength("24 ft", "us"), 7.3152);
  near(geom.parseLength("24' 6\"", "us"), 24.5 * 0.3048);
  near(geom.parseLength("7.5", "metric"), 7.5);
  near(geom.parseLength("7.5", "us"), 7.5 * 0.3048);
  for (const bad of ["", "ft", "x24 ft", "24 miles", "24 ft or so", "24 ft 6"]) assert.equal(geom.parseLength(bad, "us"), null);
});

test("figures in the user's unit", () => {
  assert.equal(geom.areaText(92.90304, "us"), "1,000 sq ft");
  assert.equal(geom.areaText(12.345, "metric"), "12.3 m²");
  assert.equal(geom.lengthText(3.048, "us"), "10 ft");
});

test("a length with a turn, as in the middle of drawing", () => {
  const ft = 0.3048;
  const turns = { "24 ft": null, "24 ft, square": 90, "24 ft square": 90, "24 ft 45": 45, "24 ft, 45°": 45, "24' 6\" 30 deg": 30, "24, 12.5": 12.5 };
  for (const [text, turnDeg] of Object.entries(turns)) {
    const step = geom.parseStep(text, "us");
    assert.equal(step.turnDeg, turnDeg, text);
    near(step.metres, (text.includes("6") ? 24.5 : 24) * ft);
  }
  for (const bad of ["", "square", "45°", "24' 6", "24 ft 200", "0 ft", "ft 45"]) assert.equal(geom.parseStep(bad, "us"), null, bad);
});

test("a matrix and its inverse come back to the point", () => {
  const slanted = [[2, 0.3, 5], [-0.1, 1.5, -7], [0.001, 0.002, 1]];
  const there = geom.project(slanted, [120, 80]);
  geom.project(geom.invert(slanted), there).forEach((part, i) => near(part, [120, 80][i], 1e-9));
});

test("parallel to the main edges of the drawing, whichever way they run", () => {
  const turned = SQUARE.map(([a, b]) => [a * Math.cos(0.3) - b * Math.sin(0.3), a * Math.sin(0.3) + b * Math.cos(0.3)]);
  const [[along, up]] = geom.mainDirections([{ points: turned, closed: true }]);
  near(Math.atan2(up, along), 0.3);
  const found = geom.snap([50 + 20 * Math.cos(0.32), 50 + 20 * Math.sin(0.32)], [{ points: turned, closed: true }], 1, [[50, 50]]);
  assert.equal(found.what, "parallel");
  near(Math.atan2(found.point[1] - 50, found.point[0] - 50), 0.3);
  assert.deepEqual(geom.mainDirections([]), []);
});

test("a smooth ring through points of a circle is nearly that circle", () => {
  const knots = Array.from({ length: 12 }, (_, i) => [10 * Math.cos((i * Math.PI) / 6), 10 * Math.sin((i * Math.PI) / 6)]);
  const ring = curves.smoothThrough(knots, true, 0.01);
  knots.forEach((knot) => assert.ok(ring.some((point) => geom.distance(point, knot) < 1e-9), "it passes through its points"));
  near(geom.ringArea(ring) / (Math.PI * 100), 1, 0.003);
  assert.equal(geom.crossings(ring).length, 0);
});

test("a smooth line keeps within the tolerance that it states", () => {
  const knots = [[0, 0], [10, 6], [20, -3], [24, 9], [40, 0]];
  const fine = curves.smoothThrough(knots, false, 1e-5);
  for (const tolerance of [0.5, 0.05, 0.005]) {
    const drawn = curves.smoothThrough(knots, false, tolerance);
    assert.deepEqual([drawn[0], drawn.at(-1)], [knots[0], knots.at(-1)]);
    const off = fine.map((point) => Math.min(...drawn.slice(1).map((end, i) => geom.distance(point, geom.nearestOn(drawn[i], end, point)))));
    assert.ok(Math.max(...off) <= tolerance + 1e-5, `${Math.max(...off)} over ${tolerance}`);
    assert.ok(drawn.length < fine.length);
  }
});

test("a smooth line through points in a row is straight, and two points stay two", () => {
  curves.smoothThrough([[0, 0], [1, 1], [5, 5]], false, 0.01).forEach(([a, b]) => near(a, b));
  assert.deepEqual(curves.smoothThrough([[0, 0], [3, 0]], false, 0.01), [[0, 0], [3, 0]]);
  assert.deepEqual(curves.smoothThrough([[0, 0], [3, 0], [3, 0]], false, 0.01), [[0, 0], [3, 0]]);
});

const shape = (id, role, points, more = {}) => ({ id, role, form: "polygon", points, holes: [], kind: "house", ...more });

test("net areas: an earlier zone has the ground, an obstacle takes it, a hole is none", () => {
  const big = [[0, 0], [20, 0], [20, 20], [0, 20]];
  const hole = [[12, 12], [14, 12], [14, 14], [12, 14]];
  const { net, taken } = netAreas([
    shape("a", "lawn", SQUARE), shape("b", "lawn", big, { holes: [hole] }),
    shape("h", "obstacle", [[5, 5], [15, 5], [15, 8], [5, 8]]), shape("t", "obstacle", [[18, -5], [18, 25], [40, 10]], { kind: "tree" }),
  ], SAME);
  near(net.get("a"), 100 - 15);
  // outside the square, less the hole, the house's other half and the triangle's part within: a trapezoid of 2 m
  const cut = 2 * ((30 + 30 * (20 / 22)) / 2);
  near(net.get("b"), 400 - 100 - 4 - 15 - Math.min(cut, 2 * 20), 1e-9);
  near(taken.house, 30);
  near(taken.tree, 40);
});

test("net areas where outlines cross between their corners", () => {
  const diamond = [[5, -5], [15, 5], [5, 15], [-5, 5]];
  const { net, taken } = netAreas([shape("a", "lawn", SQUARE), shape("d", "obstacle", diamond)], SAME);
  near(net.get("a"), 0, 1e-9);
  near(taken.house, 100, 1e-9);
  const small = netAreas([shape("a", "lawn", SQUARE), shape("d", "obstacle", [[5, -2], [12, 5], [5, 12], [-2, 5]])], SAME);
  near(small.net.get("a"), 4 * 4.5, 1e-9); // four corner triangles with legs of 3
});

test("net areas: a bow tie counts for nothing, a circle as its polygon", () => {
  const tie = shape("x", "lawn", [[0, 0], [10, 10], [10, 0], [0, 10]]);
  const round = { id: "c", role: "obstacle", form: "circle", points: [[5, 5], [5, 7]], holes: [], kind: "tree" };
  const { net } = netAreas([tie, shape("a", "lawn", SQUARE), round], SAME);
  assert.equal(net.has("x"), false);
  near(net.get("a"), 100 - 4 * Math.PI, 1e-9);
});
