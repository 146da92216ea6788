const store = document.getElementById("sheets").content;
const sheetNames = facts.sheets.map((sheet) => sheet.name);
const titleOf = Object.fromEntries(facts.sheets.map((sheet) => [sheet.name, sheet.title]));

/* Which sheets show a wire, a pin or a device. */
const shownOn = { wire: {}, pin: {}, device: {} };
for (const held of store.children) {
  for (const [kind, name] of [["wire", "data-wire"], ["pin", "data-pin"], ["device", "data-of"]]) {
    for (const there of held.querySelectorAll(`[${name}]`)) {
      const list = shownOn[kind][there.getAttribute(name)] = shownOn[kind][there.getAttribute(name)] || [];
      if (!list.includes(held.dataset.name)) list.push(held.dataset.name);
    }
  }
}

function isFace(name) {
  return name.startsWith("face-");
}

function drawn(name) {
  const held = [...store.children].find((one) => one.dataset.name === name);
  return held ? document.importNode(held.firstElementChild, true) : null;
}

function pointsOf(line) {
  return line.getAttribute("points").trim().split(/\s+/).map((pair) => pair.split(",").map(Number));
}

/* Millimetres from a place to a line of several points. */
function away([x, y], points) {
  let best = Infinity;
  for (let n = 1; n < points.length; n += 1) {
    const [[ax, ay], [bx, by]] = [points[n - 1], points[n]];
    const length = (bx - ax) ** 2 + (by - ay) ** 2;
    const t = length ? Math.max(0, Math.min(1, ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / length)) : 0;
    best = Math.min(best, Math.hypot(x - ax - t * (bx - ax), y - ay - t * (by - ay)));
  }
  return best;
}

function awayFromBox([x, y], box) {
  return Math.hypot(Math.max(box.x - x, 0, x - box.x - box.width), Math.max(box.y - y, 0, y - box.y - box.height));
}

/* What a finger means on a drawing: what it hits, else the nearest within reach (mm). */
function meant(picture, at, reach) {
  const hits = [];
  for (const group of picture.querySelectorAll("[data-wire]")) {
    const line = group.querySelector("polyline:not(.glow)");
    if (line) hits.push({ kind: "wire", id: group.dataset.wire, far: Math.max(0, away(at, pointsOf(line)) - 0.5) });
  }
  for (const ring of picture.querySelectorAll("circle[data-pin]")) {
    const [x, y, r] = ["cx", "cy", "r"].map((name) => Number(ring.getAttribute(name)));
    hits.push({ kind: "pin", id: ring.dataset.pin, far: Math.max(0, Math.hypot(at[0] - x, at[1] - y) - r) });
  }
  for (const word of picture.querySelectorAll("text[data-pin], text[data-sheet]")) {
    const far = awayFromBox(at, word.getBBox());
    if (word.dataset.sheet) hits.push({ kind: "sheet", id: word.dataset.sheet, far });
    else hits.push({ kind: "pin", id: word.dataset.pin, far: far + 0.01 });
  }
  for (const part of picture.querySelectorAll("[data-of]")) {
    const id = cards.device[part.dataset.of] ? part.dataset.of : null;
    const kind = id ? "device" : cards.splice[part.dataset.of] ? "splice" : null;
    const far = awayFromBox(at, part.getBBox());
    if (kind) hits.push({ kind, id: part.dataset.of, far: far ? far + 0.3 : 0.3 });
  }
  const known = hits.filter((hit) => hit.far <= reach && (hit.kind === "sheet" ? titleOf[hit.id] : cards[hit.kind][hit.id]));
  return known.sort((a, b) => a.far - b.far)[0];
}

/* Light a wire from end to end, with what shares its circuit, or a pin with its wires. */
function light(stage, picture, kind, id) {
  stage.classList.remove("one");
  for (const glow of picture.querySelectorAll(".glow")) glow.remove();
  for (const lit of picture.querySelectorAll(".lit, .near")) lit.classList.remove("lit", "near");
  const row = kind && cards[kind] && cards[kind][id];
  if (!row) return [];
  const wires = kind === "wire" ? [id] : kind === "pin" || kind === "splice" || kind === "circuit" ? row.wires || [] : [];
  const pins = kind === "wire" ? row.ends.map((end) => end.pin).filter(Boolean) : kind === "pin" ? [id] : [];
  const lit = [];
  for (const group of picture.querySelectorAll("[data-wire], [data-over]")) {
    const wire = group.dataset.wire || group.dataset.over;
    const same = wires.some((one) => cards.wire[one].circuit === cards.wire[wire].circuit);
    if (!wires.includes(wire)) {
      if (same) group.classList.add("near");
      continue;
    }
    group.classList.add("lit");
    const line = group.dataset.wire && group.querySelector("polyline");
    if (!line) continue;
    group.prepend(svg("polyline", { class: "glow", points: line.getAttribute("points"), "stroke-width": 3 }));
    lit.push(group.firstElementChild);
  }
  for (const ring of picture.querySelectorAll("circle[data-pin]")) {
    if (!pins.includes(ring.dataset.pin)) continue;
    const given = { class: "glow", cx: ring.getAttribute("cx"), cy: ring.getAttribute("cy"),
      r: Number(ring.getAttribute("r")) + 0.5, "stroke-width": 1.4 };
    ring.after(svg("circle", given));
    lit.push(ring.nextElementSibling);
  }
  for (const part of picture.querySelectorAll("rect[data-of]")) {
    if (kind !== "device" || part.dataset.of !== id) continue;
    const given = Object.fromEntries(["x", "y", "width", "height"].map((name) => [name, part.getAttribute(name)]));
    part.after(svg("rect", { class: "glow", ...given, "stroke-width": 1.2 }));
    lit.push(part.nextElementSibling);
  }
  if (picture.querySelector(".lit")) stage.classList.add("one");
  return lit;
}

/* The box round what is lit, widened to what can be read. */
function around(lit, least) {
  const boxes = lit.map((one) => one.getBBox());
  const x = Math.min(...boxes.map((b) => b.x)), y = Math.min(...boxes.map((b) => b.y));
  const right = Math.max(...boxes.map((b) => b.x + b.width)), foot = Math.max(...boxes.map((b) => b.y + b.height));
  const wide = Math.max(least, right - x + 24), high = Math.max(least * 0.7, foot - y + 24);
  return { x: (x + right - wide) / 2, y: (y + foot - high) / 2, width: wide, height: high };
}

/* A drawing that is dragged, pinched and tapped; `tapped` is told what was meant. */
function makeStage(name, tapped) {
  const picture = drawn(name);
  const whole = picture.getAttribute("viewBox").split(" ").map(Number);
  const stage = h("div", { class: "stage", tabindex: 0, role: "group",
    "aria-label": say("{drawing}. Drag to move, pinch or + and − to enlarge; arrow keys move it.",
      { drawing: titleOf[name] }) }, picture);
  let view = { x: whole[0], y: whole[1], width: whole[2], height: whole[3] };
  const fingers = new Map();
  let moved = 0;

  function set(next) {
    const width = Math.min(whole[2] * 1.3, Math.max(12, next.width));
    const height = width * next.height / next.width;
    view = { width, height,
      x: Math.min(whole[2] - width * 0.2, Math.max(-width * 0.8, next.x)),
      y: Math.min(whole[3] - height * 0.2, Math.max(-height * 0.8, next.y)) };
    picture.setAttribute("viewBox", [view.x, view.y, view.width, view.height].map((n) => n.toFixed(2)).join(" "));
  }
  function place(x, y) {
    const spot = new DOMPoint(x, y).matrixTransform(picture.getScreenCTM().inverse());
    return [spot.x, spot.y];
  }
  function zoom(by, x, y) {
    const box = stage.getBoundingClientRect();
    const [px, py] = place(x === undefined ? box.x + box.width / 2 : x, y === undefined ? box.y + box.height / 2 : y);
    const width = Math.min(whole[2] * 1.3, Math.max(12, view.width / by));
    const ratio = width / view.width;
    set({ x: px - (px - view.x) * ratio, y: py - (py - view.y) * ratio, width, height: view.height * ratio });
  }
  function drag(dx, dy) {
    const scale = picture.getScreenCTM().a;
    set({ ...view, x: view.x - dx / scale, y: view.y - dy / scale });
  }
  stage.addEventListener("pointerdown", (event) => {
    if (!fingers.size) moved = 0;
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    stage.setPointerCapture(event.pointerId);
  });
  stage.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    const before = [...fingers.values()];
    const [ox, oy] = fingers.get(event.pointerId);
    fingers.set(event.pointerId, [event.clientX, event.clientY]);
    moved += Math.hypot(event.clientX - ox, event.clientY - oy);
    if (fingers.size === 1) {
      if (moved > 8) drag(event.clientX - ox, event.clientY - oy);
      return;
    }
    const after = [...fingers.values()];
    const gap = (pair) => Math.hypot(pair[0][0] - pair[1][0], pair[0][1] - pair[1][1]);
    const middle = (pair) => [(pair[0][0] + pair[1][0]) / 2, (pair[0][1] + pair[1][1]) / 2];
    const [from, till] = [middle(before), middle(after)];
    drag(till[0] - from[0], till[1] - from[1]);
    if (gap(before) > 1) zoom(gap(after) / gap(before), ...till);
    moved += 99;
  });
  stage.addEventListener("pointercancel", (event) => fingers.delete(event.pointerId));
  stage.addEventListener("pointerup", (event) => {
    fingers.delete(event.pointerId);
    if (fingers.size || moved > 8) return;
    const reach = 22 / picture.getScreenCTM().a;
    tapped(meant(picture, place(event.clientX, event.clientY), reach));
  });
  stage.addEventListener("wheel", (event) => {
    event.preventDefault();
    zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, event.clientX, event.clientY);
  }, { passive: false });
  stage.addEventListener("keydown", (event) => {
    const step = { ArrowLeft: [60, 0], ArrowRight: [-60, 0], ArrowUp: [0, 60], ArrowDown: [0, -60] }[event.key];
    if (step) drag(...step);
    else if (event.key === "+" || event.key === "=") zoom(1.5);
    else if (event.key === "-") zoom(1 / 1.5);
    else return;
    event.preventDefault();
  });
  const fit = () => set({ x: whole[0], y: whole[1], width: whole[2], height: whole[3] });
  /* A large sheet begins at its upper left, where it can be read. */
  const begin = () => {
    const wide = Math.min(whole[2], isFace(name) ? 90 : 140);
    set({ x: whole[0], y: whole[1], width: wide, height: Math.min(whole[3], wide * stage.clientHeight / stage.clientWidth) });
  };
  return { stage, picture, zoom, fit, see: (lit) => (lit.length ? set(around(lit, 70)) : begin()) };
}

/* Only what is lit of a drawing, as a picture that leads to all of it. */
function glimpse(name, kind, id) {
  const picture = drawn(name);
  if (!picture) return "";
  const link = h("a", { class: "stage small", style: "display: block", href: to("sheet", name, kind, id),
    "aria-label": say("{drawing}: open the drawing", { drawing: titleOf[name] }) }, picture);
  requestAnimationFrame(() => {
    const lit = light(link, picture, kind, id);
    if (!lit.length || !link.isConnected) return;
    const box = around(lit.slice(0, 1), 44);
    picture.setAttribute("viewBox", [box.x, box.y, box.width, box.height].map((n) => n.toFixed(2)).join(" "));
  });
  return link;
}

function sheetRow(name, kind, id) {
  return h("li", {}, h("a", { class: "row", href: kind ? to("sheet", name, kind, id) : to("sheet", name) },
    h("span", { class: "much" }, h("b", {}, titleOf[name]))));
}

function sheetsView() {
  const groups = [...new Set(facts.sheets.map((sheet) => sheet.under))];
  return [h("h1", { tabindex: -1 }, say("Drawings")), groups.map((under) => [
    h("h2", {}, under),
    h("ul", { class: "plain" }, facts.sheets.filter((sheet) => sheet.under === under).map((sheet) => sheetRow(sheet.name))),
  ])];
}

function sheetView(name, kind, id) {
  level = "h2";
  if (!sheetNames.includes(name)) {
    return [h("h1", { tabindex: -1 }, say("Not here")), h("p", {}, say("There is no such drawing."))];
  }
  const below = h("div", { "aria-live": "polite" });
  const made = makeStage(name, (hit) => {
    if (!hit) return tell(say("Nothing is drawn there."));
    if (hit.kind === "sheet") location.hash = to("sheet", hit.id, kind, id).replace(/\/undefined/g, "");
    else choose(hit.kind, hit.id, true);
  });
  function choose(what, which, told) {
    [kind, id] = [what, which];
    const lit = light(made.stage, made.picture, what, which);
    const others = (shownOn[what] && shownOn[what][which] || []).filter((one) => one !== name);
    below.replaceChildren(...[
      what && h("ul", { class: "plain" }, line(what, which, { class: "row lead" })),
      others.length > 0 && h("h2", {}, say("Also drawn on")),
      others.length > 0 && h("ul", { class: "plain" }, others.map((one) => sheetRow(one, what, which))),
      what === "wire" && facesOf(cards.wire[which].ends.map((end) => end.pin), name),
    ].flat(9).filter(Boolean));
    if (told) history.replaceState(null, "", to("sheet", name, what, which));
    return lit;
  }
  function pick(wire) {
    made.see(choose("wire", wire, true));
    tell(say("Wire {wire} is lit.", { wire }));
  }
  const known = kind && cards[kind] && cards[kind][id];
  requestAnimationFrame(() => made.see(known ? choose(kind, id, false) : choose()));
  const shown = Object.keys(shownOn.wire).filter((wire) => shownOn.wire[wire].includes(name) && cards.wire[wire]);
  return [
    h("h1", { tabindex: -1 }, titleOf[name]),
    h("p", { class: "noprint" }, isFace(name) ?
      say("From the wire side and from the mating side; black bar: keyway, open bar: latch. Tap a cavity.") :
      say("Tap a wire, a pin or a device.")),
    made.stage,
    h("div", { class: "tools noprint", role: "group", "aria-label": say("Size of the drawing") },
      h("button", { type: "button", "aria-label": say("Larger"), click: () => made.zoom(1.5) }, "+"),
      h("button", { type: "button", "aria-label": say("Smaller"), click: () => made.zoom(1 / 1.5) }, "−"),
      h("button", { type: "button", click: () => made.fit() }, sayIn("drawing", "Whole"))),
    below,
    isFace(name) ? connectorOf(name) : "",
    shown.length ? h("details", { class: "noprint" }, h("summary", {}, say("The {n} wires on it", { n: shown.length })),
      h("div", { class: "chips" }, shown.map((wire) =>
        h("button", { type: "button", class: "chip", click: () => pick(wire) }, swatch(cards.wire[wire]), wire)))) : "",
  ];
}

/* The connector that a face is of, with all its cavities as a list. */
function connectorOf(name) {
  const pin = Object.keys(shownOn.pin).find((one) => shownOn.pin[one].includes(name) && cards.pin[one]);
  return pin ? h("ul", { class: "plain" }, line("plug", cards.pin[pin].plug)) : "";
}

/* The faces of the connectors in which some pins stand, each with its cavity lit. */
function facesOf(pins, but) {
  return pins.flatMap((pin) => (shownOn.pin[pin] || []).filter((name) => isFace(name) && name !== but)
    .map((name) => [part(say("{pin} in its connector, wire side", { pin: cards.pin[pin].says })), glimpse(name, "pin", pin)]));
}

MORE.push([["wire"], (kind, id, row) => {
  const names = (shownOn.wire[id] || []);
  return names.length > 0 && h("p", {}, names.map((name, n) =>
    h("a", { class: "chip", href: to("sheet", name, "wire", id) }, n ? titleOf[name] : say("Light it up from end to end"))));
}]);
MORE.push([["pin"], (kind, id) => facesOf([id])]);
MORE.push([["plug"], (kind, id, row) => {
  const pin = Object.values(row.pins || {})[0];
  const name = (shownOn.pin[pin] || []).find(isFace);
  return name && h("p", {}, h("a", { class: "chip", href: to("sheet", name) }, say("Its face, from both sides")));
}]);
MORE.push([["device"], (kind, id) => {
  const names = [...(shownOn.device[id] || []), ...sheetNames.filter((name) => name === `panel-${id}`)];
  return names.length > 0 && h("div", { class: "chips" }, names.map((name) =>
    h("a", { class: "chip", href: to("sheet", name, "device", id) }, titleOf[name])));
}]);
