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
    if (!count) place.append(h("p", {}, "Nothing fits. Leave a word out, or pick from the groups."));
    if (words.length) say(`${count} found`);
  };
  input.addEventListener("input", show);
  show();
  return [
    h("h1", { tabindex: -1 }, "A fault"),
    h("h2", {}, "What the driver says"),
    [...new Set(trees.entries.map((one) => one.group))].map((group) => [h("h3", {}, group),
      h("ul", { class: "plain" }, trees.entries.map((one, n) =>
        (one.group === group ? leadTo(to("entry", n), cap(one.name), one.about) : "")))]),
    trees.said.length ? h("ul", { class: "plain" }, trees.said.map((one, n) =>
      leadTo(to("said", n), cap(one.name), one.about))) : "",
    h("h2", {}, "What is seen"),
    h("label", { for: "seen" }, "A device, and what it does: dead, weak, stuck on"), input,
    place,
  ];
}

function causesOf(causes) {
  return causes && causes.length ? [h("h2", {}, "Not electrical: look first"), h("ul", { class: "plain" },
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
    one.less ? h("p", {}, `${one.less} less likely causes are under “What is seen”.`) : "",
    one.wiggle ? h("details", {}, h("summary", {}, "It comes and goes: where to wiggle"), wiggleList(one.wiggle)) : "",
  ];
}

function wiggleList(spots) {
  return [
    h("p", {}, "Engine off, key on. Watch a lamp or the meter on the place, and wiggle one after the other in this order: the " +
      "plug first, then a hand's width of rope behind it. What shows when hot: warm it with a hair dryer, never a flame. What " +
      "shows in the wet: a spray of clean water, hands away from fans."),
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
    return [top, h("h2", {}, "Which of these is it?"), h("ul", { class: "plain" },
      looks.map((pattern, n) => leadTo(to("said", number, n), cap(pattern.seen))))];
  }
  if (!looks.length) return [top, h("p", {}, "No single electrical fault does this.")];
  const pattern = looks[Number(look || 0)];
  if (!pattern) return missing();
  const back = ["said", number, look || "0"];
  warned = look === undefined ? one.cautions || [] : [];
  return [top, walk(pattern.to, back, answers), h("details", {}, h("summary", {}, "All that it may be"),
    h("ul", { class: "plain" }, pattern.leads.map(([id, percent]) =>
      leadTo(to("symptom", id), symptoms[id].heading, `${percent} in 100`))),
    pattern.others ? h("p", {}, `${pattern.others} more are less likely than these.`) : "")];
}

function symptomView(id, ...answers) {
  const row = symptoms[id];
  if (!row) return missing();
  const first = !answers.length;
  return [
    h("h1", { tabindex: -1 }, row.heading),
    warnings(warned = row.cautions || []),
    row.blows ? h("p", {}, `${row.blows.join(", ")} blows again when renewed (${row.blows_in.join(", ")}). Leave it out ` +
      "while you measure.") : "",
    first ? causesOf(row.causes) : "",
    walk(row.to, ["symptom", id], answers),
    first && row.follows ? h("details", {}, h("summary", {}, "What follows from it"),
      row.follows.map((what) => h("p", {}, what))) : "",
  ];
}

function missing() {
  return [h("h1", { tabindex: -1 }, "Not here"), h("p", {}, h("a", { class: "chip", href: to("fault") }, "Begin again"))];
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
    if (!ask || !"lh".includes(answer.charAt(0))) return [h("p", {}, "This way leads nowhere."), again(base)];
    done.push([ask, answer, [...base, ...answers.slice(0, n)]]);
    at = answer.charAt(0) === "h" ? ask.high.to : ask.low.to;
  }
  const so = [...base, ...answers];
  return [
    doubt(done[done.length - 1], so),
    at[0] === "ask" ? question(trees.asks[at[1]], so, done) : at[0] === "choose" ? chooseOf(at[1]) :
      ending(at[0] === "left" ? at[1] : trees.ends[at[1]], at[0] === "left"),
    done.length ? h("p", { class: "noprint" }, h("a", { class: "button chip", href: to(...done[done.length - 1][2]) },
      "Back one step")) : "",
    done.length ? h("details", { class: "way" }, h("summary", {}, `Asked so far: ${done.length}`),
      h("ol", {}, done.map(([ask, answer]) => h("li", {}, answered(ask, answer))))) : "",
  ];
}

function again(base) {
  return h("p", {}, h("a", { class: "chip", href: to(...base) }, "Begin this one again"));
}

function side(ask, answer) {
  return answer.charAt(0) === "h" ? ask.high : ask.low;
}

function shownAs(text, ask) {
  return ask.what === "volts" ? `${text} V` : Number(text) >= 1e6 ? "open" : `${text} Ω`;
}

/* What is asked without a meter: the heading, the question, what no and yes are called. */
const ASKED = {
  look: { title: "Look", low: "No", high: "Yes", words: (ask) => ["Does ", h("b", {}, ask.where), " work?"] },
  click: {
    title: "Listen", low: "Silent", high: "It clicks",
    words: (ask) => ["Finger on ", h("b", {}, ask.where), ` while somebody goes from “${ask.other}” to this state. Does it click?`],
  },
  swap: {
    title: "Change it", low: "As before", high: "Well again",
    words: (ask) => ["Switch off. Change ", h("b", {}, ask.where), ` for ${ask.other || "a new one of the same rating"}, ` +
      "and look again. Is all well now?"],
  },
  feel: {
    title: "Feel", low: "No", high: "Yes",
    words: (ask) => ["Battery off. Hold the back of your hand near. Is it hot ",
      h("b", {}, ask.other ? `in zone ${ask.other}: ${ask.where}` : `at ${ask.where}`), "?"],
  },
};

/* The words of an answer, of a reading "About 12.5 V". */
function answerWords(ask, letter) {
  const known = ASKED[ask.what];
  return known ? (letter === "h" ? known.high : known.low) : `About ${side(ask, letter).words}`;
}

function doing(ask) {
  const where = ask.state === undefined ? "" : `${facts.states[ask.state].name}, `;
  if (ASKED[ask.what]) return `${ASKED[ask.what].title}: ${where}${ask.where}`;
  if (ask.what === "volts") return where + ask.where;
  return ask.across ? `Ohms, ${ask.where} to ${ask.across}` : `Ohms, ${ask.where} to the body`;
}

/* What was asked and answered, in a line. */
function answered(ask, answer) {
  const typed = answer.slice(1) ? `${shownAs(answer.slice(1), ask)}, taken for ` : "";
  return `${doing(ask)}: ${typed}${typed ? side(ask, answer).words : answerWords(ask, answer.charAt(0))}`;
}

/* How to set car and meter for a question. */
function setting(ask) {
  const state = ask.state === undefined ? null : facts.states[ask.state];
  const car = state ? ["Set the car: ", h("b", {}, state.name), state.about ? ` (${state.about})` : "", ". "] : "";
  if (ASKED[ask.what]) return car;
  if (ask.what === "volts") return [car, "Everything plugged in. Meter: volts DC. ", probes, "."];
  if (ask.what === "ohms") {
    return "Battery off. Fuses and relays out, every plug undone. Meter: ohms, the other probe on bare body metal.";
  }
  const apart = ask.unplug ? `Unplug ${ask.unplug}: measure on the harness.` : "All else plugged in.";
  return `Battery off. ${apart} Meter: ohms.`;
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
  if (!found) return /^\s*(open|ol|o\.l|1\.)\s*$/i.test(text) ? 1e9 : undefined;
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
    h("h2", {}, known ? known.title : ask.what === "volts" ? "Measure" : "Measure ohms"),
    warnings((ask.cautions || []).filter((one) => !warned.includes(one))),
    h("p", { class: "set" }, setting(ask)),
    known ? h("p", { class: "where" }, h("span", {}, known.words(ask))) :
      h("p", { class: "where" }, wires.length === 1 ? swatch(wires[0]) : "", h("b", {}, ask.where),
        ask.across ? [" to ", h("b", {}, ask.across)] : ""),
    terms(["What", kind === "pin" ? cards.device[there.device].title : ""], ["Where", there.place],
      ["Wire there", wires.length === 1 ? `${there.wires[0]}, ${wires[0].colour}` : ""],
      ["Healthy", ask.well]),
    there.place ? h("details", { class: "noprint" }, h("summary", {}, "Show the place"),
      kind === "pin" ? facesOf([id]) : "", chips(kind, [id])) : "",
    h("h3", {}, known ? "Answer" : "The meter shows"),
    h("div", { class: "answers" }, ["l", "h"].map((letter) =>
      h("button", { type: "button", "data-answer": letter, click: () => go(letter) }, h("b", {}, answerWords(ask, letter)),
        side(ask, letter).well ? h("small", {}, " as in a healthy car") : ""))),
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
    if (value === undefined) wrong.textContent = volts ? "Type volts, such as 12.4." : "Type ohms, such as 120 or 4.7 k, or open.";
    else go(nearer(ask, value) + String(Math.round(value * 1000) / 1000));
  };
  return h("form", { class: "noprint", submit: take },
    h("label", { for: "shown" }, `Something else: type the ${volts ? "volts" : "ohms"}`),
    h("div", { class: "typed" }, input, h("button", { type: "submit" }, "Go on")), wrong);
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
    h("p", {}, h("b", {}, "Neither. "), `${value} V is not ${ask.low.words} and not ${ask.high.words}; ${near.words} is nearer. ` +
      "Check the state of the car and the probe, and measure again."),
    h("p", {}, h("a", { class: "chip", href: to(...so.slice(0, -1), "?") },
      "It stays so: a poor joint. Show the suspects of both sides")));
}

function chooseOf(ids) {
  return [h("h2", {}, ids.length > 1 ? "It is one of these" : "It is this"),
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
  return found.length > 1 && ids.length > 1 ? [h("h3", {}, "What exactly is seen? Go on with"),
    h("ul", { class: "plain" }, ids.map((id) => leadTo(to("symptom", id), symptoms[id].heading, symptoms[id].state)))] : "";
}

function cureOf(suspect) {
  return cureWords[suspect.cure];
}

function ending(left, both) {
  const found = left.map((n) => trees.suspects[n]);
  return h("section", { class: "found" },
    h("h2", {}, found.length === 1 ? "Found" : both ? "Suspects of both sides" : `${found.length} suspects left`),
    found.length > 1 ? h("p", {}, "Likeliest first: look at each in turn.") : "",
    warnings(found.flatMap((suspect) => suspect.cautions || []).filter((kind) => !warned.includes(kind))),
    h("ol", { class: "plain" }, found.map((suspect, n) => {
      const cure = cureOf(suspect);
      const before = n && cureOf(found[n - 1]) === cure;
      const [kind, id] = suspect.card || [];
      return h("li", { class: "card" }, h("h3", {}, kind ? swatch(cards[kind][id] || {}) : "", cap(suspect.says)),
        terms(["Where", suspect.card ? placeOf(suspect.card) : ""]),
        before ? "" : cure && terms(["For today", cap(cure.today) + "."], ["At home", cap(cure.home) + "."]),
        suspect.card && cards[suspect.card[0]][suspect.card[1]] ? h("p", {}, chip(...suspect.card)) : "");
    })), moreExactly(found));
}

MORE.push([["device"], (kind, id) => {
  const rows = Object.values(symptoms).filter((row) => (row.devices || []).includes(id));
  return rows.length > 0 && h("details", {}, h("summary", {}, `Something wrong with it (${rows.length})`),
    h("ul", { class: "plain" }, rows.map((row) => leadTo(to("symptom", row.id), row.heading, row.state))));
}]);
