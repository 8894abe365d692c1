"""The frame of the table of memories; its rows are made in the browser, a page of them at a time."""

from __future__ import annotations

from collections.abc import Sequence

from memlint.engine.differences.changes import Comparison
from memlint.engine.judgement import Judgement
from memlint.reports.html.markup import Markup, tag
from memlint.reports.html.sections import section
from memlint.rules.view import MemoryView

COLUMNS = (
    ("path", "Memory", False),
    ("unit", "Unit", False),
    ("shape", "Shape", True),
    ("banks", "Banks", True),
    ("ports", "Ports", False),
    ("clocks", "Clocks", False),
    ("read", "Read", False),
    ("tier", "Tier", False),
    ("blocks", "Blocks", True),
    ("uniform", "Uniform", True),
    ("fill", "Fill", True),
    ("chain", "Chain", True),
    ("latency", "Latency", True),
    ("findings", "Findings", False),
)
"""Key, heading, and whether it is a column of figures."""

_PAGE_SIZES = ("50", "100", "all")


def memory_section(
    memories: Sequence[MemoryView], judgement: Judgement, comparison: Comparison | None
) -> Markup:
    """Filters, table head and pager; all of it waits for the script."""
    lead = (
        "Shape is depth x width of a bank; uniform are the blocks with one shape for all; latency is in "
        "cycles. A memory's name opens how it is cut and why."
    )
    if not memories:
        return section("memories", "Memories", lead, tag("p", "No memories.", class_="soft"))
    controls = tag(
        "div",
        tag("label", tag("span", "Words"), tag("input", type="search", id="words", autocomplete="off")),
        _choice("root", "Root", sorted(judgement.roots)) if len(judgement.roots) > 1 else None,
        _choice("tier", "Tier", _tiers(memories, judgement)),
        _choice("read", "Read", ("synchronous", "asynchronous", "none", "unknown")),
        _choice(
            "show", "Only", ("with findings", "planned", "unknown", *(["changed"] if comparison else []))
        ),
        tag(
            "label",
            tag("span", "Sorted by"),
            tag("select", [tag("option", text, value=key) for key, text, _ in COLUMNS], id="sort-key"),
            class_="only-narrow",
        ),
        tag("button", "Turn round", type="button", id="turn", class_="only-narrow"),
        tag("button", "Clear", type="button", id="clear"),
        tag("output", id="count"),
        class_="controls",
        role="search",
        aria_label="Filter memories",
    )
    heads = [
        tag(
            "th",
            tag("button", text, type="button", data_key=key),
            scope="col",
            role="columnheader",
            class_="number" if is_number else None,
        )
        for key, text, is_number in COLUMNS
    ]
    sizes = [tag("option", size, value=size, selected=size == "100") for size in _PAGE_SIZES]
    table = tag(
        "table",
        tag("caption", "Memories of the design", class_="hidden"),
        tag("thead", tag("tr", heads, role="row"), role="rowgroup"),
        tag("tbody", role="rowgroup"),
        id="table",
        role="table",
    )
    pager = tag(
        "div",
        tag("button", "Back", type="button", id="back"),
        tag("output", id="page"),
        tag("button", "On", type="button", id="on"),
        tag("label", tag("span", "Rows"), tag("select", sizes, id="size")),
        class_="controls pager",
    )
    frame = tag("div", table, class_="scroll wide", tabindex=0, role="region", aria_label="Table of memories")
    excuse = tag("p", "The table needs scripts. `memlint list` prints the same.", class_="alarm")
    missing = tag("noscript", excuse)
    body = tag("div", controls, frame, pager, class_="needs-script", hidden=True)
    return section("memories", "Memories", lead, missing, body)


def _tiers(memories: Sequence[MemoryView], judgement: Judgement) -> list[str]:
    there = {view.tier.name for view in memories if view.tier is not None}
    known = [tier.name for tier in (*judgement.device.tiers, *judgement.device.on_chip()[-1:])]
    has_none = any(view.tier is None for view in memories)
    return [one for one in known if one in there] + (["unknown"] if has_none else [])


def _choice(key: str, text: str, values: Sequence[str]) -> Markup:
    options = [tag("option", "all", value=""), *(tag("option", one, value=one) for one in values)]
    return tag("label", tag("span", text), tag("select", options, id=f"by-{key}"))
