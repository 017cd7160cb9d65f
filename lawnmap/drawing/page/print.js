/* The print: the whole drawing with its names, and the areas below it; no tools. */

import { find } from "./elements.js";
import { outline } from "./geom.js";
import { title } from "./model.js";
import { latlng, spot } from "./spots.js";

const L = window.L;

export function wirePrint(model, board) {
  const names = L.layerGroup();
  let view = null;
  window.addEventListener("beforeprint", () => {
    const { map } = board;
    view = { centre: map.getCenter(), zoom: map.getZoom(), chosen: model.selected };
    model.select(null);
    find("print-title").textContent = model.sketch.name;
    document.body.classList.add("printing");
    map.invalidateSize({ animate: false, pan: false });
    const { shapes, paper } = model.sketch;
    const drawn = shapes.flatMap((shape) => outline(shape)).map(latlng);
    map.fitBounds(drawn.length > 1 ? L.latLngBounds(drawn).pad(0.05) : [[0, 0], [paper.high, paper.wide]], { animate: false });
    shapes.forEach((shape) => board.label(spot(L.latLngBounds(outline(shape).map(latlng)).getCenter()), title(shape), names));
    names.addTo(map);
  });
  window.addEventListener("afterprint", () => {
    document.body.classList.remove("printing");
    names.clearLayers().remove();
    board.map.invalidateSize({ animate: false, pan: false });
    board.map.setView(view.centre, view.zoom, { animate: false });
    model.select(view.chosen);
  });
}
