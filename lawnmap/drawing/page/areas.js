/* Net areas for the preview where no Python is: exact for outlines with straight sides, in horizontal slabs. */

import { crossings, meet, outline, project } from "./geom.js";

/* The net area of every zone, and what each kind of obstacle takes from them. [m²]
   Between two neighbouring heights of corners or crossings no edge begins, ends or crosses another, so each strip
   between neighbouring edges is a trapezoid that belongs to one shape: an obstacle, else the first zone there. */
export function netAreas(shapes, matrix) {
  const usable = shapes.filter((shape) => ["lawn", "obstacle"].includes(shape.role) && isWhole(shape))
    .map((shape) => ({ shape, rings: [outline(shape), ...shape.holes].map((ring) => ring.map((point) => project(matrix, point))) }));
  const edges = usable.flatMap(({ rings }, owner) => rings.flatMap((ring) => edgesOf(ring, owner)));
  const net = new Map(usable.filter(({ shape }) => shape.role === "lawn").map(({ shape }) => [shape.id, 0]));
  const taken = {};
  const levels = [...new Set([...edges.flatMap(({ low, high }) => [low[1], high[1]]), ...heightsOfCrossings(edges)])].sort((a, b) => a - b);
  const sorted = [...edges].sort((a, b) => a.low[1] - b.low[1]);
  let active = [];
  let next = 0;
  levels.slice(1).forEach((top, i) => {
    const bottom = levels[i];
    active = active.filter(({ high }) => high[1] >= top);
    for (; next < sorted.length && sorted[next].low[1] <= bottom; next += 1) if (sorted[next].high[1] >= top) active.push(sorted[next]);
    slab(active, bottom, top, (owners, area) => {
      const inside = [...owners].sort((a, b) => a - b).map((owner) => usable[owner].shape);
      const zone = inside.find(({ role }) => role === "lawn");
      const solid = inside.find(({ role }) => role === "obstacle");
      if (zone && solid) taken[solid.kind] = (taken[solid.kind] ?? 0) + area;
      else if (zone) net.set(zone.id, net.get(zone.id) + area);
    });
  });
  return { net, taken };
}

export function isWhole(shape) {
  if (shape.form === "circle") return shape.points.length === 2;
  return shape.form === "polygon" && [shape.points, ...shape.holes].every((ring) => ring.length > 2 && !crossings(ring).length);
}

function edgesOf(ring, owner) {
  return ring.map((point, i) => [point, ring[(i + 1) % ring.length]])
    .filter(([a, b]) => a[1] !== b[1])
    .map(([a, b]) => (a[1] < b[1] ? { low: a, high: b, owner } : { low: b, high: a, owner }));
}

const acrossAt = ({ low, high }, height) => low[0] + ((high[0] - low[0]) * (height - low[1])) / (high[1] - low[1]);

function slab(active, bottom, top, give) {
  const middle = (bottom + top) / 2;
  const row = active.map((edge) => ({ at: acrossAt(edge, middle), owner: edge.owner })).sort((a, b) => a.at - b.at);
  const inside = new Set();
  row.forEach(({ at, owner }, i) => {
    if (!inside.delete(owner)) inside.add(owner);
    const width = i + 1 < row.length ? row[i + 1].at - at : 0;
    if (inside.size && width > 0) give(inside, width * (top - bottom));
  });
}

function heightsOfCrossings(edges) {
  const found = [];
  const sorted = [...edges].sort((a, b) => a.low[1] - b.low[1]);
  sorted.forEach((one, i) => {
    const [left, right] = [Math.min(one.low[0], one.high[0]), Math.max(one.low[0], one.high[0])];
    for (let j = i + 1; j < sorted.length && sorted[j].low[1] < one.high[1]; j += 1) {
      const other = sorted[j];
      if (Math.max(other.low[0], other.high[0]) < left || Math.min(other.low[0], other.high[0]) > right) continue;
      if (meet(one.low, one.high, other.low, other.high)) found.push(heightOf(one, other));
    }
  });
  return found;
}

function heightOf(one, other) {
  const slope = ({ low, high }) => (high[0] - low[0]) / (high[1] - low[1]);
  const from = Math.max(one.low[1], other.low[1]);
  return from + (acrossAt(other, from) - acrossAt(one, from)) / (slope(one) - slope(other));
}
