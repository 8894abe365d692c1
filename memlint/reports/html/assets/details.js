// What is known of one memory, on demand.

const dialog = document.getElementById("details");
const opened = { at: null, from: null };

const LABELS = {
  depth: "depth", width: "width", bits: "bits", clocks: "clocks", read: "read style", tier: "tier",
  copies: "copies", blocks: "blocks", uniform_blocks: "uniform blocks", fill: "fill", chain: "chain",
  chains: "chains", split: "split", read_latency: "latency",
};

function unknownList(at) {
  const groups = new Map();
  for (const [key, reason] of Object.entries(details[at].unknown)) {
    groups.set(reason, [...(groups.get(reason) ?? []), LABELS[key] ?? key]);
  }
  if (!groups.size) return null;
  return part("No value", el("ul", { class: "reasons" },
    [...groups].map(([reason, keys]) => el("li", {}, el("b", {}, keys.join(", ")), ": ", prose(texts[reason])))));
}

const part = (title, ...children) => el("section", {}, el("h3", {}, title), children);

function figures(at) {
  return el("dl", { class: "figures" }, details[at].figures.map(([label, value]) =>
    el("div", {}, el("dt", {}, texts[label]), el("dd", {}, texts[value]))));
}

function decided(at) {
  return part("How it was decided", el("dl", { class: "answers" },
    details[at].answers.map(([label, said]) => [
      el("dt", {}, texts[label]),
      said.map((one) => el("dd", {}, prose(texts[one]))),
    ])));
}

function elsewhere(at) {
  const others = details[at].elsewhere;
  const head = ["Tier", "Takes", "Fill", "Of the device", "Copies", "Latency"];
  if (!others.length) {
    const why = memories[at].bits === null ? "Not reckoned: its shape is unknown." : "No other tier takes it.";
    return part("On other tiers", el("p", { class: "soft" }, why));
  }
  const rows = others.map((cells) => el("tr", { class: colours[texts[cells[0]]] },
    cells.map((one, column) => column
      ? el("td", { class: "number" }, texts[one])
      : el("th", { scope: "row" }, el("span", { class: "tier-name" }, texts[one])))));
  return part("On other tiers", el("div", { class: "scroll" }, el("table", { class: "plain" },
    el("thead", {}, el("tr", {}, head.map((label, at) =>
      el("th", { scope: "col", class: at ? "number" : null }, label)))),
    el("tbody", {}, rows))));
}

function itsFindings(at) {
  if (!details[at].findings.length) return null;
  return part("Findings", el("ul", { class: "its-findings" }, details[at].findings.map((one) =>
    el("li", {}, el("span", { class: `severity ${findings[one].severity}` }, findings[one].severity), " ",
      el("a", { href: `#f-${one}` }, findings[one].rule), el("p", {}, prose(findings[one].message))))));
}

function itsChanges(at) {
  if (!details[at].changed) return null;
  return part(`Changed ${data.since}`, el("dl", { class: "answers" }, details[at].changed.map(([label, said]) =>
    [el("dt", {}, texts[label]), el("dd", {}, prose(texts[said]))])));
}

function place(at) {
  const { file, line, column, unit, language, name } = memories[at];
  const where = el("code", {}, el("bdi", {}, line === null ? file : `${file}:${line}:${column}`));
  const address = data.links?.split("{line}").join(String(line ?? 1))
    .split("{file}").join(file.split("/").map(encodeURIComponent).join("/"));
  const tier = memories[at].tier;
  return el("p", { class: "soft" }, el("code", {}, el("bdi", {}, name)), " in unit ", named(unit), ` (${language}), `,
    address === undefined ? where : el("a", { href: address }, where),
    tier === null ? null : [", in ", el("span", { class: `tier-name ${colours[tier]}` }, tier)]);
}

function neighbours(at) {
  const rows = table.rows.includes(at) ? table.rows : [...memories.keys()];
  const here = rows.indexOf(at);
  return { before: rows[here - 1], after: rows[here + 1], here, count: rows.length };
}

function step(to) {
  if (to === undefined) return;
  readdress({ m: memories[to].path });
  openDetails(to);
}

function bar(at) {
  const { before, after, here, count } = neighbours(at);
  const button = (label, to) =>
    el("button", { type: "button", disabled: to === undefined, onclick: () => step(to) }, label);
  return el("div", { class: "bar" },
    el("span", { class: "soft" }, `${here + 1} of ${count}`),
    button("Before", before), button("After", after),
    el("button", { type: "button", class: "strong", onclick: () => dialog.close() }, "Close"));
}

function openDetails(at) {
  if (!dialog.open) opened.from = document.activeElement;
  opened.at = at;
  const title = el("h2", { id: "details-title", tabindex: -1 }, named(memories[at].path));
  dialog.replaceChildren(bar(at), el("div", { class: "body" },
    title, place(at), figures(at), itsChanges(at), itsFindings(at),
    part("How it is cut", cutsFigure(at) ?? el("p", { class: "soft" },
      memories[at].tier === "registers" ? "One flip-flop a bit: there is nothing to cut." : "No blocks are known to cut it into.")),
    unknownList(at), decided(at), elsewhere(at)));
  if (!dialog.open) dialog.showModal();
  dialog.scrollTop = 0;
  title.focus();
}

function startDetails() {
  dialog.addEventListener("close", () => {
    readdress({ m: "" });
    if (opened.from?.isConnected) opened.from.focus({ preventScroll: true });
    opened.at = null;
  });
  dialog.addEventListener("click", (event) => {
    if (event.target === dialog) dialog.close();
  });
  dialog.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey || event.target.closest(".scroll")) return;
    const { before, after } = neighbours(opened.at);
    if (event.key === "ArrowLeft") step(before);
    if (event.key === "ArrowRight") step(after);
  });
}
