/* What each address shows; the first word of it is the view. */
const VIEWS = {
  find: ([typed]) => findView(typed),
  fault: () => faultView(),
  entry: (way) => entryView(...way),
  symptom: (way) => symptomView(...way),
  said: (way) => saidView(...way),
  sheets: () => sheetsView(),
  sheet: ([name, kind, id]) => sheetView(name, kind, id),
};
const TAB = { sheet: "sheets", sheets: "sheets", fault: "fault", symptom: "fault", said: "fault", entry: "fault" };

const NONE = {
  wire: mark("There is no wire {id}."),
  pin: mark("There is no pin {id}."),
  device: mark("There is no device {id}."),
  plug: mark("There is no plug {id}."),
  splice: mark("There is no splice {id}."),
  circuit: mark("There is no circuit {id}."),
};

function cardView(kind, id) {
  if (!cards[kind][id]) return [h("h1", { tabindex: -1 }, say("Not here")), h("p", {}, say(NONE[kind], { id }))];
  return [card(kind, id, "h1")];
}

function show(focus) {
  if (location.hash === "#main") return main.focus();
  let way;
  try {
    way = location.hash.replace(/^#\/?/, "").split("/").map(decodeURIComponent);
  } catch {
    way = [];
  }
  const [view, ...rest] = way;
  const known = VIEWS[view] || (cards[view] && ((parts) => cardView(view, parts[0])));
  main.replaceChildren(...[known ? known(rest) : findView("")].flat(9).filter(Boolean));
  const tab = TAB[view] || "find";
  for (const link of document.querySelectorAll("nav a")) {
    if (link.dataset.tab === tab) link.setAttribute("aria-current", "page");
    else link.removeAttribute("aria-current");
  }
  const title = main.querySelector("h1");
  document.title = `${title ? title.textContent : ""} – ${document.querySelector(".vehicle").firstChild.textContent}`;
  if (focus && title) {
    window.scrollTo(0, 0);
    title.focus({ preventScroll: true });
  }
}

/* Dark or light: as the phone says, until the switch is used. */
const dark = matchMedia("(prefers-color-scheme: dark)");
let chosen = null;
try {
  chosen = localStorage.getItem("theme");
} catch {
  chosen = null;
}

function paint() {
  const isDark = chosen ? chosen === "dark" : dark.matches;
  document.documentElement.dataset.theme = isDark ? "dark" : "light";
  document.getElementById("theme").setAttribute("aria-pressed", String(isDark));
}

document.getElementById("theme").addEventListener("click", () => {
  chosen = document.documentElement.dataset.theme === "dark" ? "light" : "dark";
  try {
    localStorage.setItem("theme", chosen);
  } catch {
    /* A file may not be allowed to keep anything: the choice then lasts until it is closed. */
  }
  paint();
});
dark.addEventListener("change", paint);
/* Paper has no buttons: what they hide is printed, and hidden again. */
let folded = [];
addEventListener("beforeprint", () => {
  folded = [...document.querySelectorAll("details:not(.noprint):not([open])")];
  for (const one of folded) one.open = true;
});
addEventListener("afterprint", () => {
  for (const one of folded) one.open = false;
});
addEventListener("hashchange", () => show(true));
paint();
show(false);
