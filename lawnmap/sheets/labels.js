// Names on the map and numbers at the lanes, as many as there is room for at this zoom.

const LANE_NUMBER_GAP = 24;

function labelElement(lines, css) {
  const box = document.createElement("div");
  box.className = css;
  lines.forEach((line, i) => textIn(box, "span", line, i ? "second" : "first"));
  return box;
}

function overlap(a, b) {
  return a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
}

function startLabels(map, plan) {
  map.createPane("labels").style.zIndex = 640; // above the shapes, under the cards
  map.getPane("labels").style.pointerEvents = "none";
  const group = L.layerGroup().addTo(map);
  const measure = document.createElement("div"); // texts are measured in here
  measure.className = "measure";
  map.getContainer().appendChild(measure);

  function size(box) {
    measure.appendChild(box);
    const found = [box.offsetWidth, box.offsetHeight];
    measure.removeChild(box);
    return found;
  }

  function put(at, box, wide, tall, left) {
    const anchor = [left, tall / 2];
    const icon = L.divIcon({ className: "label-seat", html: box, iconSize: [wide, tall], iconAnchor: anchor });
    L.marker(at, { icon: icon, interactive: false, keyboard: false, pane: "labels" }).addTo(group);
  }

  function isOn(id) {
    const layer = layerOf(id);
    return layer && map.hasLayer(layer);
  }

  function* choicesOf(label, pixelsPerMetre) { // what it may say and how far its seat lies to the left
    for (const lines of [label.lines, label.lines.slice(0, 1), label.short ? [label.short] : []]) {
      const isShort = lines[0] === label.short;
      const box = labelElement(lines, "label label-" + label.kind + (isShort ? " badge" : ""));
      const [wide, tall] = size(box);
      if (label.kind === "landmark") {
        yield [box, wide, tall, -9];
        yield [box, wide, tall, wide + 9];
        return;
      }
      if (lines.length && (isShort || wide + 6 <= label.room_m * pixelsPerMetre)) {
        yield [box, wide, tall, wide / 2];
      }
    }
  }

  function placeNames(taken, pixelsPerMetre) {
    const shown = plan.labels.filter((label) => isOn(label.layer));
    for (const label of shown) {
      if (label.kind === "landmark") { // no word may hide a point
        const { x, y } = map.latLngToContainerPoint(label.at);
        taken.push([x - 6, y - 6, x + 6, y + 6]);
      }
    }
    for (const label of shown) {
      const { x, y } = map.latLngToContainerPoint(label.at);
      for (const [box, wide, tall, left] of choicesOf(label, pixelsPerMetre)) {
        const area = [x - left, y - tall / 2, x - left + wide, y + tall / 2];
        if (area[0] > 0 && area[2] < map.getSize().x && !taken.some((other) => overlap(area, other))) {
          taken.push(area);
          put(label.at, box, wide, tall, left);
          break;
        }
      }
    }
  }

  function placeNumbers(taken, pixelsPerMetre) {
    const seen = map.getBounds();
    for (const lanes of plan.lanes) {
      const gap = lanes.swath_m * pixelsPerMetre;
      const step = [1, 5, 10, 20, 50].find((every) => every * gap >= LANE_NUMBER_GAP) || 100;
      if (!isOn(lanes.layer)) {
        continue;
      }
      lanes.starts.forEach(function (at, i) {
        if ((i && (i + 1) % step) || !seen.contains(at)) {
          return;
        }
        const point = map.latLngToContainerPoint(at);
        const area = [point.x - 8, point.y - 7, point.x + 8, point.y + 7];
        if (!taken.some((other) => overlap(area, other))) {
          taken.push(area);
          put(at, labelElement([String(i + 1)], "label lane-number"), 16, 14, 8);
        }
      });
    }
  }

  function redraw() {
    group.clearLayers();
    const [[south, west], [north]] = plan.bounds;
    const foot = map.latLngToContainerPoint([south, west]);
    const head = map.latLngToContainerPoint([north, west]);
    const pixelsPerMetre = (foot.y - head.y) / plan.height_m;
    const taken = [];
    placeNames(taken, pixelsPerMetre);
    placeNumbers(taken, pixelsPerMetre);
  }

  map.on("moveend zoomend resize", redraw);
  return redraw;
}
