/* Pictures of the four stands, drawn blade by blade. */

const SVG = "http://www.w3.org/2000/svg";
const WIDE = 64;
const HIGH = 40;

export const STANDS = {
  bare: { blades: 6, patches: 0, text: "Bare: mostly soil, a blade here and there. Under 15 % grass." },
  thin: { blades: 60, patches: 0, text: "Thin: soil shows everywhere between the grass. 15 to 50 %." },
  patchy: { blades: 190, patches: 3, text: "Patchy: good grass with bare or weedy spots. 50 to 80 %." },
  full: { blades: 330, patches: 0, text: "Full: no soil to be seen. 80 % and more." },
};

/* Numbers that look random and are the same each time (a linear congruence). */
function numbers(seed) {
  let state = seed;
  return () => {
    state = (state * 1103515245 + 12345) % 2147483648;
    return state / 2147483648;
  };
}

function element(name, values) {
  const made = document.createElementNS(SVG, name);
  Object.entries(values).forEach(([key, value]) => made.setAttribute(key, value));
  return made;
}

export function standPicture(density) {
  const { blades, patches } = STANDS[density];
  const next = numbers(7 + blades);
  const picture = element("svg", { viewBox: `0 0 ${WIDE} ${HIGH}`, width: WIDE, height: HIGH, "aria-hidden": "true" });
  picture.append(element("rect", { width: WIDE, height: HIGH, fill: "#9b7653" }));
  const holes = Array.from({ length: patches }, (_, i) => [12 + i * 20, 10 + next() * 20, 5 + next() * 3]);
  const drawn = Array.from({ length: blades }, () => {
    const [at, foot] = [next() * WIDE, 3 + next() * HIGH];
    if (holes.some(([right, up, size]) => Math.hypot(at - right, foot - up) < size)) return "";
    return `M${at.toFixed(1)} ${foot.toFixed(1)}l${(next() * 3 - 1.5).toFixed(1)} ${(-3 - next() * 3).toFixed(1)}`;
  });
  picture.append(element("path", { d: drawn.join(""), stroke: "#3f7d2e", "stroke-width": 1.5, fill: "none" }));
  return picture;
}
