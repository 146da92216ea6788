/* Words of a thing to find it by, the first the most telling. */
function parts(text) {
  return String(text).toLowerCase().split(/[^a-z0-9+ß-ÿ]+/).filter(Boolean);
}

function squashed(text) {
  return String(text).toLowerCase().replace(/[^a-z0-9+ß-ÿ]+/g, "");
}

/* Of things that fit alike, devices come first, and pins last. */
const ORDER = ["device", "wire", "plug", "splice", "circuit", "pin"];

function entry(kind, id) {
  const row = cards[kind][id];
  const named = { wire: [id], pin: [id], device: [id, row.title], plug: [id, row.title], splice: [id],
    circuit: [row.number, id] }[kind];
  const beside = {
    wire: [row.colour, row.code, row.circuit, row.fuse, facts.systems[row.system],
      ...(row.ends || []).flatMap((end) => [end.says, end.of])],
    pin: [row.use, cards.device[row.device] && cards.device[row.device].title, ...(row.circuits || [])],
    device: [kindOf(row), row.place, row.rating, facts.systems[row.system], ...(row.draws || [])],
    plug: [row.type, row.place],
    splice: [row.circuit, row.place],
    circuit: [row.about, facts.systems[row.system]],
  }[kind];
  const bare = (colour) => STRIPE.reduce((text, word) => text.replace(word, ""), colour.toLowerCase());
  const whole = [...named, ...(kind === "wire" ? [row.code, bare(row.colour)] : [])].filter(Boolean).map(squashed);
  return { kind, id, whole, names: named.flatMap((one) => parts(one || "")),
    others: beside.filter(Boolean).flatMap(parts) };
}

/* What stands about the two colours of a wire: who types 'red/black' leaves it out. */
const STRIPE = parts(say("{body} with {tracer} stripe", { body: "", tracer: "" }));

const entries = ORDER.flatMap((kind) => Object.keys(cards[kind]).map((id) => entry(kind, id)));

/* Whether two words differ by one letter: left out, put in, changed, or changed over. */
function nearly(a, b) {
  if (a.length < 4 || Math.abs(a.length - b.length) > 1) return false;
  let at = 0;
  while (at < a.length && a[at] === b[at]) at += 1;
  const [x, y] = [a.slice(at), b.slice(at)];
  return x.slice(1) === y.slice(1) || x.slice(1) === y || x === y.slice(1) ||
    (x[0] === y[1] && x[1] === y[0] && x.slice(2) === y.slice(2));
}

function worth(word, asked, full) {
  if (word === asked) return full;
  if (word.startsWith(asked)) return full * 0.6;
  if (asked.length > 1 && word.includes(asked)) return full * 0.3;
  return 0;
}

function score(one, asked, whole, loose) {
  const begins = one.kind !== "circuit" && one.whole.some((name) => name.startsWith(whole));
  let sum = one.whole.includes(whole) ? 1000 : begins ? 300 : 0;
  const named = sum;
  for (const word of asked) {
    let best = Math.max(0, ...one.names.map((name) => worth(name, word, 100)),
      ...one.others.map((other) => worth(other, word, 40)));
    if (!best && loose && [...one.names, ...one.others].some((name) => nearly(word, name))) best = 5;
    if (!best && !named) return 0;
    sum += best;
  }
  return sum && one.kind === "device" ? sum + 50 : sum;
}

/* Everything that fits what was typed, best first. */
function found(text) {
  const asked = parts(text), whole = squashed(text);
  if (!whole) return [];
  const all = (loose) => entries.map((one, place) => ({ one, place, worth: score(one, asked, whole, loose) }))
    .filter((hit) => hit.worth > 0).sort((a, b) => b.worth - a.worth || a.place - b.place);
  const hits = all(false);
  return hits.length ? hits : all(true);
}

const AT_ONCE = 25;

function results(text, all) {
  const hits = found(text);
  const list = h("ol", { class: "plain" });
  const shown = all ? hits : hits.slice(0, AT_ONCE);
  const first = hits.length && (hits.length === 1 || hits[0].worth >= 1000) ? hits[0].one : null;
  list.append(...shown.filter((hit) => hit.one !== first).map((hit) => line(hit.one.kind, hit.one.id)));
  return { hits, first, list, more: hits.length - shown.length };
}

function findView(typed) {
  const input = h("input", { id: "asked", type: "search", autocomplete: "off", autocapitalize: "off",
    spellcheck: "false", enterkeyhint: "search", placeholder: say("106, ecu A5, F4, red/black, pump") });
  input.value = typed || "";
  const place = h("div", {});
  let kept = 0;
  const keep = () => {
    if (input.isConnected) history.replaceState(null, "", input.value.trim() ? to("find", input.value) : to("find"));
  };
  input.addEventListener("change", keep);
  const show = (all) => {
    const { hits, first, list, more } = results(input.value, all);
    place.replaceChildren(...[
      first && card(first.kind, first.id, "h2"),
      hits.length > (first ? 1 : 0) && h("h2", {}, first ? say("Also found") : sayIn("search", "Found")),
      list,
      more > 0 && h("button", { type: "button", click: () => show(true) }, say("Show {n} more", { n: more })),
      !hits.length && input.value.trim() && h("p", {}, say("Nothing fits. Try a part of it: a number, a device, a colour.")),
      !input.value.trim() && h("p", {}, say("Type a wire number, a pin, a fuse, a device or a colour.")),
    ].filter(Boolean));
    if (input.value.trim()) tell(say("{n} found", { n: hits.length }));
    clearTimeout(kept);
    kept = setTimeout(keep, 250);
  };
  input.addEventListener("input", () => show(false));
  show(false);
  return [
    h("h1", { tabindex: -1 }, say("Find")),
    h("form", { role: "search", submit: (event) => { event.preventDefault(); input.blur(); } },
      h("label", { for: "asked" }, say("Wire, pin, fuse, device or colour")), input),
    place,
  ];
}
