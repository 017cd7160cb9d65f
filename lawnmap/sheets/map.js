// Joins the parts: fits the map, adds its controls, ties the check boxes to the layers.

const images = {}; // layers that are pictures, by name

function addImages(plan) {
  for (const image of plan.images) {
    const drawn = document.querySelector('.still [data-layer="' + image.layer + '"] image');
    const look = { pane: image.layer, className: "pixels", interactive: false };
    images[image.layer] = L.imageOverlay(drawn.getAttribute("href"), image.bounds, look);
  }
}

function layerOf(id) {
  return window["geo_json_" + id] || images[id];
}

function allLayers(plan) {
  return plan.layers.map((id) => [id, layerOf(id)]).filter((pair) => pair[1]);
}

function fitYard(map, plan) {
  map.fitBounds(plan.bounds, { padding: [18, 18], animate: false });
}

function addNorth(map) {
  const control = L.control({ position: "topright" });
  control.onAdd = function () {
    const box = document.getElementById("north").cloneNode(true);
    box.removeAttribute("id");
    box.classList.add("north");
    return box;
  };
  control.addTo(map);
}

function addFit(map, plan) {
  addButton(map, "fit", "Show the whole yard", () => fitYard(map, plan));
}

function addButton(map, kind, words, act) {
  const control = L.control({ position: "topleft" });
  let button;
  control.onAdd = function () {
    const box = L.DomUtil.create("div", "leaflet-bar tool");
    button = L.DomUtil.create("button", "tool-" + kind, box);
    button.type = "button";
    button.title = words;
    button.setAttribute("aria-label", words);
    button.appendChild(document.getElementById("icon-" + kind).content.cloneNode(true));
    L.DomEvent.disableClickPropagation(box);
    L.DomEvent.on(button, "click", act);
    return box;
  };
  control.addTo(map);
  return button;
}

function showLayer(map, id, on) {
  const layer = layerOf(id);
  if (layer) {
    if (on) {
      layer.addTo(map);
    } else {
      layer.remove();
    }
  }
  for (const part of document.querySelectorAll('.still [data-layer="' + id + '"]')) {
    if (on) {
      part.removeAttribute("display");
    } else {
      part.setAttribute("display", "none");
    }
  }
}

function tieBoxes(map, redraw) {
  for (const box of document.querySelectorAll("input[data-switch]")) {
    box.addEventListener("change", function () {
      showLayer(map, box.dataset.switch, box.checked);
      redraw();
    });
    showLayer(map, box.dataset.switch, box.checked); // a reloaded page may remember its boxes
  }
}

function tieRows(map) {
  for (const button of document.querySelectorAll("button[data-zone]")) {
    button.addEventListener("click", function () {
      layerOf("zones").eachLayer(function (shape) {
        if (shape.feature.id === button.dataset.zone) {
          document.getElementById("map_lawn").scrollIntoView({ block: "center" });
          map.fitBounds(shape.getBounds(), { padding: [60, 60], maxZoom: map.getZoom() + 3, animate: false });
          shape.openPopup();
        }
      });
    });
  }
}

function start() {
  const plan = JSON.parse(document.getElementById("plan").textContent);
  const map = window.map_lawn;
  map.setMinZoom(plan.zooms[0]).setMaxZoom(plan.zooms[1]);
  L.control.zoom({ zoomInTitle: "Zoom in", zoomOutTitle: "Zoom out" }).addTo(map);
  L.control.scale({ metric: plan.metric, imperial: !plan.metric, maxWidth: 140 }).addTo(map);
  if (map.attributionControl) {
    map.attributionControl.setPrefix(false);
  }
  addImages(plan);
  addFit(map, plan);
  addTape(map, plan);
  addNorth(map);
  fitYard(map, plan);
  tieCards(map, plan);
  const redraw = startLabels(map, plan);
  tieBoxes(map, redraw);
  tieRows(map);
  startWalk(map, plan);
  followWays();
  unfoldForPrint();
  redraw();
  window.addEventListener("beforeprint", () => map.closePopup());
  document.body.dataset.ready = "yes";
}

start();
