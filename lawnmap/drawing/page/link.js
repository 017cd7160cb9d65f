/* The line to the folder: every change is saved a moment later, one save at a time. */

const WAIT_MS = 30;

async function ask(path, options = {}) {
  const answer = await fetch(path, options);
  const held = await answer.json().catch(() => ({}));
  return { status: answer.status, held };
}

const JSON_TYPE = { "Content-Type": "application/json" };

export async function begin() {
  const { status, held } = await ask("/state");
  if (status !== 200) throw new Error(held.error ?? "the server does not answer");
  return held;
}

export class Link extends EventTarget {
  constructor(model, tag) {
    super();
    this.model = model;
    this.tag = tag;
    this.saved = model.sketch;
    this.busy = false;
    this.stopped = false;
    this.timer = 0;
    model.addEventListener("change", () => this.later());
    setInterval(() => fetch("/alive").catch(() => {}), 60_000);
    window.addEventListener("beforeunload", (event) => {
      if (this.model.sketch !== this.saved) event.preventDefault();
    });
  }

  later() {
    if (this.stopped) return;
    this.say("Saving …");
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.save(), WAIT_MS);
  }

  async save() {
    if (this.busy || this.stopped) return;
    clearTimeout(this.timer);
    this.busy = true;
    const sketch = this.model.sketch;
    try {
      const headers = { ...JSON_TYPE, "If-Match": this.tag };
      const { status, held } = await ask("/sketch", { method: "PUT", headers, body: JSON.stringify(sketch) });
      this.take(status, held, sketch);
    } catch {
      this.say("Not saved: the program has stopped. Save a copy, start it again, and open the copy there.", "bad");
      this.dispatchEvent(new Event("gone"));
      this.timer = setTimeout(() => this.save(), 3000);
    } finally {
      this.busy = false;
    }
    if (!this.stopped && this.saved === sketch && this.model.sketch !== sketch) this.later();
  }

  /* What the Save button does. */
  keep() {
    return this.save();
  }

  take(status, held, sketch) {
    if (status === 200) {
      this.tag = held.tag;
      this.saved = sketch;
      this.say("Saved");
      this.dispatchEvent(new CustomEvent("truth", { detail: held.truth }));
    } else if (status === 412) {
      this.stopped = true;
      this.theirs = held.tag;
      this.say(held.error, "bad");
      this.dispatchEvent(new Event("changed"));
    } else {
      this.say(`Not saved: ${held.error ?? status}`, "bad");
    }
  }

  /* The user has looked at both versions and wants this one. */
  keepMine() {
    this.tag = this.theirs;
    this.stopped = false;
    return this.save();
  }

  /* Have Python cut or join shapes. */
  async reshape(path, values) {
    const { status, held } = await ask(path, { method: "POST", headers: JSON_TYPE, body: JSON.stringify(values) });
    if (status !== 200) this.say(held.error ?? `It failed (${status}).`, "bad");
    return status === 200 ? held : null;
  }

  /* Wait until the folder has what the page has, but not for ever. */
  async settle() {
    for (let tries = 0; tries < 50 && this.model.sketch !== this.saved && !this.stopped; tries += 1) {
      await this.save();
      if (this.model.sketch !== this.saved) await new Promise((done) => { setTimeout(done, 100); });
    }
  }

  async plan() {
    await this.settle();
    return ask("/plan", { method: "POST", headers: JSON_TYPE, body: "{}" });
  }

  choices() {
    return ask("/choices");
  }

  async choose(section, values) {
    await this.settle();
    return ask("/choices", { method: "PUT", headers: JSON_TYPE, body: JSON.stringify({ section, values }) });
  }

  async stop() {
    await this.settle();
    await ask("/stop", { method: "POST", headers: JSON_TYPE, body: "{}" });
    this.stopped = true;
    this.saved = this.model.sketch;
  }

  say(text, mood = "") {
    this.dispatchEvent(new CustomEvent("say", { detail: { text, mood } }));
  }
}
