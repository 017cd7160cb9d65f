/* Put the parts of the page together. */

import { Board } from "./board.js";
import { Choices } from "./choices.js";
import { download, find } from "./elements.js";
import { Link, begin } from "./link.js";
import { Model } from "./model.js";
import { Panel } from "./panel.js";
import { wirePrint } from "./print.js";
import { wireQuestions } from "./questions.js";
import { Tools } from "./tools.js";

function wireTools(tools) {
  const buttons = [...document.querySelectorAll("[data-tool]")];
  buttons.forEach((button) => button.addEventListener("click", () => {
    tools.choose(button.dataset.tool);
    if (button.dataset.tool !== "select") find("sheet").focus({ preventScroll: true });
  }));
  find("kind").addEventListener("change", ({ target }) => {
    tools.kind = target.value;
    tools.choose("obstacle");
    if (target.value === "tree") chooseForm(tools, "circle");
  });
  document.querySelectorAll("[name=form]").forEach((radio) => radio.addEventListener("change", () => {
    tools.form = radio.value;
    tools.cancel();
  }));
  tools.addEventListener("tool", () => {
    buttons.forEach((button) => button.setAttribute("aria-pressed", String(button.dataset.tool === tools.what)));
    find("smooth").setAttribute("aria-pressed", String(tools.smoothFrom !== null));
  });
  tools.addEventListener("hint", ({ detail }) => {
    if (find("hint").textContent !== detail) find("hint").textContent = detail; // said once, not at every move
  });
  find("finish").addEventListener("click", () => tools.finish());
  find("curve").addEventListener("click", () => tools.curve());
  find("smooth").addEventListener("click", () => tools.smooth());
  find("typed").addEventListener("keydown", (event) => {
    if (event.key !== "Enter") return;
    event.preventDefault();
    find("typed").toggleAttribute("aria-invalid", !tools.typed(event.target.value));
    event.target.select();
  });
}

function chooseForm(tools, form) {
  tools.form = form;
  document.querySelector(`[name=form][value=${form}]`).checked = true;
}

function wireKeys(model, tools, link) {
  document.addEventListener("keydown", (event) => {
    const key = event.key.toLowerCase();
    if (event.ctrlKey || event.metaKey) {
      const act = { z: () => (event.shiftKey ? model.redo() : model.undo()), y: () => model.redo(), s: () => link.keep() }[key];
      if (!act || (event.target.matches("input") && key !== "s")) return;
      event.preventDefault();
      if (key === "z" && !event.shiftKey && tools.points.length) tools.back();
      else act();
      return;
    }
    if (event.target.matches("input, select, textarea") || document.querySelector("dialog[open]")) return;
    if (key === "escape") tools.points.length ? tools.cancel() : tools.choose("select");
    else if (key === "backspace" && tools.points.length) tools.back();
    else if (key === "f") tools.finish();
    else if (key === "c" && tools.points.length) tools.curve();
    else if (key === "s" && tools.board.drawing) tools.smooth();
    else if (key === "delete" && model.selected) model.remove(model.selected);
    else if ({ v: 1, k: 1, l: 1, o: 1, w: 1, m: 1 }[key]) tools.choose({ v: "select", k: "length", l: "lawn", o: "obstacle", w: "water", m: "landmark" }[key]);
  });
}

function wireFolder(model, link) {
  link.addEventListener("say", ({ detail }) => {
    find("status").textContent = detail.text;
    find("status").className = detail.mood;
  });
  link.addEventListener("changed", () => { find("conflict").hidden = false; });
  link.addEventListener("gone", () => { find("rescue").hidden = false; });
  link.addEventListener("truth", () => { find("rescue").hidden = true; });
  find("rescue").addEventListener("click", () => download("sketch.json", JSON.stringify(model.sketch), "application/json"));
  find("open-file").addEventListener("change", async ({ target }) => {
    const wrong = model.open(await target.files[0].text());
    if (wrong) link.say(wrong, "bad");
    target.value = "";
  });
  find("theirs").addEventListener("click", () => { link.saved = model.sketch; window.location.reload(); });
  find("mine").addEventListener("click", () => { find("conflict").hidden = true; link.keepMine(); });
  find("save").addEventListener("click", () => link.keep());
  find("save-top").addEventListener("click", () => link.keep());
  find("undo").addEventListener("click", () => model.undo());
  find("redo").addEventListener("click", () => model.redo());
  find("map-kind").addEventListener("change", ({ target }) => model.change({ map_kind: target.value || null }));
  find("units").addEventListener("change", ({ target }) => model.change({ units: target.value }));
  find("yard-name").addEventListener("change", ({ target }) => model.change({ name: target.value }));
  find("stop").addEventListener("click", async () => {
    await link.stop();
    link.say("Stopped. Everything is in the folder; you can close this page.");
  });
}

/* Cutting, joining and holes begin at the chosen shape and end in Python. */
function wireReshaping(model, tools, link, panel) {
  panel.addEventListener("tool", ({ detail }) => {
    tools.choose(detail);
    find("sheet").focus({ preventScroll: true });
  });
  tools.addEventListener("split", async ({ detail }) => {
    const shape = model.current();
    const held = shape && (await link.reshape("/cut", { ...shape, line: detail }));
    if (held) model.exchange(shape.id, held.shapes);
  });
  panel.addEventListener("join", async ({ detail }) => {
    const held = await link.reshape("/join", [model.current(), model.shape(detail)]);
    if (held) model.join(held.shape, detail);
  });
  model.addEventListener("select", () => {
    if (model.selected && tools.what !== "select" && !tools.points.length) tools.choose("select");
  });
}

function wirePlan(model, link, board, tools) {
  const choices = new Choices(link);
  choices.load();
  model.addEventListener("change", () => choices.outdated());
  tools.addEventListener("tool", () => tools.what !== "select" && choices.showing && choices.showMap(false));
  find("plan").addEventListener("click", () => choices.plan());
  choices.addEventListener("map", ({ detail }) => {
    find("map").hidden = !detail;
    find("sheet").hidden = find("hint").hidden = detail;
    if (detail) find("map").src = "/map";
    else board.map.invalidateSize();
  });
}

async function start() {
  const held = await begin();
  const model = new Model(held.sketch);
  const board = new Board(model, held.colours);
  const tools = new Tools(model, board);
  const panel = new Panel(model, held.colours);
  const link = new Link(model, held.tag);
  const show = (truth) => {
    model.fit = truth.fit?.matrix ?? null;
    board.troubles = new Set(truth.troubles.map(({ shape }) => shape));
    board.stands = truth.stands;
    panel.showTruth(truth);
    board.render();
  };
  let waiting = 0;
  const draw = () => {
    find("units").value = model.sketch.units;
    find("yard-name").value = model.sketch.name;
    board.render();
    clearTimeout(waiting); // the Tab key that ends a change first goes on to its goal
    waiting = setTimeout(() => panel.render());
  };
  model.addEventListener("change", draw);
  model.addEventListener("select", draw);
  link.addEventListener("truth", ({ detail }) => show(detail));
  board.lay(model.sketch.paper, held.paper, held.imagery);
  wireTools(tools);
  wireQuestions(tools, model);
  wireKeys(model, tools, link);
  wireFolder(model, link);
  wireReshaping(model, tools, link, panel);
  wirePlan(model, link, board, tools);
  wirePrint(model, board);
  find("folder").textContent = held.folder;
  show(held.truth);
  draw();
  tools.choose(model.sketch.shapes.length ? "select" : held.truth.fit ? "lawn" : "length");
  document.body.dataset.ready = "true";
}

start().catch((fault) => {
  document.getElementById("status").textContent = `The page cannot start: ${fault.message}`;
  document.getElementById("status").className = "bad";
});
