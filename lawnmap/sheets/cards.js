// Cards: what the map tells about the thing that was clicked. Every word is set as text, never as markup.

function textIn(parent, tag, text, css) {
  const found = document.createElement(tag);
  found.textContent = text;
  if (css) {
    found.className = css;
  }
  parent.appendChild(found);
  return found;
}

function drawCard(card) {
  const box = document.createElement("div");
  box.className = "card";
  textIn(box, "h3", card.title);
  textIn(box, "p", card.under, "under");
  const list = document.createElement("dl");
  for (const [name, value] of card.rows) {
    textIn(list, "dt", name);
    textIn(list, "dd", value);
  }
  if (card.rows.length) {
    box.appendChild(list);
  }
  for (const line of card.small) {
    textIn(box, "p", line, "small");
  }
  return box;
}

function tieCards(map, plan) {
  map.on("popupopen", () => map.getContainer().classList.add("carded"));
  map.on("popupclose", () => map.getContainer().classList.remove("carded"));
  for (const [, layer] of allLayers(plan).filter((pair) => pair[1].eachLayer)) {
    layer.eachLayer(function (shape) {
      const card = plan.cards[shape.feature.id];
      if (card) {
        shape.bindPopup(() => drawCard(card), { maxWidth: 300, minWidth: 220, maxHeight: 320 });
      }
    });
  }
}
