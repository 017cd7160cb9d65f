/* Geometry on the sheet, free of any page: points are [right, up], a matrix takes them to metres. */

export const PER_UNIT = { ft: 0.3048, in: 0.0254, yd: 0.9144, m: 1, cm: 0.01 };
const SQUARE_FOOT = 0.09290304;

export function project(matrix, [right, up]) {
  const [a, b, c] = matrix.map((row) => row[0] * right + row[1] * up + row[2]);
  return [a / c, b / c];
}

export function invert([[a, b, c], [d, e, f], [g, h, i]]) {
  const [p, q, r] = [e * i - f * h, f * g - d * i, d * h - e * g];
  const whole = a * p + b * q + c * r;
  return [[p, c * h - b * i, b * f - c * e], [q, a * i - c * g, c * d - a * f], [r, b * g - a * h, a * e - b * d]]
    .map((row) => row.map((part) => part / whole));
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

/* A corner before an edge, an edge before a right angle or a parallel; tolerance in sheet units. */
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
  return best ?? squared(point, line, tolerance, rings) ?? { point, what: "" };
}

/* Square to, or in line with, the edges drawn so far; then alongside or square to the main edges of the drawing. */
export function squared(point, line, tolerance, rings = []) {
  if (!line || line.length === 0) return null;
  const last = line[line.length - 1];
  const onto = (ways, what) => {
    for (const [along, up] of ways) {
      for (const [p, q] of [[along, up], [-up, along]]) {
        const share = (point[0] - last[0]) * p + (point[1] - last[1]) * q;
        const foot = [last[0] + share * p, last[1] + share * q];
        if (distance(foot, point) < tolerance) return { point: foot, what };
      }
    }
    return null;
  };
  const own = line.length < 2 ? [[1, 0]] : [direction(line[line.length - 2], last), direction(line[0], line[1])];
  return onto(own, "right angle") ?? onto(mainDirections(rings), "parallel");
}

/* The directions with most length of edge, a right angle counting as the same; at most two, one degree apart or more. */
export function mainDirections(rings) {
  const lengths = new Map();
  for (const { points, closed } of rings) {
    for (let i = 0; i < points.length - (closed ? 0 : 1); i += 1) {
      const [a, b] = [points[i], points[(i + 1) % points.length]];
      const turn = ((Math.atan2(b[1] - a[1], b[0] - a[0]) * 180) / Math.PI + 360) % 90;
      const key = Math.round(turn) % 90;
      const held = lengths.get(key) ?? { length: 0, sum: 0 };
      const away = distance(a, b);
      lengths.set(key, { length: held.length + away, sum: held.sum + away * (turn > 89.5 ? turn - 90 : turn) });
    }
  }
  return [...lengths.values()].sort((a, b) => b.length - a.length).slice(0, 2).map(({ length, sum }) => {
    const turn = ((length ? sum / length : 0) * Math.PI) / 180;
    return [Math.cos(turn), Math.sin(turn)];
  });
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

/* "24 ft", "24' 6\"", "7.5 m" to metres; a bare number in the page's own unit; null if it is no length. */
export function parseLength(text, units) {
  const words = text.trim().toLowerCase().replace(/(′|')/g, "ft ").replace(/(″|")/g, "in ");
  const parts = [...words.matchAll(/(\d+(?:\.\d+)?|\.\d+)\s*(ft|feet|foot|in|inch|inches|yd|m|cm)?(?=\s|\d|$)/g)];
  if (parts.length > 1 && parts.some(([, , word]) => !word)) return null; // "24 ft 6" might be inches
  if (!parts.length || parts.map((part) => part[0]).join("").replace(/\s/g, "") !== words.replace(/\s/g, "")) return null;
  const unit = { feet: "ft", foot: "ft", inch: "in", inches: "in" };
  const metres = parts.map(([, number, word]) => {
    const name = word ?? (units === "us" ? "ft" : "m");
    return Number(number) * PER_UNIT[unit[name] ?? name];
  });
  return metres.reduce((sum, part) => sum + part, 0);
}

/* "24 ft", "24 ft, square", "24 ft 45": a length in metres, and how far to turn from the last edge; null if it is neither. */
export function parseStep(text, units) {
  const found = /^(.*?)(?:[,\s]\s*(square|\d+(?:\.\d+)?\s*(?:°|deg|degrees)?))?$/i.exec(text.trim());
  const whole = parseLength(text, units);
  if (!whole && !found?.[2]) return null;
  const [, length, turn] = whole ? [] : found;
  if (length?.endsWith("'")) return null; // "24' 6" lacks a mark
  const metres = whole ?? parseLength(length.replace(/,\s*$/, ""), units);
  const turnDeg = turn === undefined ? null : /square/i.test(turn) ? 90 : Number.parseFloat(turn);
  return !metres || turnDeg > 180 ? null : { metres, turnDeg };
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
