/* Ask for what belongs to a known length or a control point. */

import { find, make } from "./elements.js";

export function wireQuestions(tools, model) {
  let points = null;
  const ask = (id, prepare, answer) => ({ detail }) => {
    points = detail;
    const dialog = find(id);
    dialog.querySelectorAll("input:not([type=radio])").forEach((input) => { input.value = ""; });
    prepare?.(model);
    dialog.returnValue = "";
    dialog.showModal();
    dialog.onclose = () => {
      if (dialog.returnValue === "ok" && points) answer();
      points = null;
      tools.choose("select");
    };
  };
  const given = (id) => withUnit(find(id).value.trim(), model.sketch.units);
  tools.addEventListener("length", ask("ask", null, () => given("ask-one") && model.addKnown(points, given("ask-one"))));
  tools.addEventListener("control", ask("ask-point", listPoints, () => {
    const [east, north] = ["ask-east", "ask-north"].map((id) => given(id) || withUnit("0", model.sketch.units));
    const control = taped() ? tieOf(points[0], given) : { at: points[0], east, north };
    if (control) model.change({ control: [...model.sketch.control, control] });
  }));
  document.querySelectorAll("[name=by]").forEach((radio) => radio.addEventListener("change", showWay));
}

const taped = () => document.querySelector("[name=by]:checked").value === "tapes";

/* A point can be taped from two that are there already. */
function listPoints(model) {
  const count = model.sketch.control.length;
  ["ask-first", "ask-second-point"].forEach((id, k) => {
    const option = (_, i) => make("option", { value: i + 1, selected: i === k }, `point ${i + 1}`);
    find(id).replaceChildren(...Array.from({ length: count }, option));
  });
  document.querySelector("[name=by][value=tapes]").disabled = count < 2;
  if (count < 2) document.querySelector("[name=by][value=coordinates]").checked = true;
  showWay();
}

function showWay() {
  find("by-coordinates").hidden = taped();
  find("by-tapes").hidden = !taped();
}

function tieOf(at, given) {
  const distances = [given("ask-tape-one"), given("ask-tape-two")];
  if (!distances[0] || !distances[1]) return null;
  const points = ["ask-first", "ask-second-point"].map((id) => Number(find(id).value));
  return { at, east: "", north: "", tie: { points, distances, left: find("ask-side").value === "left" } };
}

export function withUnit(text, units) {
  return /^-?[\d.]+$/.test(text) ? `${text} ${units === "us" ? "ft" : "m"}` : text;
}

/* The control points without one, and without those that are taped from it; the others keep naming the same points. */
export function withoutControl(control, gone) {
  const kept = [];
  const place = new Map(); // old number to new
  control.forEach((point, i) => {
    if (i === gone || point.tie?.points.some((number) => !place.has(number))) return;
    place.set(i + 1, kept.length + 1);
    const renamed = point.tie && { ...point.tie, points: point.tie.points.map((number) => place.get(number)) };
    kept.push(point.tie ? { ...point, tie: renamed } : point);
  });
  return kept;
}
