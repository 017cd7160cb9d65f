// The walk: one lane after the other on the map, with the way to it, what to set for and what to load.

const WALK = { lane: "#0b57d0", case: "#ffffff", way: "#5b6670", pace: 1100, least: 44 }; // milliseconds, pixels

function walkWords(walk, step, count, number) {
  const parts = [step.name + (step.name.startsWith("lane") ? " of " + step.of : ""), step.long];
  if (walk.texts[step.set]) {
    parts.push("set for " + walk.texts[step.set]);
  }
  if (step.aim !== undefined) {
    parts.push("aim for " + walk.texts[step.aim]);
  }
  return {
    where: "Step " + number + " of " + count + ": " + walk.texts[step.where],
    what: parts.join(", "),
    first: step.fill ? "First " + step.fill : "",
    then: step.then ? "After this go and fill the hopper" : number === count ? "Last one: done" : "",
  };
}

function chevron(map, line) { // a head at the end of a lane, of the same size at every zoom
  const tip = map.latLngToLayerPoint(line[line.length - 1]);
  const from = map.latLngToLayerPoint(line[line.length - 2]);
  const far = Math.hypot(tip.x - from.x, tip.y - from.y) || 1;
  const ahead = [(tip.x - from.x) / far, (tip.y - from.y) / far];
  return [1, 0, -1].map(function (side) {
    const back = side ? 11 : 0;
    const x = tip.x - ahead[0] * back - ahead[1] * 7 * side;
    const y = tip.y - ahead[1] * back + ahead[0] * 7 * side;
    return map.layerPointToLatLng([x, y]);
  });
}

function startWalk(map, plan) {
  const walk = plan.walk;
  const panel = document.querySelector(".walker");
  if (!walk || !panel) {
    return;
  }
  const part = (name) => document.getElementById("walk-" + name);
  const slide = part("step");
  const out = part("words");
  map.createPane("walk").style.zIndex = 630; // over the lanes, under the names
  const group = L.layerGroup().addTo(map);
  let outing = walk.outings[0];
  let timer = 0;

  function draw(number) {
    group.clearLayers();
    if (!number) {
      return;
    }
    const step = outing.steps[number - 1];
    const line = walk.lines[step.line];
    const add = function (points, look) {
      L.polyline(points, Object.assign({ interactive: false, pane: "walk" }, look)).addTo(group);
    };
    if (step.way !== undefined) {
      add(walk.lines[step.way], { color: WALK.case, weight: 6, opacity: 0.9 });
      add(walk.lines[step.way], { color: WALK.way, weight: 3, dashArray: "3 6" });
    }
    add(line, { color: WALK.case, weight: 10 });
    add(line, { color: WALK.lane, weight: 5 });
    add(chevron(map, line), { color: WALK.case, weight: 8 });
    add(chevron(map, line), { color: WALK.lane, weight: 4 });
    const dot = { radius: 6, color: WALK.case, weight: 2, fillColor: WALK.lane, fillOpacity: 1 };
    L.circleMarker(line[0], Object.assign({ interactive: false, pane: "walk" }, dot)).addTo(group);
  }

  function keepInView(step) {
    const bounds = L.latLngBounds(walk.lines[step.line]);
    const [head, foot] = [bounds.getNorthEast(), bounds.getSouthWest()].map((at) => map.latLngToLayerPoint(at));
    const closer = head.distanceTo(foot) < WALK.least ? 1.5 : 0; // too short to be seen
    if (closer || !map.getBounds().contains(bounds)) {
      map.setView(bounds.getCenter(), Math.min(map.getBoundsZoom(bounds.pad(0.2)), map.getZoom() + closer), {
        animate: false,
      });
    }
  }

  function tell(number) {
    const count = outing.steps.length;
    out.textContent = "";
    if (!number) {
      textIn(out, "span", "Step through the walk, lane by lane.", "walk-where");
      slide.setAttribute("aria-valuetext", "not begun");
      return;
    }
    const words = walkWords(walk, outing.steps[number - 1], count, number);
    slide.setAttribute("aria-valuetext", words.what + ". " + words.where);
    textIn(out, "span", words.where, "walk-where");
    textIn(out, "strong", words.what, "walk-what");
    for (const key of ["first", "then"]) {
      if (words[key]) {
        textIn(out, "span", words[key], "walk-note");
      }
    }
  }

  function go(number) {
    const count = outing.steps.length;
    const to = Math.min(Math.max(number, 0), count);
    slide.value = String(to);
    part("back").disabled = to === 0;
    part("on").disabled = to === count;
    if (to) {
      keepInView(outing.steps[to - 1]);
    }
    draw(to);
    tell(to);
    return to < count;
  }

  function play(on) {
    window.clearInterval(timer);
    timer = on ? window.setInterval(() => go(Number(slide.value) + 1) || play(false), WALK.pace) : 0;
    part("play").textContent = on ? "Pause" : "Play";
    part("play").setAttribute("aria-pressed", String(on));
    out.setAttribute("aria-live", on ? "off" : "polite"); // nobody can listen to one lane a second
  }

  function by(count) {
    play(false);
    go(Number(slide.value) + count);
  }

  part("back").addEventListener("click", () => by(-1));
  part("on").addEventListener("click", () => by(1));
  part("play").addEventListener("click", function () {
    const starts = !timer;
    if (starts) {
      go(Number(slide.value) < outing.steps.length ? Number(slide.value) + 1 : 1);
    }
    play(starts);
  });
  slide.addEventListener("input", () => by(0));
  panel.addEventListener("keydown", function (event) {
    const moves = { ArrowRight: 1, ArrowLeft: -1 };
    if (event.target.tagName === "BUTTON" && moves[event.key]) {
      event.preventDefault();
      by(moves[event.key]);
    }
  });
  if (part("product")) {
    part("product").addEventListener("change", function () {
      play(false);
      outing = walk.outings[Number(part("product").value)];
      slide.max = String(outing.steps.length);
      go(0);
    });
  }
  map.on("zoomend", () => draw(Number(slide.value)));
  play(false);
  go(0);
}
