/* What a click means: choosing, drawing a shape corner by corner, or giving a known length. */

import * as curves from "./curves.js";
import * as geom from "./geom.js";
import { WAYS } from "./grips.js";

const L = window.L;

const POINTS = { rectangle: 3, circle: 2, length: 2, landmark: 1, control: 1 };

export class Tools extends EventTarget {
  constructor(model, board) {
    super();
    Object.assign(this, { model, board, what: "select", kind: "house", form: "corners", points: [], bend: null, smoothFrom: null });
    this.cursor = null;
    this.pointer = null;
    board.map.on("click", ({ latlng }) => this.click([latlng.lng, latlng.lat]));
    board.map.on("mousemove", ({ latlng }) => this.hover([latlng.lng, latlng.lat]));
    board.map.on("dblclick", () => this.finish());
    board.map.getContainer().addEventListener("keydown", (event) => this.key(event));
  }

  choose(what) {
    this.what = what;
    this.board.drawing = what !== "select";
    this.cancel();
    this.board.map.getContainer().classList.toggle("draws", this.board.drawing);
  }

  cancel() {
    this.points = [];
    this.bend = null;
    this.curving = false;
    this.smoothFrom = null;
    this.board.showDraft([], "");
    this.board.renderGrips();
    this.dispatchEvent(new Event("tool"));
    this.say();
  }

  /* Which rule ends the shape: a set number of points, or the user. */
  shapeForm() {
    if (["length", "landmark", "control"].includes(this.what)) return this.what;
    if (this.what === "water" || this.what === "split") return "line";
    if (this.what === "hole") return "hole";
    return this.form;
  }

  isRing() {
    return ["corners", "hole"].includes(this.shapeForm());
  }

  aim(point) {
    const line = this.isRing() || this.shapeForm() === "line" ? this.points : this.points.slice(-1);
    if (this.isRing() && this.points.length > 2 && this.board.near(point, this.points[0])) {
      return { point: this.points[0], what: "close" };
    }
    const square = ["circle", "length"].includes(this.shapeForm()) || this.smoothFrom !== null ? null : line;
    return this.board.snapped(point, null, square);
  }

  hover(point) {
    this.pointer = point;
    if (!this.board.drawing) return;
    const aimed = this.aim(point);
    this.board.showDraft(this.preview(aimed.point), this.isRing() ? "polygon" : "line", aimed.what);
    this.say(aimed.what);
  }

  preview(point) {
    const form = this.shapeForm();
    if (!this.points.length) return [];
    if (this.bend) return [...this.points, ...curves.arcThrough(this.points.at(-1), this.bend, point)];
    if (form === "rectangle" && this.points.length === 2) return [...geom.rectangle(...this.points, point), this.points[0]];
    if (form === "circle") return [...geom.circleRing(this.points[0], point, 48), point];
    return this.flat([...this.points, point], false);
  }

  click(point) {
    if (!this.board.drawing) return void this.model.select(null);
    const { point: at, what } = this.aim(point);
    if (this.curving && this.points.length) return void this.curveClick(at, what === "close");
    if (what === "close") return void this.finish();
    if (this.points.length && geom.distance(at, this.points.at(-1)) === 0) return;
    this.put(at);
  }

  put(at) {
    this.points = [...this.points, at];
    if (this.points.length === POINTS[this.shapeForm()]) return void this.finish();
    this.board.showDraft(this.flat(this.points, false), this.isRing() ? "polygon" : "line", "");
    this.say();
  }

  /* The next two clicks are the middle and the end of an arc from the last corner. */
  curve() {
    this.curving = true;
    this.bend = null;
    this.say();
  }

  curveClick(at, closes) {
    if (!this.bend) {
      this.bend = at;
    } else {
      this.points = [...this.points, ...curves.arcThrough(this.points.at(-1), this.bend, at)];
      this.bend = null;
      this.curving = false;
      if (closes) {
        this.points = this.points.slice(0, -1); // the first corner again
        return void this.finish();
      }
    }
    this.say();
  }

  back() {
    if (this.bend) this.bend = null;
    else this.points = this.points.slice(0, -1);
    if (this.smoothFrom !== null) this.smoothFrom = Math.min(this.smoothFrom, Math.max(0, this.points.length - 1));
    this.board.showDraft(this.points, this.isRing() ? "polygon" : "line", "");
    this.say();
  }

  /* "24 ft" goes on from the last point towards the pointer; "24 ft, square" or "24 ft 45" turns to its side from the
     last edge, or from the sheet's own direction. On the ground, so that a slanted photo is no matter. */
  typed(text) {
    const step = geom.parseStep(text, this.model.sketch.units);
    const toward = this.cursor ?? this.pointer;
    if (!step || !this.model.fit || !this.points.length || !toward) return false;
    const ground = (point) => geom.project(this.model.fit, point);
    const last = ground(this.points.at(-1));
    let way = geom.direction(last, ground(toward));
    if (step.turnDeg !== null) {
      const before = this.points.length > 1 ? this.points.at(-2) : null;
      const [along, up] = before ? geom.direction(ground(before), last) : [1, 0];
      const turn = ((Math.sign(along * way[1] - up * way[0]) || 1) * step.turnDeg * Math.PI) / 180;
      way = [along * Math.cos(turn) - up * Math.sin(turn), along * Math.sin(turn) + up * Math.cos(turn)];
    }
    const end = [last[0] + way[0] * step.metres, last[1] + way[1] * step.metres];
    this.put(geom.project(geom.invert(this.model.fit), end));
    return true;
  }

  /* From the last corner on, a smooth line runs through the points that are clicked, until this is pressed again. */
  smooth() {
    if (!this.isRing() && this.shapeForm() !== "line") return;
    if (this.smoothFrom === null) {
      this.smoothFrom = Math.max(0, this.points.length - 1);
    } else {
      this.points = this.flat(this.points, false);
      this.smoothFrom = null;
    }
    this.curving = false;
    this.dispatchEvent(new Event("tool"));
    this.say();
  }

  /* The smooth part as corners; a ring that is smooth all round closes smoothly. */
  flat(points, closes) {
    if (this.smoothFrom === null) return points;
    const tolerance = this.model.fit ? curves.TOLERANCE_M / geom.lengthBetween(points[0], [points[0][0] + 1, points[0][1]], this.model.fit) : 0.5;
    const [kept, knots] = [points.slice(0, this.smoothFrom), points.slice(this.smoothFrom)];
    const isRound = closes && !kept.length;
    const drawn = curves.smoothThrough(closes && !isRound ? [...knots, points[0]] : knots, isRound, tolerance);
    return [...kept, ...(closes && !isRound ? drawn.slice(0, -1) : drawn)];
  }

  finish() {
    const form = this.shapeForm();
    const points = this.flat(this.points, this.isRing());
    const enough = { length: 2, landmark: 1, control: 1, line: 2, circle: 2 }[form] ?? 3;
    if (!this.board.drawing || points.length < enough) return;
    this.points = [];
    this.curving = false;
    this.smoothFrom = null;
    this.board.showDraft([], "");
    if (this.what === "split") {
      this.dispatchEvent(new CustomEvent("split", { detail: points }));
      this.choose("select");
    } else if (form === "length" || form === "control") this.dispatchEvent(new CustomEvent(form, { detail: points }));
    else if (form === "hole") this.finishHole(points);
    else this.finishShape(form, points);
    this.say();
  }

  finishShape(form, points) {
    const forms = { line: "line", circle: "circle", landmark: "point" };
    const values = { form: forms[form] ?? "polygon", points: form === "rectangle" ? geom.rectangle(...points) : points };
    if (this.what === "lawn") this.model.add({ ...values, role: "lawn", density: "thin" });
    else if (this.what === "obstacle") this.model.add({ ...values, role: "obstacle", kind: this.kind });
    else if (this.what === "water") this.model.add({ ...values, role: "water" });
    else this.model.add({ ...values, role: "landmark", kind: "corner" });
    this.choose("select");
  }

  finishHole(points) {
    const shape = this.model.current();
    if (shape?.form === "polygon") this.model.edit(shape.id, { holes: [...shape.holes, points] });
    this.choose("select");
  }

  /* Drawing without a mouse: arrows move a cross, Enter puts a point. */
  key(event) {
    if (event.target !== this.board.map.getContainer()) return;
    const way = WAYS[event.key];
    if (way) {
      const step = (event.shiftKey ? 1 : 10) * this.board.perPixel();
      const { lat, lng } = this.board.map.getCenter();
      const [right, up] = this.cursor ?? this.points.at(-1) ?? [lng, lat];
      this.moveCursor([right + way[0] * step, up + way[1] * step]);
    } else if (event.key === "Enter" && this.cursor) this.click(this.cursor);
    else if (event.key === "+" || event.key === "=") this.board.map.zoomIn();
    else if (event.key === "-") this.board.map.zoomOut();
    else return;
    event.preventDefault();
  }

  moveCursor(point) {
    this.cursor = point;
    const at = L.latLng(point[1], point[0]);
    this.cross ??= L.marker(at, { icon: L.divIcon({ className: "cross", iconSize: null }), interactive: false, keyboard: false }).addTo(this.board.map);
    this.cross.setLatLng(at);
    this.board.map.panInside(at, { padding: [30, 30], animate: false });
    this.hover(point);
  }

  hint(snap) {
    if (!this.board.drawing) return "Choose a shape to change it, or a tool to draw.";
    const count = this.points.length;
    const form = this.shapeForm();
    if (this.curving && count) return this.bend ? "Click where the curve ends." : "Click a point in the middle of the curve.";
    if (this.smoothFrom !== null) {
      const within = this.model.sketch.units === "us" ? "0.4 in" : "1 cm";
      return `Smooth: click points along the line. Smooth again goes on straight, Finish ends. It is kept as corners, within ${within} of the line.`;
    }
    const start = {
      hole: [this.model.current() ? "Click the first corner of the hole." : "Choose a shape first, then its hole.", "Click the next corner."],
      length: ["Click one end of a length that you know. Zoom in first.", "Click its other end."],
      control: ["Click a point whose coordinates you know."],
      landmark: ["Click the fixed point."],
      circle: ["Click the middle.", "Click the edge."],
      rectangle: ["Click one end of a side.", "Click its other end.", "Click how deep it is."],
    }[form];
    const text = start ? start[Math.min(count, start.length - 1)] : ["Click the first corner.", "Click the next corner."][count ? 1 : 0];
    const end = !POINTS[form] && count > 1 ? " Finish with a double click, the F key or the first corner." : "";
    return `${text}${end}${snap ? ` On: ${snap}.` : ""}`;
  }

  say(snap = "") {
    this.dispatchEvent(new CustomEvent("hint", { detail: this.hint(snap) }));
  }
}
