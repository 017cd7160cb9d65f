/* The sheet on the screen: paper, shapes, the grips of the chosen one, and the draft being drawn. */

import { find } from "./elements.js";
import * as geom from "./geom.js";
import { Grips } from "./grips.js";
import { title } from "./model.js";
import { SNAP_PX, latlng, middle, spot } from "./spots.js";

const L = window.L;
export class Board {
  constructor(model, colours) {
    this.model = model;
    this.colours = colours;
    this.layers = new Map();
    this.troubles = new Set();
    this.stands = {}; // the class that follows from a percent cover
    this.drawing = false;
    this.map = L.map("sheet", {
      crs: L.CRS.Simple, minZoom: -8, maxZoom: 8, zoomSnap: 0.25, zoomDelta: 0.5, keyboard: false,
      doubleClickZoom: false, attributionControl: false, tapHold: true, zoomControl: true, fadeAnimation: false,
    });
    // what cuts into the lawn lies on top of it, whichever was drawn first
    ["lawn", "obstacle", "water", "landmark"].forEach((role, i) => { this.map.createPane(role).style.zIndex = 401 + i; });
    this.map.createPane("draft").style.zIndex = 420;
    this.handles = new Grips(this);
    this.draft = L.layerGroup().addTo(this.map);
    this.lengths = L.layerGroup().addTo(this.map);
  }

  lay(paper, picture, imagery) {
    const bounds = [[0, 0], [paper.high, paper.wide]];
    if (imagery) this.tiles(imagery);
    if (picture) L.imageOverlay(picture, bounds, { alt: "The sheet that you draw on" }).addTo(this.map);
    else this.grid(paper, imagery);
    this.map.setMaxBounds(L.latLngBounds(bounds).pad(1));
    this.map.fitBounds(bounds);
  }

  /* Tiles of imagery, each in its box; their servers want to know that a page asks, so it says its address. */
  tiles({ tiles, credit }) {
    for (const { address, box } of tiles) {
      const picture = Object.assign(document.createElement("img"), { referrerPolicy: "origin", src: address, alt: "" });
      L.imageOverlay(picture, box, { pane: "tilePane", className: "tile" }).addTo(this.map);
    }
    const said = find("credit");
    said.textContent = `Imagery: ${credit}`;
    said.hidden = false;
  }

  grid({ wide, high }, clear) {
    const foot = this.model.sketch.units === "us" ? 0.3048 : 0.25;
    let step = foot * (foot === 0.25 ? 4 : 5);
    while (Math.max(wide, high) / step > 60) step *= 2;
    const lines = [];
    for (let right = 0; right <= wide + 1e-6; right += step) lines.push([[0, right], [high, right]]);
    for (let up = 0; up <= high + 1e-6; up += step) lines.push([[up, 0], [up, wide]]);
    L.rectangle([[0, 0], [high, wide]], { className: clear ? "clear" : "blank", stroke: false, interactive: false }).addTo(this.map);
    L.polyline(lines, { className: "grid", weight: 1, interactive: false }).addTo(this.map);
  }

  style(shape) {
    const colour = {
      lawn: this.colours.density[shape.density ?? this.stands[shape.id] ?? "thin"],
      obstacle: this.colours.obstacle[shape.kind] ?? this.colours.obstacle.other,
      water: this.colours.water,
    }[shape.role] ?? "#1f2a24";
    const chosen = shape.id === this.model.selected;
    const wrong = this.troubles.has(shape.id);
    return {
      color: wrong ? "#b3261e" : chosen ? "#0b57d0" : "#1f2a24",
      weight: chosen || wrong ? 4 : 2,
      dashArray: wrong ? "6 6" : null,
      fillColor: colour,
      fillOpacity: shape.role === "lawn" ? 0.55 : 0.7,
      ...(shape.role === "water" ? { color: chosen ? "#0b57d0" : this.colours.water, weight: 5 } : {}),
    };
  }

  layerOf(shape) {
    const options = { ...this.style(shape), smoothFactor: 0, bubblingMouseEvents: true, pane: shape.role };
    if (shape.form === "point") return L.circleMarker(latlng(shape.points[0]), { ...options, radius: 7 });
    if (shape.form === "line") return L.polyline(shape.points.map(latlng), { ...options, fill: false });
    return L.polygon([geom.outline(shape), ...shape.holes].map((ring) => ring.map(latlng)), options);
  }

  render() {
    const kept = new Map();
    for (const shape of this.model.sketch.shapes) {
      const old = this.layers.get(shape.id);
      if (old?.shape === shape) old.layer.setStyle(this.style(shape));
      else old?.layer.remove();
      kept.set(shape.id, old?.shape === shape ? old : { shape, layer: this.place(shape) });
    }
    this.layers.forEach(({ layer }, id) => kept.has(id) || layer.remove());
    this.layers = kept;
    // where two zones overlap, the earlier one has the ground, so it lies on top
    this.model.sketch.shapes.forEach(({ id, role }) => role === "lawn" && kept.get(id).layer.bringToBack());
    this.renderKnown();
    this.renderGrips();
  }

  place(shape) {
    const layer = this.layerOf(shape).addTo(this.map);
    layer.on("click", (event) => {
      if (this.drawing) return;
      L.DomEvent.stopPropagation(event);
      this.model.select(shape.id);
    });
    layer.bindTooltip(() => document.createTextNode(title(shape)), { sticky: true });
    layer.on("tooltipopen", () => this.drawing && layer.closeTooltip());
    return layer;
  }

  renderKnown() {
    this.lengths.clearLayers();
    for (const known of this.model.sketch.known) {
      L.polyline(known.ends.map(latlng), { color: "#8c2d62", weight: 3, dashArray: "2 6", interactive: false }).addTo(this.lengths);
      this.label(middle(...known.ends), known.length, this.lengths, "known");
    }
    this.model.sketch.control.forEach(({ at }, i) => {
      L.circleMarker(latlng(at), { radius: 4, color: "#8c2d62", fillOpacity: 1, interactive: false }).addTo(this.lengths);
      this.label(at, `${i + 1}`, this.lengths, "known side");
    });
  }

  label(at, text, group, kind = "") {
    const box = document.createElement("span");
    box.textContent = text;
    L.marker(latlng(at), { interactive: false, keyboard: false, icon: L.divIcon({ html: box, className: `label ${kind}`, iconSize: null }) }).addTo(group);
    return box;
  }

  renderGrips() {
    this.handles.render();
  }

  live(shape) {
    const { layer } = this.layers.get(shape.id);
    if (shape.form === "point") layer.setLatLng(latlng(shape.points[0]));
    else if (shape.form === "line") layer.setLatLngs(shape.points.map(latlng));
    else layer.setLatLngs([geom.outline(shape), ...shape.holes].map((ring) => ring.map(latlng)));
    if (this.areaBox && this.model.fit && shape.form !== "line") {
      this.areaBox.textContent = geom.areaText(geom.areaOf(shape, this.model.fit), this.model.sketch.units);
    }
  }

  measureLabels(shape, group) {
    const { fit, sketch } = this.model;
    this.areaBox = null;
    if (!fit || shape.form === "point") return;
    const ring = shape.points;
    const count = shape.form === "polygon" ? ring.length : ring.length - 1;
    if (count <= 200) {
      for (let i = 0; i < count; i += 1) {
        const [a, b] = [ring[i], ring[(i + 1) % ring.length]];
        if (this.wide(a, b)) this.label(middle(a, b), geom.lengthText(geom.lengthBetween(a, b, fit), sketch.units), group, "side");
      }
    }
    if (shape.form === "line" || ring.length < 2) return;
    const box = L.latLngBounds(geom.outline(shape).map(latlng)).getCenter();
    this.areaBox = this.label(spot(box), geom.areaText(geom.areaOf(shape, fit), sketch.units), group, "area");
  }

  /* Sheet units under one pixel of the screen. */
  perPixel() {
    return 1 / this.map.getZoomScale(this.map.getZoom(), 0);
  }

  snapped(point, except = null, line = null) {
    const rings = this.model.sketch.shapes
      .filter((shape) => shape.id !== except && shape.form !== "circle")
      .flatMap((shape) => [shape.points, ...shape.holes].map((points) => ({ points, closed: shape.form === "polygon" })));
    return geom.snap(point, rings, SNAP_PX * this.perPixel(), line);
  }

  /* Whether an edge is long enough on the screen for a label and a grip. */
  wide(a, b) {
    return geom.distance(a, b) > 4 * SNAP_PX * this.perPixel();
  }

  near(a, b) {
    return geom.distance(a, b) < SNAP_PX * this.perPixel();
  }

  showDraft(points, form, hint) {
    this.draft.clearLayers();
    if (!points.length) return;
    const crossed = form === "polygon" ? geom.crossings(points, points.length > 3).flat() : [];
    const options = { color: crossed.length ? "#b3261e" : "#0b57d0", weight: 3, interactive: false, pane: "draft" };
    const spots = points.map(latlng);
    (form === "polygon" && points.length > 2 ? L.polygon(spots, options) : L.polyline(spots, options)).addTo(this.draft);
    L.circleMarker(spots[0], { ...options, radius: 6, fillOpacity: 1, fillColor: "#ffffff" }).addTo(this.draft);
    const { fit, sketch } = this.model;
    if (points.length > 1 && fit) {
      const [a, b] = points.slice(-2);
      this.label(middle(a, b), geom.lengthText(geom.lengthBetween(a, b, fit), sketch.units), this.draft, "side");
      if (points.length > 2 && form === "polygon") {
        const area = geom.areaOf({ form: "polygon", points, holes: [] }, fit);
        this.label(spot(L.latLngBounds(spots).getCenter()), geom.areaText(area, sketch.units), this.draft, "area");
      }
    }
    if (hint) L.circleMarker(spots[spots.length - 1], { radius: 9, color: "#8c2d62", fill: false, interactive: false, pane: "draft" }).addTo(this.draft);
  }
}
