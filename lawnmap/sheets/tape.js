// The tape: click or tap from point to point and read the length.

function toMetres(plan, latlng) {
  return plan.metres.map((row) => row[0] * latlng.lng + row[1] * latlng.lat + row[2]);
}

function tapeLength(plan, points) {
  let total = 0;
  for (let i = 1; i < points.length; i += 1) {
    const [east0, north0] = toMetres(plan, points[i - 1]);
    const [east1, north1] = toMetres(plan, points[i]);
    total += Math.hypot(east1 - east0, north1 - north0);
  }
  return total;
}

function tapeText(plan, length) {
  if (plan.metric) {
    return length.toFixed(2) + " m";
  }
  const inches = Math.round(length / 0.0254); // the international inch is 25.4 mm
  return Math.floor(inches / 12) + " ft " + (inches % 12) + " in";
}

function addTape(map, plan) {
  const words = { off: "Measure with the tape", on: "Put the tape away" };
  const line = L.polyline([], { color: "#b0124f", weight: 3, interactive: false, pane: "markerPane" });
  const ends = L.layerGroup();
  const readout = document.getElementById("tape");
  let points = [];
  const button = addButton(map, "tape", words.off, () => turn(button.getAttribute("aria-pressed") !== "true"));
  button.setAttribute("aria-pressed", "false");

  function show() {
    line.setLatLngs(points);
    ends.clearLayers();
    for (const point of points) {
      L.circleMarker(point, { radius: 4, color: "#b0124f", fillColor: "#fff", fillOpacity: 1, interactive: false, pane: "markerPane" }).addTo(ends);
    }
    readout.textContent = points.length > 1 ? tapeText(plan, tapeLength(plan, points)) : "Tap from point to point";
  }

  function add(event) {
    points.push(event.latlng);
    show();
  }

  function turn(on) {
    button.setAttribute("aria-pressed", String(on));
    button.title = on ? words.on : words.off;
    button.setAttribute("aria-label", button.title);
    map.getContainer().classList.toggle("taping", on);
    readout.hidden = !on;
    points = [];
    show();
    map.closePopup();
    if (on) {
      map.doubleClickZoom.disable();
      map.on("click", add);
      line.addTo(map);
      ends.addTo(map);
    } else {
      map.doubleClickZoom.enable();
      map.off("click", add);
      line.remove();
      ends.remove();
    }
  }

  document.addEventListener("keydown", function (event) {
    if (event.key === "Escape" && button.getAttribute("aria-pressed") === "true") {
      turn(false);
    }
  });
}
