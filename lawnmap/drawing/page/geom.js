/* Geometry on the sheet, free of any page: points are [right, up], a matrix takes them to metres. */

export const PER_UNIT = { ft: 0.3048, in: 0.0254, yd: 0.9144, m: 1, cm: 0.01 };
const SQUARE_FOOT = 0.09290304;

export function project(matrix, [right, up]) {
  const [a, b, c] = matrix.map((row) => row[0] * right + row[1] * up + row[2]);
  return [a / c, b / c];
}

export function distance([a, b], [c, d]) {
  return Math.hypot(c - a, d - b);
}

export function ringArea(points) {
  let twice = 0;
  const [right0, up0] = points[0] ?? [0, 0]; // differences keep the digits of far coordinates
  points.forEach(([right, up], i) => {
    const [right2, up2] = points[(i + 1) % points.length];
    twice += (right - right0) * (up2 - up0) - (right2 - right0) * (up - up0);
  });
  return Math.abs(twice) / 2;
}

export function circleRing(centre, edge, sides = 96) {
  const grown = Math.sqrt(Math.PI / ((sides / 2) * Math.sin((2 * Math.PI) / sides)));
  const radius = distance(centre, edge) * grown;
  return Array.from({ length: sides }, (_, i) => {
    const turn = (2 * Math.PI * i) / sides;
    return [centre[0] + radius * Math.cos(turn), centre[1] + radius * Math.sin(turn)];
  });
}

export function outline(shape) {
  return shape.form === "circle" ? circleRing(...shape.points) : shape.points;
}

export function areaOf(shape, matrix) {
  const ground = (ring) => ringArea(ring.map((point) => project(matrix, point)));
  return ground(outline(shape)) - shape.holes.map(ground).reduce((sum, area) => sum + area, 0);
}

export function lengthBetween(a, b, matrix) {
  return distance(project(matrix, a), project(matrix, b));
}

function side(a, b, c) {
  return Math.sign((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]));
}

export function meet(a, b, c, d) {
  return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
}

/* Pairs of edges of a ring, or of an open line, that cross each other. */
export function crossings(points, closed = true) {
  const found = [];
  const edges = closed ? points.length : points.length - 1;
  for (let i = 0; i < edges; i += 1) {
    for (let j = i + 2; j < edges; j += 1) {
      if (closed && i === 0 && j === edges - 1) continue;
      const [a, b] = [points[i], points[(i + 1) % points.length]];
      const [c, d] = [points[j], points[(j + 1) % points.length]];
      if (meet(a, b, c, d)) found.push([i, j]);
    }
  }
  return found;
}

export function nearestOn(a, b, point) {
  const [along, up] = [b[0] - a[0], b[1] - a[1]];
  const square = along * along + up * up;
  if (square === 0) return a;
  const share = Math.min(1, Math.max(0, ((point[0] - a[0]) * along + (point[1] - a[1]) * up) / square));
  return [a[0] + share * along, a[1] + share * up];
}

/* A corner before an edge, an edge before a right angle; tolerance in sheet units. */
export function snap(point, rings, tolerance, line = null) {
  let best = null;
  let reach = tolerance;
  for (const { points } of rings) {
    for (const corner of points) {
      const away = distance(corner, point);
      if (away < reach) [best, reach] = [{ point: corner, what: "corner" }, away];
    }
  }
  if (best) return best;
  for (const { points, closed } of rings) {
    for (let i = 0; i < points.length - (closed ? 0 : 1); i += 1) {
      const foot = nearestOn(points[i], points[(i + 1) % points.length], point);
      const away = distance(foot, point);
      if (away < reach) [best, reach] = [{ point: foot, what: "edge" }, away];
    }
  }
  return best ?? squared(point, line, tolerance) ?? { point, what: "" };
}

/* Square to, or in line with, the edges drawn so far. */
export function squared(point, line, tolerance) {
  if (!line || line.length === 0) return null;
  const last = line[line.length - 1];
  const ways = line.length < 2 ? [[1, 0]] : [direction(line[line.length - 2], last), direction(line[0], line[1])];
  for (const [along, up] of ways) {
    for (const [p, q] of [[along, up], [-up, along]]) {
      const share = (point[0] - last[0]) * p + (point[1] - last[1]) * q;
      const foot = [last[0] + share * p, last[1] + share * q];
      if (distance(foot, point) < tolerance) return { point: foot, what: "right angle" };
    }
  }
  return null;
}

export function direction(a, b) {
  const away = distance(a, b) || 1;
  return [(b[0] - a[0]) / away, (b[1] - a[1]) / away];
}

/* A rectangle from one side and a point of the opposite one. */
export function rectangle(a, b, across) {
  const [along, up] = direction(a, b);
  const depth = (across[0] - b[0]) * -up + (across[1] - b[1]) * along;
  return [a, b, [b[0] - up * depth, b[1] + along * depth], [a[0] - up * depth, a[1] + along * depth]];
}

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

/* "24 ft", "24' 6\"", "7.5 m" to metres; a bare number in the page's own unit; null if it is no length. */
export function parseLength(text, units) {
  const words = text.trim().toLowerCase().replace(/(′|')/g, "ft ").replace(/(″|")/g, "in ");
  const parts = [...words.matchAll(/(\d+(?:\.\d+)?|\.\d+)\s*(ft|feet|foot|in|inch|inches|yd|m|cm)?(?=\s|\d|$)/g)];
  if (!parts.length || parts.map((part) => part[0]).join("").replace(/\s/g, "") !== words.replace(/\s/g, "")) return null;
  const unit = { feet: "ft", foot: "ft", inch: "in", inches: "in" };
  const metres = parts.map(([, number, word]) => {
    const name = word ?? (units === "us" ? "ft" : "m");
    return Number(number) * PER_UNIT[unit[name] ?? name];
  });
  return metres.reduce((sum, part) => sum + part, 0);
}

export function areaText(area, units) {
  const shown = units === "us" ? area / SQUARE_FOOT : area;
  const digits = shown >= 100 ? 0 : 1;
  return `${shown.toLocaleString("en-US", { maximumFractionDigits: digits })} ${units === "us" ? "sq ft" : "m²"}`;
}

export function lengthText(length, units) {
  const unit = units === "us" ? "ft" : "m";
  return `${(length / PER_UNIT[unit]).toLocaleString("en-US", { maximumFractionDigits: units === "us" ? 1 : 2 })} ${unit}`;
}
