const KINDS = { wire: "Wire", pin: "Pin", device: "Device", plug: "Connector", splice: "Splice", circuit: "Circuit" };

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
const NOTES = [
  [/average/, "Average: pulses, of which a meter shows the mean."],
  [/\d or /, "“Or”: one of the two, as what is sensed happens to stand."],
  [/^[^(]*\d to /, "“To”: anything between, as what is measured goes or the engine turns."],
];

/* Readings by state: those first that are asked for most, the others behind a button. */
function readings(columns, off) {
  const shown = columns.filter((column) => (column.reads || []).some((n) => n));
  if (!shown.length) return "";
  const same = shown.every((column) => column.reads.join() === shown[0].reads.join());
  const use = same ? shown.slice(0, 1) : shown;
  const line = (state, at) => h("tr", {}, h("th", { scope: "row" }, state.name),
    use.map((column) => h("td", {}, facts.words[column.reads[at]] || "–")));
  const table = (places, caption) => h("table", {}, h("caption", { class: "unseen" }, caption),
    h("thead", {}, h("tr", {}, h("th", { scope: "col" }, "State"),
      use.map((column) => h("th", { scope: "col" }, use.length > 1 ? column.says : "Healthy reading")))),
    h("tbody", {}, places.map((at) => line(facts.states[at], at))));
  const rest = facts.states.map((_, at) => at).filter((at) => !facts.first.includes(at));
  const apart = Object.entries(off || {});
  const said = shown.flatMap((column) => column.reads).concat(Object.values(off || {})).map((n) => facts.words[n]);
  return [
    part("What a healthy one reads"),
    table(facts.first, "Healthy readings"),
    rest.length ? h("details", {}, h("summary", {}, `In ${rest.length} more states`),
      table(rest, "Healthy readings in the other states")) : "",
    h("details", { class: "noprint" }, h("summary", {}, "What the states are"),
      terms(...facts.states.map((state) => [state.name, state.about || (state.runs ? "engine running" : "engine still")]))),
    apart.length ? [part("On the harness, this connector unplugged"),
      h("table", {}, h("tbody", {}, apart.map(([state, n]) =>
        h("tr", {}, h("th", { scope: "row" }, state), h("td", {}, facts.words[n])))))] : "",
    NOTES.filter(([sign]) => said.some((words) => sign.test(words))).map(([, note]) => h("p", {}, h("small", {}, note))),
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
  return [part(`${sensor.title}: what it gives`),
    h("p", {}, `Volts plugged in at ${sensor.at}${sensor.state ? ` (${sensor.state})` : ""}; ohms across it, unplugged.`),
    h("table", {}, h("thead", {}, h("tr", {}, ["When", "Ohms", "Volts"].map((word) => h("th", { scope: "col" }, word)))),
      h("tbody", {}, sensor.rows.map(([when, ohms, volts]) =>
        h("tr", {}, h("th", { scope: "row" }, when), h("td", {}, ohms), h("td", {}, volts)))))];
}

const FACTS = {
  wire(id, row) {
    return [
      warnings(cautionsAt(row.ends.map((end) => end.pin))),
      terms(
        ["Colour", `${row.colour} (${row.code})`],
        ["From", endOf(row.ends[0])],
        ["To", endOf(row.ends[1])],
        ["Protected by", row.fuse ? chip("device", row.fuse, fuseWords(row.fuse)) :
          row.bare ? "no fuse: isolate the battery before you touch it" : ""],
        ["Size", row.size],
        ["Carries at most", row.carries],
        ["Circuit", chip("circuit", row.circuit)],
        ["System", facts.systems[row.system] || row.system],
        ["Runs", row.along.length > 1 ? row.along.join(" → ") : ""],
        ["Harness, cut length", `${row.harness}, ${row.cut}${row.cable ? ", in cable " + row.cable : ""}`],
      ),
      readings(row.ends.map((end) => ({ says: "at " + end.says, reads: end.reads }))),
      row.joined ? [part("Joined to it"), chips("wire", row.joined)] : "",
    ];
  },
  pin(id, row) {
    return [
      warnings(cautionsAt([id])),
      terms(
        ["For", row.use],
        ["Probe", row.probe],
        ["On", chip("device", row.device)],
        ["Where", row.place],
        ["Connector", row.plug ? chip("plug", row.plug, `${row.plug}, cavity ${row.cavity || row.name}`) : ""],
        ["Circuit", (row.circuits || []).map((one) => chip("circuit", one))],
      ),
      row.wires ? [part("Wires on it"), wireRows(row.wires)] :
        h("p", {}, row.unused ? "Left empty on purpose." : "No wire is on it."),
      readings([{ says: row.says, reads: row.reads }], row.off),
      row.inside ? [part("Joined inside the device to"), chips("pin", row.inside)] : "",
    ];
  },
  device(id, row) {
    return [
      warnings(row.caution ? [row.caution] : []),
      terms(
        ["What it is", row.kind + (row.later ? ", not fitted yet" : "")],
        ["Where", row.place],
        ["System", facts.systems[row.system] || row.system],
        ["Rating", row.rating ? row.rating + (row.body ? `, ${row.body} body` : "") : ""],
        ["Carries at most", row.load],
        ["Fed from bus bar", row.bus],
        ["Feeds", row.feeds ? chips("device", row.feeds) : ""],
        ["Blown or out", row.dies],
        ["Draws", row.draws],
        ["Fuse", (row.fuses || []).map((fuse) => chip("device", fuse, fuseWords(fuse)))],
        ["Part", row.part],
        ["Connectors", row.plugs ? chips("plug", row.plugs) : ""],
      ),
      row.sensor ? row.sensor.map(sensorTable) : "",
      row.kind === "fuse" ? readings(row.pins.map((pin) => ({ says: cards.pin[pin].name, reads: cards.pin[pin].reads }))) : "",
      row.pins ? [part("Pins"), pinRows(row.pins)] : "",
    ];
  },
  plug(id, row) {
    return [
      terms(
        ["On", row.device ? chip("device", row.device) : ""],
        ["Type", row.type],
        ["Harness", row.harness],
        ["Where", row.place],
      ),
      part("Cavities"), pinRows(Object.values(row.pins || {})),
    ];
  },
  splice(id, row) {
    return [
      terms(
        ["Where", row.place + (row.offset ? `, ${row.offset} along` : "")],
        ["Harness", row.harness],
        ["Circuit", chip("circuit", row.circuit)],
      ),
      part("Wires in it"), wireRows(row.wires),
      readings([{ says: id, reads: row.reads }]),
    ];
  },
  circuit(id, row) {
    return [
      terms(
        ["For", row.about],
        ["Status", row.status],
        ["System", facts.systems[row.system] || row.system],
      ),
      part("Wires"), row.wires ? wireRows(row.wires) : h("p", {}, "Inside devices: it has no wire."),
      part("Pins"), pinRows(row.pins || []),
    ];
  },
};

/* A line that leads to a card, with what tells it from its like. */
const LESS = {
  wire: (row) => [row.colour, row.size, row.fuse && `fuse ${row.fuse}`].filter(Boolean).join(", ") + ": " +
    row.ends.map((end) => end.says).join(" to "),
  pin: (row) => [row.use, cards.device[row.device].title].filter(Boolean).join(", "),
  device: (row) => [row.kind, row.rating, row.place].filter(Boolean).join(", "),
  plug: (row) => ["connector", row.type, row.place].filter(Boolean).join(", "),
  splice: (row) => `splice, ${row.place}`,
  circuit: (row) => `circuit, ${facts.systems[row.system] || row.system || ""}`,
};

function line(kind, id, given) {
  const row = cards[kind][id];
  const name = kind === "wire" || kind === "pin" ? `${KINDS[kind]} ${nameOf(kind, id)}` : nameOf(kind, id);
  return h("li", {}, h("a", { class: "row", href: to(kind, id), ...given }, kind === "wire" ? swatch(row) : "",
    h("span", { class: "much" }, h("b", {}, name), h("span", { class: "less" }, LESS[kind](row)))));
}

function wireRows(ids) {
  return h("ul", { class: "plain" }, ids.map((id) => line("wire", id)));
}

function pinRows(ids) {
  return h("ul", { class: "plain" }, ids.filter((id) => cards.pin[id]).map((id) => {
    const row = cards.pin[id];
    const wires = (row.wires || []).map((wire) => `wire ${wire}, ${cards.wire[wire].colour}`).join("; ");
    return h("li", {}, h("a", { class: "row", href: to("pin", id) },
      row.wires ? swatch(cards.wire[row.wires[0]]) : "",
      h("span", { class: "much" }, h("b", {}, row.says + (row.use ? `: ${row.use}` : "")),
        h("span", { class: "less" }, wires || (row.unused ? "left empty" : "no wire")))));
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
  const said = kind === "device" || kind === "plug" ? title : `${KINDS[kind]} ${title}`;
  return h("article", { class: "card", "data-kind": kind, "data-id": id },
    h(top, { tabindex: top === "h1" ? -1 : undefined }, swatch(row), said),
    MORE.filter(([kinds]) => kinds.includes(kind)).map(([, make]) => make(kind, id, row)),
    FACTS[kind](id, row));
}

/* What other parts of the script add to cards: kinds, and what makes it. */
const MORE = [];
