// Which findings are shown.

function filterFindings() {
  const kinds = new Set([...document.querySelectorAll("#severities input:checked")].map((one) => one.value));
  const words = field("finding-words").value.toLowerCase().split(/\s+/u).filter(Boolean);
  let count = 0;
  const all = document.querySelectorAll("#findings > .findings > li");
  for (const item of all) {
    const said = item.textContent.toLowerCase();
    const isShown = kinds.has(item.dataset.severity) && words.every((word) => said.includes(word));
    item.hidden = !isShown;
    count += isShown;
  }
  field("finding-count").textContent =
    count === all.length ? counted(count, "finding", "findings") : `${count} of ${all.length} findings`;
}

// A link to a finding that a filter hides shows it all the same.
function reveal(item) {
  item.hidden = false;
  for (let holder = item.closest("details"); holder; holder = holder.parentElement.closest("details")) {
    holder.open = true;
  }
  item.scrollIntoView();
  item.focus({ preventScroll: true });
}

function startFindings() {
  if (!field("finding-words")) return;
  field("severities").addEventListener("input", filterFindings);
  field("finding-words").addEventListener("input", filterFindings);
  filterFindings();
}
