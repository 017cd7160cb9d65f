// Unfolds a chapter that is led to, and all of them for the printer.

function unfold(target) {
  for (let fold = target && target.closest("details"); fold; fold = fold.parentElement.closest("details")) {
    fold.open = true;
  }
}

function followWays() {
  const here = () => {
    const target = location.hash.length > 1 && document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (target) {
      unfold(target);
      target.closest("details")?.scrollIntoView();
    }
  };
  for (const way of document.querySelectorAll(".ways a, .skip")) {
    way.addEventListener("click", () => unfold(document.querySelector(way.getAttribute("href"))));
  }
  window.addEventListener("hashchange", here);
  here();
}

function unfoldForPrint() {
  let folded = [];
  window.addEventListener("beforeprint", () => {
    folded = [...document.querySelectorAll("details:not([open])")];
    folded.forEach((fold) => (fold.open = true));
  });
  window.addEventListener("afterprint", () => folded.forEach((fold) => (fold.open = false)));
}
