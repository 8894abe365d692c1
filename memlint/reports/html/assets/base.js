// What the other parts share: the data, elements, the address.

const data = JSON.parse(document.getElementById("data").textContent);
const { memories, details, findings, texts, colours } = data;
const indexOf = new Map(memories.map((memory, at) => [memory.path, at]));
const UNKNOWN = "unknown";

// Characters that have an effect in place of a shape would turn a line around or hide a part of it.
const clean = (text) =>
  text.replace(/[\t\r\n]/gu, " ").replace(/[\p{Cc}\p{Cf}\p{Cs}\p{Zl}\p{Zp}]/gu, "?");

function fill(node, children) {
  for (const child of children.flat(Infinity)) {
    if (child === null || child === undefined) continue;
    node.append(typeof child === "string" ? clean(child) : child);
  }
  return node;
}

function attributes(node, given) {
  for (const [key, value] of Object.entries(given)) {
    if (value === null || value === undefined || value === false) continue;
    if (key.startsWith("on")) node.addEventListener(key.slice(2), value);
    else node.setAttribute(key, value === true ? "" : String(value));
  }
  return node;
}

const el = (name, given = {}, ...children) =>
  fill(attributes(document.createElement(name), given), children);

const svg = (name, given = {}, ...children) =>
  fill(attributes(document.createElementNS("http://www.w3.org/2000/svg", name), given), children);

// A name keeps its own reading direction; a long path may break at its dots.
const named = (text) =>
  el("bdi", { class: "name" }, text.split(".").map((part, at) => (at ? [".", el("wbr"), part] : part)));

// A sentence; what stands in back ticks is code.
function prose(text) {
  const pieces = text.split("`");
  if (pieces.length % 2 === 0) return [text];
  return pieces.map((piece, at) => (at % 2 ? el("code", {}, el("bdi", {}, piece)) : piece));
}

const counted = (number, one, several) =>
  `${number.toLocaleString("en")} ${number === 1 ? one : several}`;

// A cell is its text, or a pair of the word that stands for no value and the reason.
const shown = (cell) => (Array.isArray(cell) ? cell[0] : cell);

function cell(value) {
  if (!Array.isArray(value)) return value;
  return el("span", { class: "no-value", title: clean(texts[value[1]]) }, value[0]);
}

function severities(list) {
  const counts = { error: 0, warning: 0, note: 0 };
  for (const at of list) counts[findings[at].severity] += 1;
  return counts;
}

// The part of the address behind `#`: `m` names the memory whose details are open, the rest is the table's.
const address = () => new URLSearchParams(location.hash.slice(1).replace(/\+/g, "%2B"));

function readdress(changes) {
  const parameters = address();
  for (const [key, value] of [...parameters]) if (value === "") parameters.delete(key);
  for (const [key, value] of Object.entries(changes)) {
    if (value) parameters.set(key, value);
    else parameters.delete(key);
  }
  const hash = [...parameters].map(([key, value]) => `${key}=${encodeURIComponent(value)}`).join("&");
  history.replaceState(null, "", hash ? `#${hash}` : location.pathname + location.search);
}
