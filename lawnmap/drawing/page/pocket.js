/* In place of link.js where the page is one file on a phone: it keeps the sketch in the browser, works out a preview,
   and saves a yard file that every command reads. */

import { isWhole, netAreas } from "./areas.js";
import { download, find } from "./elements.js";
import { fitOf } from "./fitting.js";
import * as geom from "./geom.js";
import { title } from "./model.js";

const NOTE = "A preview, worked out on this phone. Save the yard file and measure it on a computer for the figures that count.";
const CROSSED = "its outline crosses itself; move the corner that lies on the wrong side.";
const NO_ZONE = "Draw the lawn: a zone for every part that is as thin or as full throughout.";
const SLANTED = "One known length is missed by more than 3 %: check what was typed, or the picture was taken at a slant; "
  + "use four control points instead.";

let held = null;

export async function begin() {
  held = JSON.parse(find("held").textContent);
  const kept = read(held.key);
  const sketch = kept ?? held.sketch;
  return { ...held, sketch, tag: "", folder: "", truth: truthOf(sketch), imagery: null };
}

export class Link extends EventTarget {
  constructor(model) {
    super();
    this.model = model;
    this.saved = model.sketch;
    model.addEventListener("change", () => this.save());
    find("fresh").addEventListener("click", () => model.change({ ...held.sketch }));
  }

  save() {
    const text = JSON.stringify(this.model.sketch);
    try {
      window.localStorage.setItem(held.key, text);
      this.say("Kept on this phone. Save the yard file when you are done.");
    } catch {
      this.say("This browser keeps nothing: save the yard file before you close the page.", "bad");
    }
    this.dispatchEvent(new CustomEvent("truth", { detail: truthOf(this.model.sketch) }));
  }

  /* What the Save button does. */
  keep() {
    const name = `${fileName(this.model.sketch.name)}.geojson`;
    download(name, JSON.stringify(yardFile(this.model.sketch), null, 1), "application/geo+json");
    this.say(`Saved as ${name}.`);
  }

  async choices() {
    return { status: 200, held: { sections: [] } };
  }

  say(text, mood = "") {
    this.dispatchEvent(new CustomEvent("say", { detail: { text, mood } }));
  }
}

function read(key) {
  try {
    return JSON.parse(window.localStorage.getItem(key));
  } catch {
    return null; // a browser that keeps nothing for files
  }
}

const fileName = (name) => name.replace(/[^\p{L}\p{N} _-]/gu, "").trim().slice(0, 60) || "yard";

/* What Python would say, as far as it can be worked out here. */
export function truthOf(sketch) {
  const fit = fitOf(sketch);
  const truth = { fit: null, fault: fit.fault ?? null, troubles: [], areas: null, stands: {} };
  if (fit.fault) return truth;
  const troubles = sketch.shapes
    .filter((shape) => ["polygon", "circle"].includes(shape.form) && !isWhole(shape))
    .map((shape) => ({ shape: shape.id, text: `${title(shape)}: ${CROSSED}` }));
  const lawn = sketch.shapes.filter(({ role }) => role === "lawn");
  const stands = Object.fromEntries(lawn.map((shape) => [shape.id, shape.density ?? classOf(shape.cover_percent)]));
  const areas = areasOf(sketch, fit.matrix, stands);
  return { ...truth, fit: shownFit(fit, sketch), troubles, stands, areas, fault: areas ? null : NO_ZONE };
}

function shownFit({ kind, matrix, residuals, worst = 0 }, { paper, units }) {
  const middle = [paper.wide / 2, paper.high / 2];
  return {
    kind,
    matrix,
    misses: residuals.map((miss) => geom.lengthText(miss, units)),
    warnings: worst > 0.03 ? [SLANTED] : [],
    metres_per_unit: geom.lengthBetween(middle, [middle[0] + 1, middle[1]], matrix),
    worst_text: kind === "scale" && residuals.length > 1 ? `${(100 * worst).toPrecision(2)} %` : "",
  };
}

function areasOf(sketch, matrix, stands) {
  const { net, taken } = netAreas(sketch.shapes, matrix);
  if (!net.size) return null;
  const area = (value) => geom.areaText(value, sketch.units);
  const named = (id) => title(sketch.shapes.find((shape) => shape.id === id));
  return {
    zones: [...net].map(([id, value]) => ({ name: named(id), density: stands[id], net: area(value), error: "" })),
    cutouts: Object.entries(taken).map(([kind, value]) => ({ kind, area: area(value) })),
    net: area([...net.values()].reduce((sum, value) => sum + value, 0)),
    error: "",
    findings: [{ text: NOTE, where: "", code: "preview" }],
  };
}

const classOf = (cover) => (cover < 15 ? "bare" : cover < 50 ? "thin" : cover < 80 ? "patchy" : "full");

/* GeoJSON in metres from the sheet's corner, with the foreign member that says so, and the sketch itself. */
export function yardFile(sketch) {
  const { fit } = truthOf(sketch);
  const ground = (ring) => ring.map((point) => geom.project(fit.matrix, point).map((part) => Math.round(part * 1e6) / 1e6));
  const closed = (ring) => [...ground(ring), ground(ring)[0]];
  const geometry = (shape) => ({
    point: () => ({ type: "Point", coordinates: ground(shape.points)[0] }),
    line: () => ({ type: "LineString", coordinates: ground(shape.points) }),
  }[shape.form] ?? (() => ({ type: "Polygon", coordinates: [geom.outline(shape), ...shape.holes].map(closed) })))();
  const properties = ({ role, name, kind, density, cover_percent: cover, slope_percent: slope }) => Object.fromEntries(
    Object.entries({ role, name, kind, density, cover_percent: cover, slope_percent: slope, yard: sketch.name }).filter(([, value]) => value));
  const shapes = fit ? sketch.shapes.filter((shape) => ["point", "line"].includes(shape.form) || isWhole(shape)) : [];
  return {
    type: "FeatureCollection",
    lawnmap: { coordinates: "local", unit: "m", sketch },
    features: shapes.map((shape) => ({ type: "Feature", properties: properties(shape), geometry: geometry(shape) })),
  };
}
