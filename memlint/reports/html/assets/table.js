// The table of memories: sorted, filtered, a page of rows at a time.

const text = (key) => (at) => shown(details[at].cells[key]);
const byText = (pick) => ({ pick, order: (a, b) => (a < b ? -1 : a > b ? 1 : 0) });
const byNumber = (pick) => ({ pick, order: (a, b) => a - b });

const total = (counts) => counts.error * 1e8 + counts.warning * 1e4 + counts.note;
const portCount = (ports) => ports.w * 1e4 + ports.rw * 1e2 + ports.r;

const orders = {
  path: byNumber((at) => at),
  unit: byText((at) => memories[at].unit),
  shape: byNumber((at) => (memories[at].bits === null ? null : memories[at].bits / memories[at].banks)),
  banks: byNumber((at) => memories[at].banks),
  ports: byNumber((at) => portCount(memories[at].ports)),
  clocks: byText((at) => (memories[at].clocks === null ? null : memories[at].clocks.join())),
  read: byText((at) => memories[at].read),
  tier: byText((at) => memories[at].tier),
  blocks: byNumber((at) => memories[at].blocks),
  uniform: byNumber((at) => memories[at].uniform_blocks),
  fill: byNumber((at) => memories[at].fill),
  chain: byNumber((at) => memories[at].chain),
  latency: byNumber((at) => memories[at].read_latency),
  findings: byNumber((at) => total(severities(details[at].findings))),
};

const table = {
  rows: [],
  page: 0,
  size: 100,
  sort: { key: "path", down: false },
  haystacks: null,
};

const field = (id) => document.getElementById(id);
const filters = { q: "words", root: "by-root", tier: "by-tier", read: "by-read", show: "by-show" };
const wanted = (key) => field(filters[key])?.value ?? "";

function matches(at) {
  const memory = memories[at];
  const root = wanted("root");
  if (root && memory.path !== root && !memory.path.startsWith(`${root}.`)) return false;
  if (wanted("tier") && (memory.tier ?? UNKNOWN) !== wanted("tier")) return false;
  if (wanted("read") && (memory.read ?? UNKNOWN) !== wanted("read")) return false;
  const show = wanted("show");
  if (show === "with findings" && !details[at].findings.length) return false;
  if (show === "planned" && !details[at].planned) return false;
  if (show === "changed" && !details[at].changed) return false;
  if (show === "unknown" && !Object.keys(details[at].unknown).length) return false;
  return true;
}

function haystack(at) {
  const memory = memories[at];
  const cells = Object.values(details[at].cells).map(shown).join(" ");
  const rules = details[at].findings.map((one) => findings[one].rule).join(" ");
  return `${memory.path} ${memory.unit} ${memory.file} ${cells} ${rules}`.toLowerCase();
}

// Sorts with what has no value last, whichever way the rest goes.
function arrange() {
  const words = wanted("q").toLowerCase().split(/\s+/u).filter(Boolean);
  table.haystacks ??= memories.map((_, at) => haystack(at));
  const kept = [...memories.keys()].filter(
    (at) => matches(at) && words.every((word) => table.haystacks[at].includes(word)),
  );
  const { pick, order } = orders[table.sort.key];
  const sign = table.sort.down ? -1 : 1;
  const keys = new Map(kept.map((at) => [at, pick(at)]));
  kept.sort((a, b) => {
    const [left, right] = [keys.get(a), keys.get(b)];
    if (left === null || right === null) return (left === null) - (right === null) || a - b;
    return sign * order(left, right) || a - b;
  });
  table.rows = kept;
}

function findingBadges(at) {
  const counts = severities(details[at].findings);
  const first = (severity) => details[at].findings.find((one) => findings[one].severity === severity);
  return Object.entries(counts)
    .filter(([, count]) => count)
    .map(([severity, count]) =>
      el("a", { class: `severity ${severity}`, href: `#f-${first(severity)}` },
        counted(count, severity, `${severity}s`)));
}

function fillBar(at) {
  const part = memories[at].fill;
  if (part === null) return null;
  return svg("svg", { class: "meter", viewBox: "0 0 100 8", preserveAspectRatio: "none", "aria-hidden": "true" },
    svg("rect", { class: "supply", width: 100, height: 8 }),
    svg("rect", { class: "used", width: part * 100, height: 8 }));
}

function memoryCell(at) {
  const { path, unresolved } = memories[at];
  const link = el("a", { href: `#m=${encodeURIComponent(path)}` }, named(path));
  return unresolved ? [link, el("small", {}, `shape unknown: ${unresolved}`)] : [link];
}

function tierCell(at) {
  const from = { assumed: "assumed", attribute: "by attribute", intent: "by intent" }[memories[at].tier_from];
  return [
    memories[at].tier === null ? cell(details[at].cells.tier)
      : el("span", { class: "tier-name" }, details[at].cells.tier),
    from ? el("small", {}, from) : null,
    details[at].fits ? null : el("small", { class: "alarm" }, "does not take it as it is"),
  ];
}

function shapeCell(at) {
  const { depth, width } = details[at].cells;
  const reason = details[at].unknown.bits;
  const words = `${depth} x ${width}`;
  return reason === undefined ? words : el("span", { class: "no-value", title: clean(texts[reason]) }, words);
}

const contents = {
  path: memoryCell,
  unit: (at) => named(memories[at].unit),
  shape: shapeCell,
  tier: tierCell,
  fill: (at) => [cell(details[at].cells.fill), fillBar(at)],
  findings: (at) => findingBadges(at),
};

function row(at, heads) {
  const cells = heads.map(({ key, label, isNumber }) => {
    const inside = contents[key] ? contents[key](at) : cell(details[at].cells[key]);
    const given = { role: key === "path" ? "rowheader" : "cell", "data-key": key, "data-label": label };
    if (key === "path") given.scope = "row";
    if (isNumber) given.class = "number";
    return el(key === "path" ? "th" : "td", given, inside);
  });
  const tier = memories[at].tier;
  return el("tr", { role: "row", class: tier === null ? null : colours[tier], "data-at": at }, cells);
}

function heads() {
  return [...document.querySelectorAll("#table thead th")].map((head) => ({
    head,
    key: head.firstElementChild.dataset.key,
    label: head.textContent,
    isNumber: head.classList.contains("number"),
  }));
}

function drawRows(all = false) {
  const size = all || table.size === Infinity ? table.rows.length || 1 : table.size;
  const pages = Math.max(1, Math.ceil(table.rows.length / size));
  table.page = Math.min(table.page, pages - 1);
  const from = all ? 0 : table.page * size;
  const here = table.rows.slice(from, from + size);
  const columns = heads();
  for (const { head, key } of columns) {
    const direction = table.sort.down ? "descending" : "ascending";
    if (key === table.sort.key) head.setAttribute("aria-sort", direction);
    else head.removeAttribute("aria-sort");
  }
  field("sort-key").value = table.sort.key;
  const body = document.querySelector("#table tbody");
  body.replaceChildren(...here.map((at) => row(at, columns)));
  const rows = table.rows.length;
  field("count").textContent =
    rows === memories.length ? counted(rows, "memory", "memories") : `${rows} of ${memories.length} memories`;
  field("page").textContent =
    rows ? `${from + 1} to ${from + here.length} of ${rows}` : "nothing matches";
  field("back").disabled = table.page === 0;
  field("on").disabled = table.page >= pages - 1;
}

function redraw() {
  arrange();
  table.page = 0;
  drawRows();
}

function sortBy(key) {
  const same = table.sort.key === key;
  // A first look at figures and findings is for the largest ones.
  const isDownFirst = !["path", "unit", "clocks", "read", "tier", "ports"].includes(key);
  table.sort = { key, down: same ? !table.sort.down : isDownFirst };
  readdress({ sort: `${table.sort.down ? "-" : ""}${key}` });
  redraw();
}

// The filters as the address has them, so that a view of the table can be kept and sent.
function filtersFromAddress() {
  const parameters = address();
  for (const [key, id] of Object.entries(filters)) {
    const control = field(id);
    if (!control) continue;
    control.value = parameters.get(key) ?? "";
    if (control.selectedIndex === -1) control.value = "";
  }
  const sort = parameters.get("sort") ?? "path";
  const key = sort.replace(/^-/u, "");
  table.sort = Object.hasOwn(orders, key) ? { key, down: sort.startsWith("-") } : { key: "path", down: false };
}

function filtersToAddress() {
  readdress(Object.fromEntries(Object.keys(filters).map((key) => [key, wanted(key)])));
  redraw();
}

function startTable() {
  if (!field("table")) return;
  for (const id of Object.values(filters)) field(id)?.addEventListener("input", filtersToAddress);
  for (const { head, key } of heads()) head.firstElementChild.addEventListener("click", () => sortBy(key));
  field("sort-key").addEventListener("input", (event) => sortBy(event.target.value));
  field("turn").addEventListener("click", () => sortBy(table.sort.key));
  field("clear").addEventListener("click", () => {
    for (const id of Object.values(filters)) if (field(id)) field(id).value = "";
    filtersToAddress();
    field("words").focus();
  });
  field("size").addEventListener("input", (event) => {
    table.size = event.target.value === "all" ? Infinity : Number(event.target.value);
    table.page = 0;
    drawRows();
  });
  for (const [id, step] of [["back", -1], ["on", 1]]) {
    field(id).addEventListener("click", () => {
      table.page += step;
      drawRows();
      document.getElementById("memories").scrollIntoView();
    });
  }
  addEventListener("beforeprint", () => drawRows(true));
  addEventListener("afterprint", () => drawRows());
}
