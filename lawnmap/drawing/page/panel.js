/* The side of the page: scale, the chosen shape, all shapes, and what is true of them. */

import { field, find, isTyping, make, refill } from "./elements.js";
import * as geom from "./geom.js";
import { title } from "./model.js";
import { STANDS, standPicture } from "./pictures.js";
import { withoutControl } from "./questions.js";

const KINDS = {
  obstacle: ["house", "drive", "walk", "bed", "pool", "tree", "other"],
  landmark: ["corner", "wall", "gate", "refill", "aim", "other"],
};

export class Panel extends EventTarget {
  constructor(model, colours) {
    super();
    Object.assign(this, { model, colours, truth: null });
  }

  render() {
    this.renderScale();
    this.renderChosen();
    this.renderList();
  }

  renderScale() {
    const { known, control } = this.model.sketch;
    const fit = this.truth?.fit;
    const rows = known.map((row, i) => {
      const input = make("input", { value: row.length, size: 8, "aria-label": `Known length ${i + 1}`, onchange: ({ target }) =>
        this.model.change({ known: known.map((other, j) => (j === i ? { ...other, length: target.value } : other)) }) });
      const miss = fit?.kind === "scale" && known.length > 1 && fit.misses[i] ? `misses by ${fit.misses[i]}` : "";
      return make("li", {}, input, make("span", {}, miss), this.remover(`known length ${i + 1}`, () =>
        this.model.change({ known: known.filter((_, j) => j !== i) })));
    });
    const points = control.map((row, i) => {
      const miss = fit && fit.kind !== "scale" && fit.misses[i] ? `misses by ${fit.misses[i]}` : "";
      return make("li", {}, `${i + 1}`, ...this.controlInputs(row, i), make("span", {}, miss),
        this.remover(`control point ${i + 1}`, () => this.model.change({ control: withoutControl(control, i) })));
    });
    find("map-field").hidden = control.length < 2;
    find("map-kind").value = this.model.sketch.map_kind ?? "";
    refill(find("known"), [...rows, ...points]);
    find("fit").textContent = this.fitText(fit);
    find("doubts").replaceChildren(...(fit?.warnings ?? []).map((warning) => make("li", {}, warning)));
  }

  fitText(fit) {
    const { known, control, paper, units } = this.model.sketch;
    if ((paper.metres_per_unit || paper.ground) && !known.length && !control.length) {
      return `The sheet has its true size${paper.place ? " and place" : ""}.`;
    }
    if (!fit) return "";
    const kind = { scale: "One scale", affine: "An affine map" }[fit.kind] ?? `A ${fit.kind} map`;
    const worst = fit.worst_text ? ` Worst misfit ${fit.worst_text}.` : "";
    return `${kind}: 100 units of the sheet are ${geom.lengthText(fit.metres_per_unit * 100, units)}.${worst}`;
  }

  /* Its two coordinates, or its two tapes. */
  controlInputs(row, i) {
    const edit = (values) => {
      const { control } = this.model.sketch;
      this.model.change({ control: control.map((other, j) => (j === i ? { ...other, ...values } : other)) });
    };
    const input = (value, what, act) => make("input", {
      value, size: 7, "aria-label": `Control point ${i + 1}, ${what}`, onchange: ({ target }) => act(target.value),
    });
    if (!row.tie) return ["east", "north"].map((key) => input(row[key], key, (text) => edit({ [key]: text })));
    return row.tie.distances.map((text, k) => input(text, `distance from point ${row.tie.points[k]}`, (typed) =>
      edit({ tie: { ...row.tie, distances: row.tie.distances.map((other, j) => (j === k ? typed : other)) } })));
  }

  remover(what, act) {
    return make("button", { type: "button", class: "small", "aria-label": `Delete ${what}`, onclick: act }, "×");
  }

  renderChosen() {
    const shape = this.model.current();
    const box = find("chosen");
    box.hidden = !shape;
    if (!shape) return void box.replaceChildren();
    const edit = (values) => this.model.edit(shape.id, values);
    const name = make("input", { value: shape.name, maxlength: 200, placeholder: title(shape), onchange: ({ target }) => edit({ name: target.value }) });
    const parts = [make("h2", {}, title(shape)), field("Name", name)];
    if (KINDS[shape.role]) parts.push(field("Kind", this.kinds(shape, edit)));
    if (shape.role === "lawn") parts.push(this.stands(shape, edit), ...this.zoneFields(shape, edit));
    if (shape.form === "polygon") parts.push(this.reshaping(shape));
    const trouble = this.truth?.troubles.find((one) => one.shape === shape.id);
    if (trouble) parts.push(make("p", { class: "bad" }, trouble.text));
    parts.push(make("button", { type: "button", id: "delete", onclick: () => this.model.remove(shape.id) }, "Delete this shape"));
    refill(box, parts);
  }

  reshaping(shape) {
    const tell = (what, detail) => () => this.dispatchEvent(new CustomEvent(what, { detail }));
    const others = this.model.sketch.shapes.filter((other) => other.role === shape.role && other.form === "polygon" && other.id !== shape.id);
    const join = make("select", { class: "served", "aria-label": "Join with", id: "join", onchange: ({ target }) => target.value && tell("join", target.value)() },
      make("option", { value: "" }, "Join with …"), ...others.map((other) => make("option", { value: other.id }, title(other))));
    return make("div", { class: "tools" },
      make("button", { type: "button", class: "served", id: "split", onclick: tell("tool", "split") }, "Split along a line"),
      make("button", { type: "button", id: "hole", onclick: tell("tool", "hole") }, "Cut a hole"),
      ...(others.length ? [join] : []),
      ...(others.length && shape.role === "lawn" ? [make("button", { type: "button", onclick: () => this.model.first(shape.id) }, "Before the others")] : []));
  }

  kinds(shape, edit) {
    const options = KINDS[shape.role].map((kind) => make("option", { selected: kind === shape.kind }, kind));
    return make("select", { onchange: ({ target }) => edit({ kind: target.value }) }, ...options);
  }

  stands(shape, edit) {
    const buttons = Object.entries(STANDS).map(([density, { text }]) => {
      const chip = make("i", { class: "chip" });
      chip.style.background = this.colours.density[density];
      return make("button", {
        type: "button", class: "stand", "data-density": density, "aria-pressed": String(shape.density === density),
        onclick: () => edit({ density, cover_percent: null }),
      }, standPicture(density), make("span", {}, chip, text));
    });
    return make("fieldset", {}, make("legend", {}, "How thin is the grass?"), ...buttons);
  }

  zoneFields(shape, edit) {
    const number = (value, most) => make("input", { type: "number", min: 0, max: most, step: "any", value: value ?? "" });
    const cover = number(shape.cover_percent, 100);
    cover.addEventListener("change", () => {
      const given = cover.value === "" ? null : Math.min(100, Math.max(0, cover.valueAsNumber));
      edit({ cover_percent: given, density: given === null ? "thin" : null });
    });
    const slope = number(shape.slope_percent || null, 200);
    slope.addEventListener("change", () => edit({ slope_percent: Math.min(200, Math.max(0, slope.valueAsNumber || 0)) }));
    return [field("or cover, percent", cover), field("Slope, percent", slope)];
  }

  renderList() {
    const rows = this.model.sketch.shapes.map((shape) => {
      const note = shape.role === "lawn" ? shape.density ?? `${shape.cover_percent} % cover` : shape.kind || shape.role;
      return make("li", {}, make("button", {
        type: "button", "aria-pressed": String(shape.id === this.model.selected), "data-shape": shape.id,
        onclick: () => this.model.select(shape.id),
      }, `${title(shape)} · ${note}`));
    });
    refill(find("shapes"), rows);
    find("none").hidden = rows.length > 0;
  }

  /* What Python says; every figure comes ready to be read. */
  showTruth(truth) {
    this.truth = truth;
    const areas = truth.areas;
    find("fault").textContent = truth.fault ?? "";
    find("troubles").replaceChildren(...truth.troubles.map((one) => make("li", {}, `${one.text}`)));
    find("areas").hidden = !areas;
    const cell = (text) => make("td", {}, text);
    const zones = (areas?.zones ?? []).map((zone) => make("tr", {}, make("th", { scope: "row" }, zone.name), cell(zone.density), cell(zone.net), cell(zone.error)));
    const total = areas ? [make("tr", { class: "total" }, make("th", { scope: "row" }, "Net lawn"), cell(""), cell(areas.net), cell(areas.error))] : [];
    find("zones").replaceChildren(...zones, ...total);
    const cuts = (areas?.cutouts ?? []).map(({ kind, area }) => `${kind} ${area}`);
    find("cutouts").textContent = cuts.length ? `Taken out: ${cuts.join(", ")}.` : "";
    find("findings").replaceChildren(...(areas?.findings ?? []).map(({ text, where, code }) => make("li", {}, `${where ? `${where}: ` : ""}${text} [${code}]`)));
    if (!isTyping(find("known"))) this.renderScale();
    if (!isTyping(find("chosen"))) this.renderChosen();
  }
}
