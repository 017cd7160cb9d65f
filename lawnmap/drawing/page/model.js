/* The sketch as it is, and every step to undo: values are replaced, never changed. */

const STEPS = 200;

export class Model extends EventTarget {
  constructor(sketch) {
    super();
    this.sketch = sketch;
    this.selected = null;
    this.fit = null;
    this.past = [];
    this.future = [];
    this.next = 1 + Math.max(0, ...sketch.shapes.map((shape) => Number(shape.id.replace(/\D/g, "")) || 0));
  }

  change(values) {
    this.past = [...this.past, this.sketch].slice(-STEPS);
    this.future = [];
    this.sketch = { ...this.sketch, ...values };
    this.tell("change");
  }

  undo() {
    if (!this.past.length) return;
    this.future.push(this.sketch);
    this.sketch = this.past.pop();
    this.tell("change");
  }

  redo() {
    if (!this.future.length) return;
    this.past.push(this.sketch);
    this.sketch = this.future.pop();
    this.tell("change");
  }

  shape(id) {
    return this.sketch.shapes.find((shape) => shape.id === id) ?? null;
  }

  current() {
    return this.shape(this.selected);
  }

  select(id) {
    this.selected = id;
    this.tell("select");
  }

  add(values) {
    const blank = { kind: "", holes: [], density: null, cover_percent: null, slope_percent: 0 };
    const stem = values.kind || values.role;
    const alike = this.sketch.shapes.filter((shape) => (shape.kind || shape.role) === stem).length;
    const shape = { ...blank, id: `s${this.next}`, name: `${stem} ${alike + 1}`, ...values };
    this.next += 1;
    this.selected = shape.id;
    this.change({ shapes: [...this.sketch.shapes, shape] });
  }

  edit(id, values) {
    this.change({
      shapes: this.sketch.shapes.map((shape) => (shape.id === id ? { ...shape, ...values } : shape)),
    });
  }

  /* Put the parts of a shape in its place, so that the order of the zones stays. */
  exchange(id, parts) {
    const own = parts.map((part) => (part.id ? part : { ...part, id: `s${this.next++}` }));
    this.change({ shapes: this.sketch.shapes.flatMap((shape) => (shape.id === id ? own : [shape])) });
  }

  join(whole, other) {
    const shapes = this.sketch.shapes.filter((shape) => shape.id !== other);
    this.change({ shapes: shapes.map((shape) => (shape.id === whole.id ? whole : shape)) });
  }

  /* Take over what was drawn elsewhere: a yard file of the phone's, or a copy of a sketch. Say what is wrong with it. */
  open(text) {
    let found = null;
    try {
      found = JSON.parse(text);
    } catch {
      return "That is no file that was saved by this page.";
    }
    const { shapes, known, control, name, units, map_kind: kind, paper } = found?.lawnmap?.sketch ?? found ?? {};
    if (![shapes, known, control].every(Array.isArray) || !paper || !shapes.every(isShape)) return "That is no file that was saved by this page.";
    const { wide, high } = this.sketch.paper;
    if (paper.wide !== wide || paper.high !== high) return "That was drawn on another sheet: open the page with the same picture or size.";
    this.change({ shapes, known, control, name, units, map_kind: kind ?? null });
    return "";
  }

  /* Where two zones overlap, the earlier one has the ground: let this one be the first. */
  first(id) {
    const shape = this.shape(id);
    this.change({ shapes: [shape, ...this.sketch.shapes.filter((other) => other !== shape)] });
  }

  remove(id) {
    if (this.selected === id) this.selected = null;
    this.change({ shapes: this.sketch.shapes.filter((shape) => shape.id !== id) });
  }

  addKnown(ends, length) {
    this.change({ known: [...this.sketch.known, { ends, length }] });
  }

  tell(what) {
    if (this.selected && !this.current()) this.selected = null;
    this.dispatchEvent(new Event(what));
  }
}

function isShape({ id, role, form, points, holes }) {
  const isRing = (ring) => Array.isArray(ring) && ring.every((point) => Array.isArray(point) && point.length === 2 && point.every(Number.isFinite));
  return typeof id === "string" && ["lawn", "obstacle", "water", "landmark"].includes(role)
    && ["polygon", "circle", "line", "point"].includes(form) && [points, ...holes].every(isRing) && points.length > 0;
}

/* What people call a shape. */
export function title(shape) {
  return shape.name || shape.kind || shape.role;
}
