"use strict";
const facts = JSON.parse(document.getElementById("facts").textContent);
const cautionWords = JSON.parse(document.getElementById("cautions").textContent);
const language = JSON.parse(document.getElementById("language").textContent);
const cards = facts.cards;
const main = document.getElementById("main");
const SVG = "http://www.w3.org/2000/svg";

/* An element with attributes and children; what is text stays text. */
function h(tag, given, ...children) {
  return filled(document.createElement(tag), given, children);
}

function svg(tag, given, ...children) {
  return filled(document.createElementNS(SVG, tag), given, children);
}

function filled(made, given, children) {
  for (const [name, value] of Object.entries(given || {})) {
    if (typeof value === "function") made.addEventListener(name, value);
    else if (value !== false && value !== undefined) made.setAttribute(name, value === true ? "" : value);
  }
  made.append(...children.flat(9).filter((child) => child !== undefined && child !== "" && child !== false));
  return made;
}

function worded(message) {
  return language.words[message] || message;
}

/* Words of ours in the vehicle's language, found by the English ones; values fill the `{holes}`. */
function say(message, values) {
  return worded(message).replace(/\{(\w+)\}/g, (_, name) => values[name]);
}

/* The same of a word with two meanings in English; the context tells them apart. */
function sayIn(context, message) {
  const key = `${context}\u0004${message}`;
  return language.words[key] || message;
}

/* The same with elements among the values: its pieces, one after the other. */
function mixed(message, values) {
  return worded(message).split(/\{(\w+)\}/).map((piece, n) => (n % 2 ? values[piece] : piece));
}

/* Words that stand in a table, and are said later. */
function mark(message) {
  return message;
}

/* A number with the decimal sign of the language. */
function figures(number) {
  return String(number).replace(".", language.sign);
}

/* Tells something to whoever does not look. */
function tell(text) {
  document.getElementById("said").textContent = text;
}

function to(...parts) {
  return "#/" + parts.map((part) => encodeURIComponent(part)).join("/");
}

function cap(text) {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/* A caution of each kind, where the work is. */
function warnings(kinds) {
  return [...new Set(kinds)].filter((kind) => cautionWords[kind]).map((kind) =>
    h("p", { class: "warn" }, h("b", {}, `${say("CAUTION")}: ${facts.dangers[kind] || kind}. `), cautionWords[kind]));
}

/* A piece of wire in its colours, for the eye beside the words. */
function swatch(row) {
  if (!row.ink || !row.ink.length) return "";
  const [body, tracer] = row.ink;
  const bands = [];
  for (let x = 4; tracer && x < 64; x += 20) {
    bands.push(svg("path", { d: `M${x} 22 l8 -18 h8 l-8 18 z`, fill: tracer }));
  }
  return svg("svg", { class: "swatch", viewBox: "0 0 64 26", role: "img", "aria-label": row.colour },
    svg("rect", { x: 0, y: 0, width: 64, height: 26, rx: 4, fill: "#ffffff" }),
    svg("rect", { x: 2, y: 4, width: 60, height: 18, fill: body }),
    bands,
    svg("rect", { x: 2, y: 4, width: 60, height: 18, fill: "none", stroke: "#000000", "stroke-width": 1.5 }));
}
