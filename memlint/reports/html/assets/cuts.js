// A memory's array with the blocks that hold it, to scale.

const ROOMY = { left: 78, top: 30, width: 560, height: 300, right: 60, bottom: 34 };
const SMALL = { left: 62, top: 26, width: 220, height: 220, right: 40, bottom: 34 };
let frame = ROOMY;
const MOST_LINES = 120;
const figure = (number) => number.toLocaleString("en", { maximumFractionDigits: 4 });

// Cuts written once for several side by side become one rectangle each.
function unfolded(cuts) {
  return cuts.flatMap(([firstWord, words, firstBit, bits, depth, width, blocks, times]) =>
    Array.from({ length: times }, (_, at) => ({
      firstWord, words, bits, depth, width, blocks, firstBit: firstBit + at * bits,
    })));
}

// How far the blocks reach beyond the array where no other cut lies in between.
function extent(cuts, deep, wide) {
  let [down, across] = [deep, wide];
  for (const cut of cuts) {
    if (cut.firstWord + cut.words >= deep) {
      down = Math.max(down, cut.firstWord + Math.ceil(cut.words / cut.depth) * cut.depth);
    }
    if (cut.firstBit + cut.bits >= wide) across = Math.max(across, cut.firstBit + cut.width);
  }
  return { down, across };
}

function marks(values, most) {
  const sorted = [...new Set(values)].sort((a, b) => a - b);
  return sorted.length <= most ? sorted : [sorted[0], sorted[sorted.length - 1]];
}

function cutShape(cut, place, deep, wide) {
  const { x, y } = place;
  const stacked = Math.ceil(cut.words / cut.depth);
  const bottom = cut.firstWord + cut.words >= deep ? cut.firstWord + stacked * cut.depth : cut.firstWord + cut.words;
  const right = cut.firstBit + cut.bits >= wide ? cut.firstBit + cut.width : cut.firstBit + cut.bits;
  const [left, top] = [x(cut.firstBit), y(cut.firstWord)];
  const lines = [];
  if (stacked > 1 && stacked <= MOST_LINES) {
    for (let at = 1; at < stacked; at += 1) {
      lines.push(`M${left} ${y(cut.firstWord + at * cut.depth)}H${x(right)}`);
    }
  }
  const said = `${figure(cut.words)} words x ${figure(cut.bits)} bits from word ${figure(cut.firstWord)}, ` +
    `bit ${figure(cut.firstBit)}: ${counted(cut.blocks, "block", "blocks")} of ${figure(cut.depth)} x ${figure(cut.width)}`;
  return svg("g", { class: "cut" },
    svg("title", {}, said),
    svg("rect", { class: "taken", x: left, y: top, width: x(right) - left, height: Math.max(y(bottom) - top, 1) }),
    svg("rect", {
      class: "used", x: left, y: top,
      width: Math.max(x(cut.firstBit + cut.bits) - left, 1),
      height: Math.max(y(cut.firstWord + cut.words) - top, 1.5),
    }),
    lines.length ? svg("path", { class: "grid", d: lines.join("") }) : null);
}

function axes(cuts, place, deep, wide, reach) {
  const bits = marks([0, wide, ...cuts.map((cut) => cut.firstBit)], 9);
  const words = marks([0, deep, ...cuts.map((cut) => cut.firstWord)], 9);
  const beyond = [];
  const below = place.y(reach.down) - place.y(deep) > 14;
  const beside = place.x(reach.across) - place.x(wide) > 46;
  if (below) beyond.push(svg("text", { x: frame.left - 8, y: place.y(reach.down) + 4, class: "end quiet" }, figure(reach.down)));
  if (beside) beyond.push(svg("text", { x: place.x(reach.across), y: frame.top - 10, class: "middle quiet" }, figure(reach.across)));
  return [
    keptApart(bits, (value) => place.x(value), 34).map((value) =>
      svg("text", { x: place.x(value), y: frame.top - 10, class: "middle" }, figure(value))),
    keptApart(words, (value) => place.y(value), 13).map((value) =>
      svg("text", { x: frame.left - 8, y: place.y(value) + 4, class: "end" }, figure(value))),
    beyond,
  ];
}

// The first and the last always; of the others, those with room for their label.
function keptApart(values, at, room) {
  const last = values[values.length - 1];
  const kept = [values[0]];
  for (const value of values.slice(1, -1)) {
    if (at(value) - at(kept[kept.length - 1]) >= room && at(last) - at(value) >= room) kept.push(value);
  }
  if (values.length > 1) {
    if (at(last) - at(kept[0]) < room) kept.pop();
    kept.push(last);
  }
  return kept;
}

function cutsFigure(at) {
  frame = innerWidth < 640 ? SMALL : ROOMY;
  const memory = memories[at];
  const { word, cuts_left: left } = details[at];
  const cuts = unfolded(details[at].cuts);
  if (!cuts.length || memory.depth === null) return null;
  const wide = word ?? memory.width;
  const reach = extent(cuts, memory.depth, wide);
  const place = {
    x: (bit) => frame.left + (bit / reach.across) * frame.width,
    y: (at) => frame.top + (at / reach.down) * frame.height,
  };
  const [right, bottom] = [place.x(wide), place.y(memory.depth)];
  const drawing = svg("svg", {
    viewBox: `0 0 ${frame.left + frame.width + frame.right} ${frame.top + frame.height + frame.bottom}`,
    role: "img", "aria-labelledby": "cuts-words",
  },
    cuts.map((cut) => cutShape(cut, place, memory.depth, wide)),
    svg("rect", {
      class: "array", x: frame.left, y: frame.top, width: Math.max(right - frame.left, 1),
      height: Math.max(bottom - frame.top, 1.5),
    }),
    axes(cuts, place, memory.depth, wide, reach),
    svg("text", { x: frame.left + frame.width / 2, y: frame.top + frame.height + 22, class: "middle quiet" }, "bits across, words down"));
  const times = memory.banks * (memory.copies ?? 1);
  const caption = [
    "Strong: the array. Faint: what its blocks hold beside it. Bits and words have scales of their own.",
    times > 1 ? `This is one of ${figure(times)} (banks x copies).` : null,
    left ? `${counted(left, "cut more is", "cuts more are")} not drawn.` : null,
  ].filter(Boolean).join(" ");
  return el("figure", { class: `cuts ${colours[memory.tier] ?? ""}` }, drawing,
    el("figcaption", { id: "cuts-words" }, caption), cutTable(details[at].cuts));
}

function cutTable(cuts) {
  const head = ["Cuts", "Words", "Bits", "From word", "From bit", "Block shape", "Blocks each"];
  const rows = cuts.map(([firstWord, words, firstBit, bits, depth, width, blocks, times]) =>
    el("tr", {}, [times, words, bits, firstWord, firstBit].map((value) => el("td", { class: "number" }, figure(value))),
      el("td", { class: "number" }, `${figure(depth)} x ${figure(width)}`),
      el("td", { class: "number" }, figure(blocks))));
  return el("div", { class: "scroll" }, el("table", { class: "plain" },
    el("thead", {}, el("tr", {}, head.map((label) => el("th", { scope: "col", class: "number" }, label)))),
    el("tbody", {}, rows)));
}
