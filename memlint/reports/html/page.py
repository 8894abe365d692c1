"""The whole page in one file: its style, its script and its data inside, and nothing fetched."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from hashlib import sha256
from importlib.resources import files

from memlint import __version__
from memlint.engine.budgets import budget_uses
from memlint.engine.differences.changes import Comparison
from memlint.engine.judgement import Judgement
from memlint.reports.html.budgets import budget_table
from memlint.reports.html.changes import changes_section, finding_key, since_words
from memlint.reports.html.data import embedded, page_data
from memlint.reports.html.findings import Around, accepted_list, finding_list
from memlint.reports.html.instances import instance_table
from memlint.reports.html.markup import Markup, join, name, tag
from memlint.reports.html.mosaic import mosaic
from memlint.reports.html.sections import device_section, note, section, summary, waste_section
from memlint.reports.html.table import memory_section
from memlint.reports.html.theme import tier_colours, variables
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView
from memlint.rules.wording import plural

STYLES = ("base.css", "figures.css", "table.css", "details.css", "changes.css", "narrow.css", "print.css")
SCRIPTS = ("base.js", "table.js", "cuts.js", "details.js", "findings.js", "start.js")
_PARTS = (
    ("device", "Device"),
    ("units", "Units"),
    ("waste", "Waste"),
    ("memories", "Memories"),
    ("findings", "Findings"),
)
ESTIMATE = (
    "Counts are estimates, made from the device profile alone: confirm them with the device's own documents "
    "and tools. Safety-related designs (DO-254, IEC 61508, ISO 26262) need their own qualified flow; nothing "
    "on this page is evidence in one."
)


def report_html(
    judgement: Judgement,
    memories: Sequence[MemoryView],
    findings: Sequence[Finding],
    accepted: Sequence[Finding],
    *,
    device_given: bool,
    comparison: Comparison | None = None,
    links: str = "",
) -> str:
    """The page about a judgement; `memories`, `findings` and `accepted` are those to show of it, and what
    differs is `comparison`, whose new side the judgement is. `links` is a pattern of addresses of source
    lines with `{file}` and `{line}`.

    The same design gives the same bytes: there is no time, no user and no absolute path on the page.
    """
    findings = sorted(findings, key=lambda one: -one.severity)
    colours = tier_colours(judgement.device)
    style = variables() + "".join(map(_asset, STYLES))
    script = '"use strict";(() => {\n' + "".join(map(_asset, SCRIPTS)) + "})();\n"
    data = embedded(page_data(judgement, memories, findings, colours, comparison, links))
    body = join(
        tag("a", "Skip to the memories", href="#memories", class_="skip"),
        _header(judgement, device_given, comparison),
        tag(
            "main",
            _limits(judgement, memories),
            summary(judgement, memories, findings, len(accepted), comparison),
            changes_section(comparison, memories, findings, colours) if comparison else None,
            device_section(judgement, colours),
            _units(memories, judgement, colours),
            waste_section(memories, colours),
            memory_section(memories, judgement, comparison),
            _findings(judgement, memories, findings, accepted, comparison, links),
        ),
        tag("footer", tag("p", f"Written by memlint {__version__}.")),
        tag("dialog", id="details", aria_labelledby="details-title"),
        Markup(f'<script type="application/json" id="data">{data}</script>'),
        Markup(f"<script>{script}</script>"),
    )
    head = join(
        tag("meta", charset="utf-8"),
        tag("meta", http_equiv="Content-Security-Policy", content=_policy(style, script)),
        tag("meta", name="viewport", content="width=device-width, initial-scale=1"),
        tag("meta", name="color-scheme", content="light dark"),
        tag("meta", name="referrer", content="no-referrer"),
        tag("link", rel="icon", href="data:,"),
        tag("title", f"Memories of {_project(judgement)} on {judgement.device.name}"),
        Markup(f"<style>{style}</style>"),
    )
    return f"<!doctype html>\n{tag('html', tag('head', head), tag('body', body), lang='en')}\n"


def _policy(style: str, script: str) -> str:
    """Nothing may be fetched, and no style or script runs but the page's own two."""
    return (
        f"default-src 'none'; img-src data:; style-src 'sha256-{_hash(style)}'; "
        f"script-src 'sha256-{_hash(script)}'; base-uri 'none'; form-action 'none'"
    )


def _hash(text: str) -> str:
    return b64encode(sha256(text.encode()).digest()).decode()


def _asset(file: str) -> str:
    return files("memlint.reports.html").joinpath("assets", file).read_text("utf-8")


def _project(judgement: Judgement) -> str:
    roots = sorted(judgement.roots)
    if not roots:
        return "a design without a root"
    return roots[0] if len(roots) == 1 else f"{roots[0]} and {plural(len(roots) - 1, 'other root')}"


def _header(judgement: Judgement, device_given: bool, comparison: Comparison | None) -> Markup:
    device = judgement.device
    roots = sorted(judgement.roots)
    assumed = "" if device_given else ", the demo device: the project names none"
    clock = "" if device.target_mhz is None else f"; chain registers reckoned for {device.target_mhz:g} MHz"
    title = [tag("h1", name(roots[0])) if len(roots) == 1 else tag("h1", _project(judgement))]
    device_line = tag(
        "p", "on ", tag("b", name(device.name)), f" ({device.title}{assumed}{clock})", class_="device-line"
    )
    parts = _PARTS if comparison is None else (("changes", "Changes"), *_PARTS)
    links = [tag("li", tag("a", text, href=f"#{key}")) for key, text in parts]
    choices = [
        tag("label", tag("input", type="radio", name="theme", value=value, checked=value == "auto"), text)
        for value, text in (("auto", "as the system"), ("light", "light"), ("dark", "dark"))
    ]
    switch = tag("fieldset", tag("legend", "Colours"), choices, class_="themes", id="themes", hidden=True)
    titles = tag("div", tag("p", "memory report", class_="kind"), title, device_line)
    return join(
        tag("header", titles, switch, note(ESTIMATE)),
        tag("nav", tag("ul", links), aria_label="Parts of the page"),
    )


def _limits(judgement: Judgement, memories: Sequence[MemoryView]) -> Markup | None:
    if len(memories) == len(judgement.memories):
        return None
    return note(
        f"Shown are {len(memories):,} of {len(judgement.memories):,} memories, those of the "
        "files asked for, with their findings; the device is filled by all of them."
    )


def _units(memories: Sequence[MemoryView], judgement: Judgement, colours: dict[str, str]) -> Markup:
    lead = (
        "Areas are bits taken on the chip, by the unit that declares the memory. The strong part of each is "
        "used, the faint part is not."
    )
    drawn = mosaic(memories, colours)
    left = [view for view in memories if view.placement is None or view.placement.blocks is None]
    count = plural(len(left), "memory", "memories")
    more = tag("p", f"Not drawn: {count} off the chip or of unknown size.", class_="soft") if left else None
    nothing = tag("p", "Nothing is taken.", class_="soft")
    budgets = budget_table(budget_uses(judgement), colours)
    instances = instance_table(judgement, colours)
    return section("units", "Units", lead, drawn or nothing, instances, more, budgets)


def _findings(
    judgement: Judgement,
    memories: Sequence[MemoryView],
    findings: Sequence[Finding],
    accepted: Sequence[Finding],
    comparison: Comparison | None,
    links: str,
) -> Markup:
    around = Around(judgement, frozenset(view.memory.path for view in memories), links)
    lead = "What is wrong, where, and what to do about it."
    boxes = [
        tag("label", tag("input", type="checkbox", value=severity, checked=True), f"{severity}s")
        for severity in ("error", "warning", "note")
    ]
    words = tag(
        "label", tag("span", "Words"), tag("input", type="search", id="finding-words", autocomplete="off")
    )
    form = tag(
        "div",
        tag("fieldset", tag("legend", "Show"), boxes, id="severities"),
        words,
        tag("output", id="finding-count"),
        class_="controls needs-script",
        hidden=True,
    )
    fresh = _fresh(findings, comparison)
    listed = finding_list(findings, around, fresh) if findings else tag("p", "No findings.", class_="soft")
    kept = None
    if accepted:
        kept = tag(
            "details",
            tag("summary", f"{plural(len(accepted), 'finding')} accepted"),
            accepted_list(accepted, around),
        )
    return section("findings", "Findings", lead, form if findings else None, listed, kept)


def _fresh(findings: Sequence[Finding], comparison: Comparison | None) -> dict[int, str]:
    """What is said at the findings, by their index, that the other revision has not."""
    if comparison is None:
        return {}
    new = {finding_key(one) for one in comparison.new_findings}
    said = f"new {since_words(comparison)}"
    return {at: said for at, one in enumerate(findings) if finding_key(one) in new}
