/* Elements of the page, made in one line. */

export const find = (id) => document.getElementById(id);

export function make(tag, values = {}, ...children) {
  const made = document.createElement(tag);
  Object.entries(values).forEach(([key, value]) => {
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (value === true) made.setAttribute(key, "");
    else if (value !== false && value !== null && value !== undefined) made.setAttribute(key, value);
  });
  made.append(...children);
  return made;
}

export function field(text, input) {
  return make("label", { class: "field" }, make("span", {}, text), input);
}

export function table(heads, rows) {
  return make("table", {},
    make("thead", {}, make("tr", {}, ...heads.map((head) => make("th", { scope: "col" }, head)))),
    make("tbody", {}, ...rows.map(([first, ...others]) =>
      make("tr", {}, make("th", { scope: "row" }, first), ...others.map((text) => make("td", {}, String(text)))))));
}

/* Hand a text out as a file. */
export function download(name, text, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  make("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/* Put other contents into a box; what had the focus is what has it, by its place. */
export function refill(box, children) {
  const focusable = () => [...box.querySelectorAll("button, input, select")];
  const place = focusable().indexOf(document.activeElement);
  box.replaceChildren(...children);
  if (place >= 0) focusable()[place]?.focus({ preventScroll: true });
}

/* Whether something is typed in a box and not yet taken over: its contents had better stay. */
export function isTyping(box) {
  const at = document.activeElement;
  return box.contains(at) && at.matches("input") && at.value !== at.defaultValue;
}
