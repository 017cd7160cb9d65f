/* Curves, kept as corners: arcs through three points, and smooth lines through any number. */

import { distance } from "./geom.js";

export const TOLERANCE_M = 0.01; // a flattened curve stays within this of the smooth one

/* Points of the arc from a through b to c, without a; a straight line if the three are in line. */
export function arcThrough(a, b, c, stepDeg = 4) {
  const [p, q] = [b[0] - a[0], b[1] - a[1]];
  const [r, s] = [c[0] - a[0], c[1] - a[1]];
  const twice = 2 * (p * s - q * r);
  if (Math.abs(twice) < 1e-9 * (p * p + q * q + r * r + s * s)) return [b, c];
  const [bb, cc] = [p * p + q * q, r * r + s * s];
  const centre = [a[0] + (s * bb - q * cc) / twice, a[1] + (p * cc - r * bb) / twice];
  const radius = distance(centre, a);
  const angle = (point) => Math.atan2(point[1] - centre[1], point[0] - centre[0]);
  const whole = 2 * Math.PI;
  const start = angle(a);
  const turn = (to) => (((to - start) % whole) + whole) % whole;
  const leftwards = turn(angle(b)) < turn(angle(c));
  const sweep = leftwards ? turn(angle(c)) : turn(angle(c)) - whole;
  const steps = Math.max(2, Math.ceil(Math.abs(sweep) / ((stepDeg * Math.PI) / 180)));
  const inner = Array.from({ length: steps - 1 }, (_, i) => {
    const at = start + (sweep * (i + 1)) / steps;
    return [centre[0] + radius * Math.cos(at), centre[1] + radius * Math.sin(at)];
  });
  return [...inner, c];
}

/* A smooth line through all points, as corners that stay within the tolerance of it. [sheet units]
   Centripetal Catmull-Rom pieces (E. Catmull and R. Rom 1974; no loops or cusps within a piece: C. Yuksel,
   S. Schaefer, J. Keyser, "Parameterization and applications of Catmull-Rom curves", 2011), as Bezier cubics. */
export function smoothThrough(points, closed, tolerance) {
  const knots = points.filter((point, i) => i === 0 || distance(point, points[i - 1]) > 0);
  if (closed && knots.length > 1 && distance(knots[0], knots.at(-1)) === 0) knots.pop();
  if (knots.length < 3) return knots;
  const count = knots.length;
  const at = (i) => (closed ? knots[(i + count) % count] : knots[i]);
  const drawn = [knots[0]];
  for (let i = 0; i < (closed ? count : count - 1); i += 1) {
    const [from, to] = [at(i), at(i + 1)];
    const before = at(i - 1) ?? mirrored(to, from);
    const after = at(i + 2) ?? mirrored(from, to);
    drawn.push(...flattened(bezier(before, from, to, after), tolerance));
  }
  if (closed) drawn.pop(); // the first point again
  return drawn;
}

const mirrored = ([a, b], [c, d]) => [2 * c - a, 2 * d - b];

function bezier(before, from, to, after) {
  const [d1, d2, d3] = [distance(before, from), distance(from, to), distance(to, after)].map(Math.sqrt);
  const handle = (far, near, other, dFar, dNear) => [0, 1].map((k) => {
    const whole = dFar * dFar * other[k] - dNear * dNear * far[k] + (2 * dFar * dFar + 3 * dFar * dNear + dNear * dNear) * near[k];
    return whole / (3 * dFar * (dFar + dNear));
  });
  return [from, handle(before, from, to, d1, d2), handle(after, to, from, d3, d2), to];
}

/* A chord of one n-th of a cubic is off by at most |B''| / (8 n^2). */
function flattened([a, b, c, d], tolerance) {
  const bend = Math.max(...[[a, b, c], [b, c, d]].map(([p, q, r]) => Math.hypot(p[0] - 2 * q[0] + r[0], p[1] - 2 * q[1] + r[1])));
  const steps = Math.min(200, Math.max(1, Math.ceil(Math.sqrt((6 * bend) / (8 * tolerance)))));
  return Array.from({ length: steps }, (_, i) => {
    const t = (i + 1) / steps;
    const [w0, w1, w2, w3] = [(1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t ** 3];
    return t === 1 ? d : [0, 1].map((k) => w0 * a[k] + w1 * b[k] + w2 * c[k] + w3 * d[k]);
  });
}
