// The address decides what is open; the rest waits for clicks and keys.

function startThemes() {
  const key = "memlint-theme";
  const root = document.documentElement;
  const choose = (theme) => {
    if (theme === "auto") delete root.dataset.theme;
    else root.dataset.theme = theme;
  };
  // A page opened from a file may not be allowed to remember anything.
  const remembered = (() => {
    try { return localStorage.getItem(key); } catch { return null; }
  })();
  const fieldset = field("themes");
  const radio = fieldset.querySelector(`input[value="${remembered === "light" || remembered === "dark" ? remembered : "auto"}"]`);
  radio.checked = true;
  choose(radio.value);
  fieldset.addEventListener("input", (event) => {
    choose(event.target.value);
    try { localStorage.setItem(key, event.target.value); } catch { /* it is only a convenience */ }
  });
  fieldset.hidden = false;
}

function follow() {
  const path = address().get("m");
  const at = path === null ? undefined : indexOf.get(path);
  if (at !== undefined) return openDetails(at);
  const item = document.getElementById(location.hash.slice(1));
  if (dialog.open) {
    opened.from = null;
    const hash = location.hash;
    dialog.close();
    history.replaceState(null, "", hash);
  }
  if (item?.closest(".findings")) return reveal(item);
  if ([...Object.keys(filters), "sort"].some((key) => address().has(key))) {
    filtersFromAddress();
    redraw();
    field("memories").scrollIntoView();
  }
}

// A memory's link keeps what the address says of the table; another to the same place again opens it again.
document.addEventListener("click", (event) => {
  if (event.ctrlKey || event.metaKey || event.shiftKey) return;
  const href = event.target.closest("a[href^='#']")?.getAttribute("href");
  if (href === undefined) return;
  const path = new URLSearchParams(href.slice(1).replace(/\+/g, "%2B")).get("m");
  if (indexOf.has(path)) {
    event.preventDefault();
    step(indexOf.get(path));
  } else if (href === location.hash) {
    follow();
  }
});

// The device is drawn with all memories; those left out of the table have no details to open.
for (const link of document.querySelectorAll("a[href^='#m=']")) {
  const path = new URLSearchParams(link.getAttribute("href").slice(1).replace(/\+/g, "%2B")).get("m");
  if (!indexOf.has(path)) link.removeAttribute("href");
}
for (const one of document.querySelectorAll(".needs-script")) one.hidden = false;
startThemes();
startTable();
startDetails();
startFindings();
if (field("table")) {
  filtersFromAddress();
  redraw();
}
addEventListener("hashchange", follow);
if (location.hash) follow();
