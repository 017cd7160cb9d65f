/* The choices of the job file as forms, and the plan that is made of them. */

import { find, make, table } from "./elements.js";

const HEADS = { "": "What to leave out", seed: "Seed", fertilizer: "Fertilizer", rig: "Spreader or rig, and how it goes", spreader: "How it throws" };

const words = (key) => {
  const text = key.replace(/[._]/g, " ");
  return text[0].toUpperCase() + text.slice(1);
};

export class Choices extends EventTarget {
  constructor(link) {
    super();
    Object.assign(this, { link, planned: false, showing: false });
    find("show-map").addEventListener("click", () => this.showMap(!this.showing));
  }

  async load() {
    const { status, held } = await this.link.choices();
    if (status === 200) this.render(held.sections);
    else find("choices-said").textContent = held.error ?? "The choices cannot be read.";
  }

  render(sections) {
    find("choices").replaceChildren(...sections.map((section) => this.section(section)));
  }

  section({ section, fields }) {
    const box = make("details", { "data-section": section, open: section === "seed" }, make("summary", {}, HEADS[section]));
    box.append(...fields.filter((one) => one.first).map((one) => this.field(section, one)));
    const others = fields.filter((one) => !one.first).map((one) => this.field(section, one));
    if (others.length) box.append(make("details", { class: "more" }, make("summary", {}, "More"), ...others));
    box.append(make("p", { class: "bad", role: "alert", "data-fault": "" }));
    return box;
  }

  field(section, one) {
    const id = `choice-${section}-${one.key}`.replace(/\W/g, "-");
    const input = this.input(id, one);
    const about = make("p", { class: "about", id: `${id}-about` }, one.about);
    const fault = make("p", { class: "bad", role: "alert", id: `${id}-fault`, "data-fault": one.key });
    input.setAttribute("aria-describedby", `${id}-fault ${id}-about`);
    input.addEventListener("change", () => this.send(section, one.key));
    const label = one.kind === "many" ? make("span", {}, words(one.key)) : make("label", { for: id }, words(one.key));
    const row = make("div", { class: `choice ${one.kind}`, "data-key": one.key, "data-kind": one.kind }, label, input, fault, about);
    if (one.suggestions.length) {
      input.setAttribute("list", `${id}-list`);
      row.append(make("datalist", { id: `${id}-list` }, ...one.suggestions.map((text) => make("option", { value: text }))));
    }
    return row;
  }

  input(id, one) {
    const value = one.value ?? one.default;
    if (one.kind === "one") {
      return make("select", { id }, ...one.options.map((text) => make("option", { selected: text === value }, text)));
    }
    if (one.kind === "flag") return make("input", { id, type: "checkbox", checked: value === true });
    if (one.kind === "many") {
      const box = (text) => make("input", { type: "checkbox", value: text, checked: value.includes(text) });
      return make("div", { id, role: "group", "aria-label": words(one.key) }, ...one.options.map((text) => make("label", {}, box(text), ` ${text}`)));
    }
    return make("input", { id, value: one.value ?? "", placeholder: one.default || "none", autocomplete: "off", spellcheck: "false" });
  }

  /* What was typed and not accepted goes along each time, since one value may need another. */
  async send(section, key) {
    const box = document.querySelector(`[data-section="${section}"]`);
    box.querySelector(`[data-key="${key}"]`).dataset.typed = "";
    const rows = [...box.querySelectorAll("[data-typed]")];
    const { status, held } = await this.link.choose(section, Object.fromEntries(rows.map((row) => [row.dataset.key, typed(row)])));
    this.fault(box, status === 200 ? null : held);
    find("choices-said").textContent = status === 200 ? "Saved in job.toml." : "Not saved: see the field that is marked.";
    if (status !== 200) return;
    rows.forEach((row) => delete row.dataset.typed);
    this.outdated();
  }

  fault(box, held) {
    box.querySelectorAll("[data-fault]").forEach((one) => { one.textContent = ""; });
    box.querySelectorAll("[aria-invalid]").forEach((one) => one.removeAttribute("aria-invalid"));
    if (!held) return;
    const row = held.key ? box.querySelector(`[data-key="${held.key}"]`) : null;
    (row ?? box).querySelector(row ? "[data-fault]" : ":scope > [data-fault]").textContent = held.error ?? "It failed.";
    row?.querySelector("input, select")?.setAttribute("aria-invalid", "true");
    if (row?.closest(".more")) row.closest(".more").open = true;
  }

  async plan() {
    find("plan-said").textContent = "Planning …";
    find("plan").disabled = true;
    const { status, held } = await this.link.plan().catch(() => ({ held: {} }));
    find("plan").disabled = false;
    this.planned = status === 200;
    find("plan-said").textContent = this.planned ? "Planned." : held.error ?? "The program does not answer.";
    find("show-map").hidden = find("map-link").hidden = !this.planned;
    find("outcome").replaceChildren(...(this.planned ? this.outcome(held) : []));
    this.showMap(this.planned);
    find("plan-title").scrollIntoView();
  }

  outdated() {
    if (!this.planned) return;
    this.planned = false;
    find("plan-said").textContent = "The drawing or a choice has changed since; plan again.";
  }

  showMap(shown) {
    this.showing = shown;
    find("show-map").setAttribute("aria-pressed", String(shown));
    find("show-map").textContent = shown ? "Back to the drawing" : "Show the map";
    this.dispatchEvent(new CustomEvent("map", { detail: shown }));
  }

  outcome({ materials, passes, walk, even, gate, cautions, findings }) {
    const amounts = materials.flatMap(({ name, total, buy, zones }) => [
      make("h3", {}, `${words(name)}: ${total}`),
      ...(buy ? [make("p", {}, `Buy ${buy}.`)] : []),
      table(["Zone", "Amount", "Rate"], zones.map(({ zone, amount, rate, how }) => [zone, amount, how ? `${rate}, ${how}` : rate])),
    ]);
    const rows = passes.map((one) => [one.zone, one.pass, `${one.lanes} at ${one.swath}`, one.length]);
    const lanes = walk ? [make("h3", {}, `Lanes: ${walk}`), table(["Zone", "Pass", "Lanes", "Length"], rows)] : [];
    const list = (kind, items) => (items.length ? [make("ul", { class: kind }, ...items.map((text) => make("li", {}, text)))] : []);
    return [
      ...amounts,
      ...lanes,
      ...(even ? [make("p", {}, `${words(even)}.`)] : []),
      ...list("gate", gate.map((line) => `Gate: ${line}`)),
      ...list("cautions", cautions),
      ...list("findings", findings.map(({ text, where, code }) => `${where ? `${where}: ` : ""}${text} [${code}]`)),
    ];
  }
}

function typed(row) {
  if (row.dataset.kind === "flag") return row.querySelector("input").checked;
  if (row.dataset.kind === "many") return [...row.querySelectorAll("input:checked")].map((box) => box.value);
  return row.querySelector("input, select").value;
}
