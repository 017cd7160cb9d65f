/* The grips of the chosen shape: corners to drag, half-way grips to add one, and one that moves the whole. */

import { title } from "./model.js";
import { SNAP_PX, latlng, middle, spot } from "./spots.js";

const L = window.L;
const MOST_GRIPS = 300;

export const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export class Grips {
  constructor(board) {
    this.board = board;
    this.group = L.layerGroup().addTo(board.map);
  }

  /* Area and side lengths of the chosen shape, grips to drag, half-way grips to add a corner. */
  render() {
    const { board, group } = this;
    group.clearLayers();
    const shape = board.model.current();
    if (!shape || board.drawing) return;
    board.measureLabels(shape, group);
    [shape.points, ...shape.holes].forEach((ring, number) => this.gripsOf(shape, ring, number));
    if (shape.form === "polygon" || shape.form === "line") this.moveGrip(shape);
  }

  /* A grip below the middle that takes the whole shape along. */
  moveGrip(shape) {
    const at = spot(L.latLngBounds(shape.points.map(latlng)).getCenter());
    at[1] -= 3 * SNAP_PX * this.board.perPixel();
    const name = `Move ${title(shape)}`;
    const icon = L.divIcon({ className: "grip move", iconSize: null });
    const marker = L.marker(latlng(at), { draggable: true, icon, keyboard: true, alt: name, title: name }).addTo(this.group);
    let moved = shape;
    marker.on("drag", () => {
      const [right, up] = spot(marker.getLatLng());
      moved = shifted(shape, right - at[0], up - at[1]);
      this.board.live(moved);
    });
    marker.on("dragend", () => this.board.model.edit(shape.id, { points: moved.points, holes: moved.holes }));
    const element = marker.getElement();
    element.setAttribute("aria-label", `${name}: arrow keys`);
    element.dataset.move = "";
    element.addEventListener("keydown", (event) => {
      const way = WAYS[event.key];
      if (!way) return;
      event.preventDefault();
      event.stopPropagation();
      const step = (event.shiftKey ? 10 : 1) * this.board.perPixel();
      const { points, holes } = shifted(shape, way[0] * step, way[1] * step);
      this.board.model.edit(shape.id, { points, holes });
      document.querySelector("[data-move]")?.focus();
    });
  }

  gripsOf(shape, ring, number) {
    const view = this.board.map.getBounds().pad(0.1);
    const shown = ring.length <= MOST_GRIPS ? ring : ring.filter((point) => view.contains(latlng(point)));
    if (shown.length > 3 * MOST_GRIPS) return;
    ring.forEach((point, i) => {
      if (shown !== ring && !view.contains(latlng(point))) return;
      this.grip(shape, number, i, point, false);
      if (shape.form !== "polygon" && (shape.form !== "line" || i === ring.length - 1)) return;
      const next = ring[(i + 1) % ring.length];
      if (this.board.wide(point, next)) this.grip(shape, number, i + 1, middle(point, next), true);
    });
  }

  grip(shape, number, i, at, isNew) {
    const name = isNew ? "Add a corner here" : `Corner ${i + 1} of ${title(shape)}`;
    const icon = L.divIcon({ className: isNew ? "grip half" : "grip", iconSize: null });
    const marker = L.marker(latlng(at), { draggable: true, icon, keyboard: true, alt: name, title: name }).addTo(this.group);
    const put = (point) => withPoint(shape, number, i, point, isNew);
    let moved = shape;
    marker.on("dragstart", () => this.board.layers.get(shape.id).layer.closeTooltip());
    marker.on("drag", () => {
      const found = this.board.snapped(spot(marker.getLatLng()), shape.id).point;
      moved = put(found);
      this.board.live(moved);
    });
    marker.on("dragend", () => this.board.model.edit(shape.id, { points: moved.points, holes: moved.holes }));
    if (!isNew) marker.on("contextmenu", (event) => (L.DomEvent.stop(event), this.dropCorner(shape, number, i)));
    const element = marker.getElement();
    element.setAttribute("aria-label", name);
    element.dataset.corner = `${number}:${i}:${isNew}`;
    element.addEventListener("keydown", (event) => this.gripKey(event, { shape, number, i, at, isNew }));
  }

  gripKey(event, { shape, number, i, at, isNew }) {
    const way = WAYS[event.key];
    if (!way && event.key !== "Delete" && event.key !== "Backspace") return;
    event.preventDefault();
    event.stopPropagation();
    if (!way) return void (isNew || this.dropCorner(shape, number, i));
    const step = (event.shiftKey ? 10 : 1) * this.board.perPixel();
    const moved = withPoint(shape, number, i, [at[0] + way[0] * step, at[1] + way[1] * step], isNew);
    this.board.model.edit(shape.id, { points: moved.points, holes: moved.holes });
    document.querySelector(`[data-corner="${number}:${i}:false"]`)?.focus();
  }

  dropCorner(shape, number, i) {
    const rings = [shape.points, ...shape.holes];
    const least = { polygon: 3, line: 2 }[shape.form] ?? Infinity;
    if (rings[number].length <= least) return;
    rings[number] = rings[number].filter((_, at) => at !== i);
    this.board.model.edit(shape.id, { points: rings[0], holes: rings.slice(1) });
  }
}

function withPoint(shape, number, i, point, isNew) {
  const rings = [shape.points, ...shape.holes].map((ring) => [...ring]);
  if (shape.form === "circle" && i === 0) {
    const [centre, edge] = shape.points; // the whole circle goes along with its centre
    rings[0][1] = [edge[0] + point[0] - centre[0], edge[1] + point[1] - centre[1]];
  }
  rings[number].splice(i, isNew ? 0 : 1, point);
  return { ...shape, points: rings[0], holes: rings.slice(1) };
}

function shifted(shape, right, up) {
  const [points, ...holes] = [shape.points, ...shape.holes].map((ring) => ring.map(([a, b]) => [a + right, b + up]));
  return { ...shape, points, holes };
}
