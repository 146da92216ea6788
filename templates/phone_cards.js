const KINDS = { wire: mark("Wire"), pin: mark("Pin"), device: mark("Device"), plug: mark("Connector"),
  splice: mark("Splice"), circuit: mark("Circuit") };

function nameOf(kind, id) {
  const row = cards[kind][id];
  if (kind === "device") return row.title && row.title !== id ? `${id}: ${row.title}` : id;
  if (kind === "plug") return row.title && row.title !== id ? `${id}: ${row.title}` : id;
  if (kind === "pin") return row.says;
  if (kind === "circuit") return `${row.number} ${id}`;
  return id;
}

/* A link to a card with its name; plain text where there is no such card. */
function chip(kind, id, text) {
  const row = cards[kind][id];
  if (!row) return h("span", {}, text || id);
  return h("a", { class: "chip", href: to(kind, id) }, kind === "wire" ? swatch(row) : "", text || nameOf(kind, id));
}

function chips(kind, ids, words) {
  return h("div", { class: "chips" }, (ids || []).map((id) => chip(kind, id, words && words(id))));
}

/* Terms with what is said of them; pairs without anything to say are left out. */
function terms(...pairs) {
  return h("dl", {}, pairs.filter(([, said]) => said && (!Array.isArray(said) || said.length)).map(([name, said]) =>
    [h("dt", {}, name), [].concat(said).map((one) => h("dd", {}, one))]));
}

/* What the words of a reading mean, where they stand in one. */
const NOTES = {
  average: mark("Average: pulses, of which a meter shows the mean."),
  levels: mark("“Or”: one of the two, as what is sensed happens to stand."),
  between: mark("“To”: anything between, as what is measured goes or the engine turns."),
};

/* Readings by state: those first that are asked for most, the others behind a button. */
function readings(columns, off) {
  const shown = columns.filter((column) => (column.reads || []).some((n) => n));
  if (!shown.length) return "";
  const same = shown.every((column) => column.reads.join() === shown[0].reads.join());
  const use = same ? shown.slice(0, 1) : shown;
  const line = (state, at) => h("tr", {}, h("th", { scope: "row" }, state.name),
    use.map((column) => h("td", {}, facts.words[column.reads[at]] || "–")));
  const table = (places, caption) => h("table", {}, h("caption", { class: "unseen" }, caption),
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, say("State")),
      use.map((column) => h("th", { scope: "col" }, use.length > 1 ? column.says : say("Healthy reading"))))),
    h("tbody", {}, places.map((at) => line(facts.states[at], at))));
  const rest = facts.states.map((_, at) => at).filter((at) => !facts.first.includes(at));
  const apart = Object.entries(off || {});
  const kinds = shown.flatMap((column) => column.reads).concat(Object.values(off || {})).map((n) => facts.shown[n]);
  return [
    part(say("What a healthy one reads")),
    table(facts.first, say("Healthy readings")),
    rest.length ? h("details", {}, h("summary", {}, say("In {n} more states", { n: rest.length })),
      table(rest, say("Healthy readings in the other states"))) : "",
    h("details", { class: "noprint" }, h("summary", {}, say("What the states are")),
      terms(...facts.states.map((state) =>
        [state.name, state.about || (state.runs ? say("engine running") : say("engine still"))]))),
    apart.length ? [part(say("On the harness, this connector unplugged")),
      h("table", {}, h("tbody", {}, apart.map(([state, n]) =>
        h("tr", {}, h("th", { scope: "row" }, state), h("td", {}, facts.words[n])))))] : "",
    Object.entries(NOTES).filter(([kind]) => kinds.includes(kind)).map(([, note]) => h("p", {}, h("small", {}, say(note)))),
  ];
}

function fuseWords(id) {
  const fuse = cards.device[id];
  return fuse ? `${id}: ${[fuse.title, fuse.rating].filter(Boolean).join(", ")}` : id;
}

function endOf(end) {
  const pin = end.pin && cards.pin[end.pin];
  return [
    end.splice ? chip("splice", end.splice, end.says) : pin ? chip("pin", end.pin, end.says) : end.says,
    end.of ? h("div", {}, end.of, end.use ? ` (${end.use})` : "") : "",
    h("div", {}, h("small", {}, end.place)),
  ];
}

function cautionsAt(pins) {
  return pins.map((id) => cards.pin[id] && cards.device[cards.pin[id].device])
    .filter(Boolean).map((device) => device.caution).filter(Boolean);
}

/* What a sensor gives as what it senses goes. */
function sensorTable(sensor) {
  const at = sensor.at + (sensor.state ? ` (${sensor.state})` : "");
  return [part(say("{sensor}: what it gives", { sensor: sensor.title })),
    h("p", {}, say("Volts plugged in at {pin}; ohms across it, unplugged.", { pin: at })),
    h("table", {}, h("thead", {}, h("tr", {}, [say("When"), say("Ohms"), say("Volts")].map((word) =>
      h("th", { scope: "col" }, word)))),
      h("tbody", {}, sensor.rows.map(([when, ohms, volts]) =>
        h("tr", {}, h("th", { scope: "row" }, when), h("td", {}, ohms), h("td", {}, volts)))))];
}

const FACTS = {
  wire(id, row) {
    return [
      warnings(cautionsAt(row.ends.map((end) => end.pin))),
      terms(
        [say("Colour"), `${row.colour} (${row.code})`],
        [sayIn("end", "From"), endOf(row.ends[0])],
        [sayIn("end", "To"), endOf(row.ends[1])],
        [say("Protected by"), row.fuse ? chip("device", row.fuse, fuseWords(row.fuse)) :
          row.bare ? say("no fuse: isolate the battery before you touch it") : ""],
        [say("Size"), row.size],
        [say("Carries at most"), row.carries],
        [say("Circuit"), chip("circuit", row.circuit)],
        [say("System"), facts.systems[row.system] || row.system],
        [sayIn("wire", "Runs"), row.along.length > 1 ? row.along.join(" → ") : ""],
        [say("Harness, cut length"), [row.harness, row.cut, row.cable && say("in cable {cable}", { cable: row.cable })]
          .filter(Boolean).join(", ")],
      ),
      readings(row.ends.map((end) => ({ says: say("at {end}", { end: end.says }), reads: end.reads }))),
      row.joined ? [part(say("Joined to it")), chips("wire", row.joined)] : "",
    ];
  },
  pin(id, row) {
    return [
      warnings(cautionsAt([id])),
      terms(
        [sayIn("use", "For"), row.use],
        [sayIn("place", "Probe"), row.probe],
        [sayIn("device", "On"), chip("device", row.device)],
        [say("Where"), row.place],
        [say("Connector"), row.plug ? chip("plug", row.plug,
          say("{plug}, cavity {cavity}", { plug: row.plug, cavity: row.cavity || row.name })) : ""],
        [say("Circuit"), (row.circuits || []).map((one) => chip("circuit", one))],
      ),
      row.wires ? [part(say("Wires on it")), wireRows(row.wires)] :
        h("p", {}, row.unused ? say("Left empty on purpose.") : say("No wire is on it.")),
      readings([{ says: row.says, reads: row.reads }], row.off),
      row.inside ? [part(say("Joined inside the device to")), chips("pin", row.inside)] : "",
    ];
  },
  device(id, row) {
    return [
      warnings(row.caution ? [row.caution] : []),
      terms(
        [say("What it is"), row.later ? say("{kind}, not fitted yet", { kind: kindOf(row) }) : kindOf(row)],
        [say("Where"), row.place],
        [say("System"), facts.systems[row.system] || row.system],
        [say("Rating"), row.rating && row.body ? say("{rating}, {colour} body", { rating: row.rating, colour: row.body }) :
          row.rating],
        [say("Carries at most"), row.load],
        [say("Fed from bus bar"), row.bus],
        [say("Feeds"), row.feeds ? chips("device", row.feeds) : ""],
        [say("Blown or out"), row.dies],
        [say("Draws"), row.draws],
        [say("Fuse"), (row.fuses || []).map((fuse) => chip("device", fuse, fuseWords(fuse)))],
        [say("Part"), row.part],
        [say("Connectors"), row.plugs ? chips("plug", row.plugs) : ""],
      ),
      row.sensor ? row.sensor.map(sensorTable) : "",
      row.kind === "fuse" ? readings(row.pins.map((pin) => ({ says: cards.pin[pin].name, reads: cards.pin[pin].reads }))) : "",
      row.pins ? [part(say("Pins")), pinRows(row.pins)] : "",
    ];
  },
  plug(id, row) {
    return [
      terms(
        [sayIn("device", "On"), row.device ? chip("device", row.device) : ""],
        [say("Type"), row.type],
        [say("Harness"), row.harness],
        [say("Where"), row.place],
      ),
      part(say("Cavities")), pinRows(Object.values(row.pins || {})),
    ];
  },
  splice(id, row) {
    return [
      terms(
        [say("Where"), row.offset ? say("{place}, {length} along", { place: row.place, length: row.offset }) : row.place],
        [say("Harness"), row.harness],
        [say("Circuit"), chip("circuit", row.circuit)],
      ),
      part(say("Wires in it")), wireRows(row.wires),
      readings([{ says: id, reads: row.reads }]),
    ];
  },
  circuit(id, row) {
    return [
      terms(
        [sayIn("use", "For"), row.about],
        [say("Status"), row.status],
        [say("System"), facts.systems[row.system] || row.system],
      ),
      part(say("Wires")), row.wires ? wireRows(row.wires) : h("p", {}, say("Inside devices: it has no wire.")),
      part(say("Pins")), pinRows(row.pins || []),
    ];
  },
};

/* A line that leads to a card, with what tells it from its like. */
const LESS = {
  wire: (row) => [row.colour, row.size, row.fuse && say("fuse {fuse}", { fuse: row.fuse })].filter(Boolean).join(", ") +
    ": " + say("{a} to {b}", { a: row.ends[0].says, b: row.ends[1].says }),
  pin: (row) => [row.use, cards.device[row.device].title].filter(Boolean).join(", "),
  device: (row) => [kindOf(row), row.rating, row.place].filter(Boolean).join(", "),
  plug: (row) => [say("connector"), row.type, row.place].filter(Boolean).join(", "),
  splice: (row) => say("splice, {place}", { place: row.place }),
  circuit: (row) => say("circuit, {system}", { system: facts.systems[row.system] || row.system || "" }),
};

/* What a device is, in the language; `kind` is what it is told by. */
function kindOf(row) {
  return row.is || row.kind;
}

function line(kind, id, given) {
  const row = cards[kind][id];
  const name = kind === "wire" || kind === "pin" ? `${say(KINDS[kind])} ${nameOf(kind, id)}` : nameOf(kind, id);
  return h("li", {}, h("a", { class: "row", href: to(kind, id), ...given }, kind === "wire" ? swatch(row) : "",
    h("span", { class: "much" }, h("b", {}, name), h("span", { class: "less" }, LESS[kind](row)))));
}

function wireRows(ids) {
  return h("ul", { class: "plain" }, ids.map((id) => line("wire", id)));
}

function pinRows(ids) {
  return h("ul", { class: "plain" }, ids.filter((id) => cards.pin[id]).map((id) => {
    const row = cards.pin[id];
    const wires = (row.wires || []).map((wire) =>
      say("wire {wire}, {colour}", { wire, colour: cards.wire[wire].colour })).join("; ");
    return h("li", {}, h("a", { class: "row", href: to("pin", id) },
      row.wires ? swatch(cards.wire[row.wires[0]]) : "",
      h("span", { class: "much" }, h("b", {}, row.says + (row.use ? `: ${row.use}` : "")),
        h("span", { class: "less" }, wires || (row.unused ? say("left empty") : say("no wire"))))));
  }));
}

/* A heading within a card or under a drawing, one below that of the whole. */
let level = "h2";

function part(text) {
  return h(level, { class: "part" }, text);
}

/* The card of a thing; `top` is its own heading. */
function card(kind, id, top) {
  level = top === "h1" ? "h2" : "h3";
  const row = cards[kind][id];
  const title = nameOf(kind, id);
  const said = kind === "device" || kind === "plug" ? title : `${say(KINDS[kind])} ${title}`;
  return h("article", { class: "card", "data-kind": kind, "data-id": id },
    h(top, { tabindex: top === "h1" ? -1 : undefined }, swatch(row), said),
    MORE.filter(([kinds]) => kinds.includes(kind)).map(([, make]) => make(kind, id, row)),
    FACTS[kind](id, row));
}

/* What other parts of the script add to cards: kinds, and what makes it. */
const MORE = [];
