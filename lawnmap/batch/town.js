// The index map: draws every yard, and shows the figures of the one that is chosen.

(function () {
"use strict";

const INK = "#37423c";
const CHOSEN = "#b0124f";

function element(tag, text, css) {
  const made = document.createElement(tag);
  if (text) {
    made.textContent = text;
  }
  if (css) {
    made.className = css;
  }
  return made;
}

function cardOf(yard) {
  const card = element("div", "", "card");
  card.appendChild(element("h3", yard.name));
  const list = card.appendChild(element("dl"));
  for (const [name, value] of yard.card) {
    list.appendChild(element("dt", name));
    list.appendChild(element("dd", value));
  }
  if (yard.link) {
    const link = card.appendChild(element("p", "", "own")).appendChild(element("a", "Its own map and sheets"));
    link.href = yard.link;
  }
  for (const remark of yard.remarks) {
    card.appendChild(element("p", remark, "small"));
  }
  return card;
}

function drawYard(yard, colours, canvas) {
  if (!yard.zones) {
    return L.circleMarker(yard.at, { radius: 5, color: INK, weight: 1, fillColor: "#2a7d46", fillOpacity: 0.8, renderer: canvas });
  }
  const group = L.featureGroup();
  for (const [density, polygons] of yard.zones) {
    if (polygons.length) {
      L.polygon(polygons, { color: INK, weight: 1, fillColor: colours[density], fillOpacity: 1, smoothFactor: 0 }).addTo(group);
    }
  }
  return group;
}

function reach(shape) {
  return shape.getBounds ? shape.getBounds() : L.latLngBounds([shape.getLatLng()]);
}

function tieRows(show) {
  for (const button of document.querySelectorAll("button[data-zone]")) {
    button.title = "Show its figures";
    button.addEventListener("click", () => show(Number(button.dataset.zone)));
  }
}

function start() {
  const town = JSON.parse(document.getElementById("town").textContent);
  const placed = town.yards.map((yard, number) => [yard, number]).filter((pair) => pair[0].at);
  document.body.dataset.live = "yes";
  const map = L.map("map_lawn", { attributionControl: false, zoomControl: false, zoomSnap: 0.25, maxZoom: 23 });
  L.control.zoom({ zoomInTitle: "Zoom in", zoomOutTitle: "Zoom out" }).addTo(map);
  L.control.scale({ metric: town.metric, imperial: !town.metric, maxWidth: 140 }).addTo(map);
  const canvas = L.canvas({ padding: 0.3, tolerance: 6 });
  const shapes = new Map();
  const room = { maxWidth: Math.min(320, map.getSize().x - 70), minWidth: 220 };
  map.on("popupopen", () => map.getContainer().classList.add("carded"));
  map.on("popupclose", () => map.getContainer().classList.remove("carded"));
  const all = L.latLngBounds([]);
  function mark(shape, on) {
    const look = on ? { color: CHOSEN, weight: 3 } : { color: INK, weight: 1 };
    shape.setStyle(look);
    if (shape.bringToFront) {
      shape.bringToFront();
    }
  }
  for (const [yard, number] of placed) {
    const shape = drawYard(yard, town.colours, canvas).addTo(map);
    shape.bindPopup(() => cardOf(yard), room);
    shape.bindTooltip(element("span", yard.name, "user"), { sticky: true });
    shape.on("popupopen", () => mark(shape, true));
    shape.on("popupclose", () => mark(shape, false));
    shapes.set(number, shape);
    all.extend(yard.at);
    all.extend(reach(shape));
  }
  if (all.isValid()) {
    map.fitBounds(all, { padding: [24, 24], animate: false, maxZoom: 20 });
  } else {
    map.setView([0, 0], 1);
  }
  function show(number) {
    const shape = shapes.get(number);
    document.getElementById("map_lawn").scrollIntoView({ block: "center" });
    if (shape) {
      map.fitBounds(reach(shape), { padding: [90, 90], maxZoom: 19, animate: false });
      shape.openPopup();
    } else {
      map.openPopup(cardOf(town.yards[number]), map.getCenter(), room);
    }
  }
  tieRows(show);
  window.addEventListener("beforeprint", () => map.closePopup());
  document.body.dataset.ready = "yes";
}

start();
})();
