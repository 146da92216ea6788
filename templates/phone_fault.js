const trees = facts.trees;
const cureWords = JSON.parse(document.getElementById("cures").textContent);
/* Kinds of caution that stand over the question already. */
let warned = [];
const probes = JSON.parse(document.getElementById("probes").textContent);
const symptoms = Object.fromEntries(trees.groups.flatMap(([under, rows]) => rows.map((row) => [row.id, { under, ...row }])));

/* One row of a list that leads on. */
function leadTo(address, name, less) {
  return h("li", {}, h("a", { class: "row", href: address },
    h("span", { class: "much" }, h("b", {}, name), less ? h("span", { class: "less" }, less) : "")));
}

function faultView() {
  const input = h("input", { id: "seen", type: "search", autocomplete: "off", autocapitalize: "off", spellcheck: "false" });
  const place = h("div", {});
  const fits = (row, words) => {
    const text = squashed(row.heading + " " + (row.devices || []).join(" "));
    return words.every((word) => text.includes(word));
  };
  const show = () => {
    const words = parts(input.value);
    let count = 0;
    const lists = trees.groups.map(([under, rows]) => {
      const hits = rows.filter((row) => fits(row, words));
      count += hits.length;
      return hits.length > 0 && h("details", { open: words.length > 0 },
        h("summary", {}, `${under} (${hits.length})`),
        h("ul", { class: "plain" }, hits.map((row) => leadTo(to("symptom", row.id), row.heading, row.state))));
    });
    place.replaceChildren(...lists.filter(Boolean));
    if (!count) place.append(h("p", {}, say("Nothing fits. Leave a word out, or pick from the groups.")));
    if (words.length) tell(say("{n} found", { n: count }));
  };
  input.addEventListener("input", show);
  show();
  return [
    h("h1", { tabindex: -1 }, say("A fault")),
    h("h2", {}, say("What the driver says")),
    [...new Set(trees.entries.map((one) => one.group))].map((group) => [h("h3", {}, group),
      h("ul", { class: "plain" }, trees.entries.map((one, n) =>
        (one.group === group ? leadTo(to("entry", n), cap(one.name), one.about) : "")))]),
    trees.said.length ? h("ul", { class: "plain" }, trees.said.map((one, n) =>
      leadTo(to("said", n), cap(one.name), one.about))) : "",
    h("h2", {}, say("What is seen")),
    h("label", { for: "seen" }, say("A device, and what it does: dead, weak, stuck on")), input,
    place,
  ];
}

function causesOf(causes) {
  return causes && causes.length ? [h("h2", {}, say("Not electrical: look first")), h("ul", { class: "plain" },
    causes.map((cause) => h("li", {}, h("b", {}, cause.what), ` (${cause.likely}). `, cause.check)))] : "";
}

/* A line of what drivers say, followed question by question; and where to wiggle. */
function entryView(number, ...answers) {
  const one = trees.entries[Number(number)];
  if (!one) return missing();
  const first = !answers.length;
  warned = first ? one.cautions || [] : [];
  return [
    h("h1", { tabindex: -1 }, cap(one.name)),
    first && one.about ? h("p", {}, one.about) : "",
    warnings(warned),
    first ? causesOf(one.causes) : "",
    walk(one.to, ["entry", number], answers),
    one.less ? h("p", {}, say("{n} less likely causes are under “What is seen”.", { n: one.less })) : "",
    one.wiggle ? h("details", {}, h("summary", {}, say("It comes and goes: where to wiggle")), wiggleList(one.wiggle)) : "",
  ];
}

function wiggleList(spots) {
  return [
    h("p", {}, say("Engine off, key on. Watch a lamp or the meter on the place, and wiggle one after the other in this order: " +
      "the plug first, then a hand's width of rope behind it. What shows when hot: warm it with a hair dryer, never a flame. " +
      "What shows in the wet: a spray of clean water, hands away from fans.")),
    h("ol", {}, spots.map(([where, place, why]) => h("li", {}, h("b", {}, where), place ? `: ${place}` : "",
      why ? h("div", {}, h("small", {}, why)) : ""))),
  ];
}

/* What a driver says: which of its patterns is seen, then the readings between its symptoms. */
function saidView(number, look, ...answers) {
  const one = trees.said[Number(number)];
  if (!one) return missing();
  const looks = one.looks || [];
  const top = [h("h1", { tabindex: -1 }, cap(one.name)), one.about ? h("p", {}, one.about) : "",
    look === undefined ? [warnings(one.cautions || []), causesOf(one.causes)] : ""];
  if (look === undefined && looks.length > 1) {
    return [top, h("h2", {}, say("Which of these is it?")), h("ul", { class: "plain" },
      looks.map((pattern, n) => leadTo(to("said", number, n), cap(pattern.seen))))];
  }
  if (!looks.length) return [top, h("p", {}, say("No single electrical fault does this."))];
  const pattern = looks[Number(look || 0)];
  if (!pattern) return missing();
  const back = ["said", number, look || "0"];
  warned = look === undefined ? one.cautions || [] : [];
  return [top, walk(pattern.to, back, answers), h("details", {}, h("summary", {}, say("All that it may be")),
    h("ul", { class: "plain" }, pattern.leads.map(([id, percent]) =>
      leadTo(to("symptom", id), symptoms[id].heading, say("{n} in 100", { n: percent })))),
    pattern.others ? h("p", {}, say("{n} more are less likely than these.", { n: pattern.others })) : "")];
}

function symptomView(id, ...answers) {
  const row = symptoms[id];
  if (!row) return missing();
  const first = !answers.length;
  return [
    h("h1", { tabindex: -1 }, row.heading),
    warnings(warned = row.cautions || []),
    row.blows ? h("p", {}, say("{fuses} blows again when renewed ({states}). Leave it out while you measure.",
      { fuses: row.blows.join(", "), states: row.blows_in.join(", ") })) : "",
    first ? causesOf(row.causes) : "",
    walk(row.to, ["symptom", id], answers),
    first && row.follows ? h("details", {}, h("summary", {}, say("What follows from it")),
      row.follows.map((what) => h("p", {}, what))) : "",
  ];
}

function missing() {
  return [h("h1", { tabindex: -1 }, say("Not here")),
    h("p", {}, h("a", { class: "chip", href: to("fault") }, say("Begin again")))];
}

/* The answers so far, one after the other, and what comes next; 'l4.2' is low, typed as 4.2. */
function walk(start, base, answers) {
  let at = start;
  const done = [];
  for (const [n, answer] of answers.entries()) {
    const ask = at[0] === "ask" && trees.asks[at[1]];
    if (answer === "?" && ask) {
      at = ["left", ask.left];
      break;
    }
    if (!ask || !"lh".includes(answer.charAt(0))) return [h("p", {}, say("This way leads nowhere.")), again(base)];
    done.push([ask, answer, [...base, ...answers.slice(0, n)]]);
    at = answer.charAt(0) === "h" ? ask.high.to : ask.low.to;
  }
  const so = [...base, ...answers];
  return [
    doubt(done[done.length - 1], so),
    at[0] === "ask" ? question(trees.asks[at[1]], so, done) : at[0] === "choose" ? chooseOf(at[1]) :
      ending(at[0] === "left" ? at[1] : trees.ends[at[1]], at[0] === "left"),
    done.length ? h("p", { class: "noprint" }, h("a", { class: "button chip", href: to(...done[done.length - 1][2]) },
      say("Back one step"))) : "",
    done.length ? h("details", { class: "way" }, h("summary", {}, say("Asked so far: {n}", { n: done.length })),
      h("ol", {}, done.map(([ask, answer]) => h("li", {}, answered(ask, answer))))) : "",
  ];
}

function again(base) {
  return h("p", {}, h("a", { class: "chip", href: to(...base) }, say("Begin this one again")));
}

function side(ask, answer) {
  return answer.charAt(0) === "h" ? ask.high : ask.low;
}

function shownAs(text, ask) {
  return ask.what === "volts" ? `${figures(text)} V` : Number(text) >= 1e6 ? sayIn("ohms", "open") : `${figures(text)} Ω`;
}

/* What is asked without a meter: the heading, the question, what no and yes are called. */
const ASKED = {
  look: {
    title: mark("Look"), low: mark("No"), high: mark("Yes"),
    words: (ask) => mixed("Does {thing} work?", { thing: h("b", {}, ask.where) }),
  },
  click: {
    title: mark("Listen"), low: mark("Silent"), high: mark("It clicks"),
    words: (ask) => mixed("Finger on {thing} while somebody goes from “{state}” to this state. Does it click?",
      { thing: h("b", {}, ask.where), state: ask.other }),
  },
  swap: {
    title: mark("Change it"), low: mark("As before"), high: mark("Well again"),
    words: (ask) => mixed(ask.other ?
      mark("Switch off. Change {thing} for {other}, which is the same, and look again. Is all well now?") :
      mark("Switch off. Change {thing} for a new one of the same rating, and look again. Is all well now?"),
    { thing: h("b", {}, ask.where), other: ask.other }),
  },
  feel: {
    title: mark("Feel"), low: mark("No"), high: mark("Yes"),
    words: (ask) => mixed("Battery off. Hold the back of your hand near. Is it hot {there}?",
      { there: h("b", {}, ask.other ? say("in zone {zone}: {things}", { zone: ask.other, things: ask.where }) :
        say("at {things}", { things: ask.where })) }),
  },
};

/* The words of an answer, of a reading "About 12.5 V". */
function answerWords(ask, letter) {
  const known = ASKED[ask.what];
  return known ? say(letter === "h" ? known.high : known.low) : say("About {reading}", { reading: side(ask, letter).words });
}

function doing(ask) {
  const where = ask.state === undefined ? "" : `${facts.states[ask.state].name}, `;
  if (ASKED[ask.what]) return `${say(ASKED[ask.what].title)}: ${where}${ask.where}`;
  if (ask.what === "volts") return where + ask.where;
  return ask.across ? say("Ohms, {a} to {b}", { a: ask.where, b: ask.across }) : say("Ohms, {a} to the body", { a: ask.where });
}

/* What was asked and answered, in a line. */
function answered(ask, answer) {
  const told = answer.slice(1) ? say("{reading}, taken for {other}",
    { reading: shownAs(answer.slice(1), ask), other: side(ask, answer).words }) : answerWords(ask, answer.charAt(0));
  return `${doing(ask)}: ${told}`;
}

/* How to set car and meter for a question. */
function setting(ask) {
  const state = ask.state === undefined ? null : facts.states[ask.state];
  const car = state ? [say("Set the car:"), " ", h("b", {}, state.name), state.about ? ` (${state.about})` : "", ". "] : "";
  if (ASKED[ask.what]) return car;
  if (ask.what === "volts") return [car, say("Everything plugged in. Meter: volts DC."), " ", probes, "."];
  if (ask.what === "ohms") {
    return say("Battery off. Fuses and relays out, every plug undone. Meter: ohms, the other probe on bare body metal.");
  }
  return ask.unplug ? say("Battery off. Unplug {device}: measure on the harness. Meter: ohms.", { device: ask.unplug }) :
    say("Battery off. All else plugged in. Meter: ohms.");
}

/* Which side a typed reading is nearer, of all that its suspects show: ohms by decades. */
function nearer(ask, value) {
  const by = (x) => (ask.what === "volts" ? x : Math.log10(Math.max(x, 1e-3)));
  const beyond = ({ value: one, of = [one, one] }) => Math.max(0, by(of[0]) - by(value), by(value) - by(of[1]));
  let [low, high] = [beyond(ask.low), beyond(ask.high)];
  if (low === high) [low, high] = [ask.low, ask.high].map((end) => Math.abs(by(value) - by(end.value)));
  return low <= high ? "l" : "h";
}

/* Volts or ohms as they are typed: '12,4', '4.7 k', 'open'; undefined for what is none. */
function typedValue(text) {
  const found = /^\s*([+-]?\d*[.,]?\d+)\s*(m|k|M)?\s*(V|Ω|ohm)?\s*$/i.exec(text.replace("−", "-"));
  const open = ["open", sayIn("ohms", "open").toLowerCase(), "ol", "o.l", "1."];
  if (!found) return open.includes(text.trim().toLowerCase()) ? 1e9 : undefined;
  const scale = { m: 1e-3, k: 1e3, K: 1e3, M: 1e6 }[found[2]] || 1;
  return Number(found[1].replace(",", ".")) * scale;
}

function question(ask, so) {
  level = "h3";
  const go = (answer) => { location.hash = to(...so, answer); };
  const known = ASKED[ask.what];
  const [kind, id] = ask.card || [];
  const there = (kind && cards[kind][id]) || {};
  const wires = (there.wires || []).map((wire) => cards.wire[wire]);
  return h("section", { class: "card ask", "data-what": ask.what },
    h("h2", {}, known ? say(known.title) : ask.what === "volts" ? say("Measure") : say("Measure ohms")),
    warnings((ask.cautions || []).filter((one) => !warned.includes(one))),
    h("p", { class: "set" }, setting(ask)),
    known ? h("p", { class: "where" }, h("span", {}, known.words(ask))) :
      h("p", { class: "where" }, wires.length === 1 ? swatch(wires[0]) : "",
        ask.across ? mixed("{a} to {b}", { a: h("b", {}, ask.where), b: h("b", {}, ask.across) }) : h("b", {}, ask.where)),
    terms([say("What"), kind === "pin" ? cards.device[there.device].title : ""], [say("Where"), there.place],
      [say("Wire there"), wires.length === 1 ? `${there.wires[0]}, ${wires[0].colour}` : ""],
      [say("Healthy"), ask.well]),
    there.place ? h("details", { class: "noprint" }, h("summary", {}, say("Show the place")),
      kind === "pin" ? facesOf([id]) : "", chips(kind, [id])) : "",
    h("h3", {}, known ? say("Answer") : say("The meter shows")),
    h("div", { class: "answers" }, ["l", "h"].map((letter) =>
      h("button", { type: "button", "data-answer": letter, click: () => go(letter) }, h("b", {}, answerWords(ask, letter)),
        side(ask, letter).well ? h("small", {}, " ", say("as in a healthy car")) : ""))),
    known ? "" : typing(ask, go));
}

/* A field for what the meter shows where it is neither of the two. */
function typing(ask, go) {
  const volts = ask.what === "volts";
  const input = h("input", { id: "shown", inputmode: volts ? "decimal" : "text", autocomplete: "off",
    "aria-describedby": "wrong" });
  const wrong = h("p", { id: "wrong", role: "alert" });
  const take = (event) => {
    event.preventDefault();
    const value = typedValue(input.value);
    if (value === undefined) {
      wrong.textContent = volts ? say("Type volts, such as 12.4.") : say("Type ohms, such as 120 or 4.7 k, or open.");
    } else go(nearer(ask, value) + String(Math.round(value * 1000) / 1000));
  };
  return h("form", { class: "noprint", submit: take },
    h("label", { for: "shown" }, volts ? say("Something else: type the volts") : say("Something else: type the ohms")),
    h("div", { class: "typed" }, input, h("button", { type: "submit" }, say("Go on"))), wrong);
}

/* A reading that was typed and fits neither side is not passed over. */
function doubt(last, so) {
  if (!last) return "";
  const [ask, answer] = last;
  const value = Number(answer.slice(1));
  if (!answer.slice(1) || ask.what !== "volts") return "";
  const near = side(ask, answer);
  const [least, most] = near.of || [near.value, near.value];
  if (Math.max(least - value, value - most) <= 1 + 0.1 * Math.abs(value)) return "";
  return h("div", { class: "warn" },
    h("p", {}, h("b", {}, say("Neither."), " "), say("{volts} V is not {low} and not {high}; {near} is nearer. " +
      "Check the state of the car and the probe, and measure again.",
    { volts: figures(value), low: ask.low.words, high: ask.high.words, near: near.words })),
    h("p", {}, h("a", { class: "chip", href: to(...so.slice(0, -1), "?") },
      say("It stays so: a poor joint. Show the suspects of both sides"))));
}

function chooseOf(ids) {
  return [h("h2", {}, ids.length > 1 ? say("It is one of these") : say("It is this")),
    h("ul", { class: "plain" }, ids.map((id) => leadTo(to("symptom", id), symptoms[id].heading, symptoms[id].state)))];
}

function placeOf([kind, id]) {
  const row = cards[kind][id];
  if (!row) return "";
  return kind === "wire" ? row.ends.map((end) => `${end.says}, ${end.place}`) : row.place;
}

/* What tells more of suspects that are seen in different ways. */
function moreExactly(found) {
  const ids = [...new Set(found.map((suspect) => suspect.symptom))].filter((id) => symptoms[id]);
  return found.length > 1 && ids.length > 1 ? [h("h3", {}, say("What exactly is seen? Go on with")),
    h("ul", { class: "plain" }, ids.map((id) => leadTo(to("symptom", id), symptoms[id].heading, symptoms[id].state)))] : "";
}

function cureOf(suspect) {
  return cureWords[suspect.cure];
}

function ending(left, both) {
  const found = left.map((n) => trees.suspects[n]);
  return h("section", { class: "found" },
    h("h2", {}, found.length === 1 ? sayIn("search", "Found") : both ? say("Suspects of both sides") :
      say("{n} suspects left", { n: found.length })),
    found.length > 1 ? h("p", {}, say("Likeliest first: look at each in turn.")) : "",
    warnings(found.flatMap((suspect) => suspect.cautions || []).filter((kind) => !warned.includes(kind))),
    h("ol", { class: "plain" }, found.map((suspect, n) => {
      const cure = cureOf(suspect);
      const before = n && cureOf(found[n - 1]) === cure;
      const [kind, id] = suspect.card || [];
      return h("li", { class: "card" }, h("h3", {}, kind ? swatch(cards[kind][id] || {}) : "", cap(suspect.says)),
        terms([say("Where"), suspect.card ? placeOf(suspect.card) : ""]),
        before ? "" : cure && terms([say("For today"), cap(cure.today) + "."], [say("At home"), cap(cure.home) + "."]),
        suspect.card && cards[suspect.card[0]][suspect.card[1]] ? h("p", {}, chip(...suspect.card)) : "");
    })), moreExactly(found));
}

MORE.push([["device"], (kind, id) => {
  const rows = Object.values(symptoms).filter((row) => (row.devices || []).includes(id));
  return rows.length > 0 && h("details", {}, h("summary", {}, say("Something wrong with it ({n})", { n: rows.length })),
    h("ul", { class: "plain" }, rows.map((row) => leadTo(to("symptom", row.id), row.heading, row.state))));
}]);
