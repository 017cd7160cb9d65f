/* How the sheet lies on the ground, for the preview where no Python is: the same least squares as in fit.py. */

import * as geom from "./geom.js";

const SLANT_LIMIT = 0.03;

/* The fit of a sketch, or why there is none. */
export function fitOf(sketch) {
  const { control, known, paper, units } = sketch;
  try {
    if (control.length) return fitPoints(control.map(({ at }) => at), groundOf(control, units), sketch.map_kind);
    if (known.length) return fitLengths(known.map(({ ends }) => geom.distance(...ends)), known.map(({ length }) => metres(length, units)));
    if (paper.ground) return { kind: "affine", matrix: [...paper.ground, [0, 0, 1]], residuals: [] };
    const s = paper.metres_per_unit;
    if (s) return { kind: "scale", matrix: [[s, 0, paper.east_m], [0, s, paper.north_m], [0, 0, 1]], residuals: [] };
    return { fault: "The sketch has no scale yet: touch both ends of a length that you know and type it." };
  } catch (fault) {
    return { fault: fault.message };
  }
}

function metres(text, units) {
  const sign = text.trim().startsWith("-") ? -1 : 1;
  const length = geom.parseLength(text.replace(/^\s*-/, ""), units);
  if (length === null) throw new Error(`"${text}" cannot be read as a length; write it like "24 ft".`);
  return sign * length;
}

function groundOf(control, units) {
  const ground = [];
  for (const { east, north, tie } of control) {
    ground.push(tie ? taped(ground[tie.points[0] - 1], ground[tie.points[1] - 1], tie.distances.map((text) => metres(text, units)), tie.left)
      : [metres(east, units), metres(north, units)]);
  }
  return ground;
}

export function taped(first, second, [one, two], left) {
  if (!first || !second) throw new Error("A point is taped from one that is not there; delete it.");
  const span = geom.distance(first, second);
  const along = (one * one - two * two + span * span) / (2 * span);
  const across = Math.sqrt(one * one - along * along) * (left ? 1 : -1);
  if (!Number.isFinite(across)) throw new Error("Two tapes cannot meet; measure again.");
  const [p, q] = geom.direction(first, second);
  return [first[0] + along * p - across * q, first[1] + along * q + across * p];
}

export function fitLengths(drawn, lengths) {
  const sum = (values) => values.reduce((total, value) => total + value, 0);
  const s = sum(drawn.map((p, i) => p * lengths[i])) / sum(drawn.map((p) => p * p));
  const residuals = drawn.map((p, i) => Math.abs(s * p - lengths[i]));
  return { kind: "scale", matrix: [[s, 0, 0], [0, s, 0], [0, 0, 1]], residuals, worst: Math.max(...residuals.map((miss, i) => miss / lengths[i])) };
}

const ROWS = {
  similarity: ([u, v], [e, n]) => [[[u, -v, 1, 0], e], [[v, u, 0, 1], n]],
  affine: ([u, v], [e, n]) => [[[u, v, 1, 0, 0, 0], e], [[0, 0, 0, u, v, 1], n]],
  projective: ([u, v], [e, n]) => [[[u, v, 1, 0, 0, 0, -e * u, -e * v], e], [[0, 0, 0, u, v, 1, -n * u, -n * v], n]],
};
const MATRIX = {
  similarity: ([a, b, c, d]) => [[a, -b, c], [b, a, d], [0, 0, 1]],
  affine: ([a, b, c, d, e, f]) => [[a, b, c], [d, e, f], [0, 0, 1]],
  projective: ([a, b, c, d, e, f, g, h]) => [[a, b, c], [d, e, f], [g, h, 1]],
};
const NEEDED = { similarity: 2, affine: 3, projective: 4 };

export function fitPoints(sheet, ground, kind = null) {
  if (!kind) {
    const fit = fitPoints(sheet, ground, "similarity");
    const spread = geom.distance(...[Math.min, Math.max].map((end) => [0, 1].map((k) => end(...ground.map((point) => point[k])))));
    const slanted = sheet.length >= NEEDED.projective && rms(fit.residuals) > (SLANT_LIMIT * spread) / 10;
    return slanted ? fitPoints(sheet, ground, "projective") : fit;
  }
  if (sheet.length < NEEDED[kind]) throw new Error(`${sheet.length} control points are too few; give at least ${NEEDED[kind]}.`);
  // numbers near zero and one keep the sums sharp
  const [from, to] = [sheet, ground].map(normaliser);
  const rows = sheet.flatMap((point, i) => ROWS[kind](geom.project(from, point), geom.project(to, ground[i])));
  const inner = MATRIX[kind](leastSquares(rows));
  const matrix = product(geom.invert(to), product(inner, from)).map((row, _, all) => row.map((part) => part / all[2][2]));
  return { kind, matrix, residuals: sheet.map((point, i) => geom.distance(geom.project(matrix, point), ground[i])) };
}

const rms = (misses) => Math.sqrt(misses.reduce((sum, miss) => sum + miss * miss, 0) / misses.length);

function normaliser(points) {
  const middle = [0, 1].map((k) => points.reduce((sum, point) => sum + point[k], 0) / points.length);
  const size = points.reduce((sum, point) => sum + geom.distance(point, middle), 0) / points.length || 1;
  return [[1 / size, 0, -middle[0] / size], [0, 1 / size, -middle[1] / size], [0, 0, 1]];
}

function product(a, b) {
  return a.map((row) => [0, 1, 2].map((k) => row[0] * b[0][k] + row[1] * b[1][k] + row[2] * b[2][k]));
}

/* Normal equations, solved by elimination with the largest pivot. */
function leastSquares(rows) {
  const count = rows[0][0].length;
  const table = Array.from({ length: count }, (_, i) => [
    ...Array.from({ length: count }, (__, j) => rows.reduce((sum, [row]) => sum + row[i] * row[j], 0)),
    rows.reduce((sum, [row, value]) => sum + row[i] * value, 0),
  ]);
  for (let i = 0; i < count; i += 1) {
    const best = table.slice(i).reduce((at, row, j) => (Math.abs(row[i]) > Math.abs(table[at][i]) ? i + j : at), i);
    [table[i], table[best]] = [table[best], table[i]];
    if (Math.abs(table[i][i]) < 1e-12) throw new Error("The control points lie on one line; add one well off it.");
    for (let j = 0; j < count; j += 1) {
      if (j === i) continue;
      const share = table[j][i] / table[i][i];
      table[j] = table[j].map((part, k) => part - share * table[i][k]);
    }
  }
  return table.map((row, i) => row[count] / row[i]);
}
