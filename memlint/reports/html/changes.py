"""The part of the page that says what changed since a revision: memories, blocks, findings."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import TypeAlias

from memlint.engine.differences.changes import Amount, BlockChange, Cause, Comparison
from memlint.engine.sides import Side
from memlint.reports import compare_words as words
from memlint.reports.html.markup import Child, Markup, join, memory_link, name, prose, tag
from memlint.reports.html.sections import section
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView
from memlint.rules.wording import amount
from memlint.text.source import Span

_MOST_PATHS = 3
FindingKey: TypeAlias = "tuple[str, Span, str]"
"""A finding whatever paths it is told for."""


def finding_key(one: Finding) -> FindingKey:
    """What a finding of the comparison and the same one of the page have in common."""
    return one.rule, one.span, one.message


def since_words(comparison: Comparison) -> str:
    """`since HEAD~1 (2f31c07d5a)`."""
    return f"since {words.side_name(comparison.old)}"


def changes_section(
    comparison: Comparison,
    memories: Sequence[MemoryView],
    findings: Sequence[Finding],
    colours: Mapping[str, str],
) -> Markup:
    """What differs. `memories` have a row on the page and `findings` stand there in this order: both can be
    linked to."""
    known = frozenset(view.memory.path for view in memories)
    places = {finding_key(one): at for at, one in reversed(list(enumerate(findings)))}
    sentence = words.headline(comparison)
    return section(
        "changes",
        "Changes",
        f"From {words.side_name(comparison.old)} to {words.side_name(comparison.new)}.",
        tag("p", tag("b", sentence[0].upper() + sentence[1:]), "."),
        join([tag("p", prose(text), class_="soft") for text in words.notes(comparison)]),
        _tiers(comparison, colours),
        _memories(comparison, known),
        _new(comparison, known, places),
        _gone(comparison, known),
        _units(comparison, colours),
    )


def _tiers(comparison: Comparison, colours: Mapping[str, str]) -> Markup | None:
    tiers = [one for one in comparison.tiers if one.differs]
    if not tiers:
        return None
    several = len({one.name for one in tiers}) > 1
    head = [*([("Root", False)] if several else []), ("Tier", False), ("Before", True), ("After", True),
            ("Change", True), ("Available", True), ("Before and after", False)]  # fmt: skip
    rows = [
        tag(
            "tr",
            tag("th", name(one.name), scope="row") if several else None,
            _tier(one),
            [tag("td", text, class_="number") for text in _amounts(one)],
            tag("td", "unknown" if one.available is None else amount(one.available), class_="number"),
            tag("td", _meter(one)),
            class_=colours.get(one.tier),
        )
        for one in tiers
    ]
    return join(tag("h3", "Blocks"), _table("Blocks by tier", head, rows))


def _tier(one: BlockChange) -> Markup:
    unit = tag("small", "flip-flops") if one.tier == "registers" else None
    return tag("td", tag("span", one.tier, class_="tier-name"), unit)


def _amounts(one: BlockChange) -> tuple[str, str, str]:
    return words.amount_text(one.before), words.amount_text(one.after), words.step_text(one)


def _meter(one: BlockChange) -> Markup | None:
    """Two bars of the supply, before above after; none where the supply is not known."""
    if not one.available:
        return None

    def bar(top: int, blocks: Amount) -> tuple[Markup, Markup]:
        supply = one.available or 1
        full = min(100.0, float(blocks.blocks / supply * 100))
        kind = "over" if blocks.blocks > supply else "used"
        return (
            tag("rect", x=0, y=top, width=100, height=6, class_="supply"),
            tag("rect", x=0, y=top, width=full, height=6, class_=kind),
        )

    return tag(
        "svg",
        bar(0, one.before),
        bar(8, one.after),
        viewBox="0 0 100 14",
        preserveAspectRatio="none",
        aria_hidden="true",
        class_="meter",
    )


def _memories(comparison: Comparison, known: frozenset[str]) -> Markup | None:
    if not comparison.memories:
        return None
    head = [("Memory", False), ("Change", False), ("Blocks", False), ("Cause", False)]
    rows = [_memory(row, comparison, known) for row in words.rows(comparison.memories)]
    return join(tag("h3", "Memories"), _table("Memories that changed", head, rows, "plain stacked"))


def _memory(row: words.Row, comparison: Comparison, known: frozenset[str]) -> Markup:
    one = row.first
    each = " each" if len(row.paths) > 1 else ""
    kind: list[Child] = []
    if one.kind == "moved" and one.old is not None:
        more = " and so on" if each else ""
        kind = [tag("p", "moved from ", name(one.old.memory.path), more)]
    elif one.kind != "changed":
        kind = [tag("p", one.kind)]
    steps = [tag("p", tag("span", what, class_="soft"), f" {step}") for what, step in words.steps(one)]
    causes = [
        tag("p", text) for about, causes in words.causes(one) for text in _causes(about, causes, comparison)
    ]
    return tag(
        "tr",
        tag("th", _paths(row.paths, known), scope="row"),
        tag("td", kind, steps or (None if kind else "blocks")),
        tag("td", words.blocks(one) + each),
        tag("td", causes),
    )


def _causes(about: str, causes: Sequence[Cause], comparison: Comparison) -> Iterator[Markup]:
    before = f"{about}: " if about else ""
    for cause in causes:
        where = None
        if cause.span is not None:
            where = join(" in ", _code(words.place(cause.span, words.side_of(cause, comparison))))
        yield join(before, prose(cause.text), where)
    if not causes:
        yield join(before, words.UNKNOWN_CAUSE)


def _code(text: str) -> Markup:
    return tag("code", tag("bdi", text))


def _paths(paths: Sequence[str], known: frozenset[str]) -> Markup:
    """Each on a line of its own; all but the first few are folded away."""
    lines = [tag("li", _path(path, known)) for path in paths]
    most = _MOST_PATHS if len(lines) > _MOST_PATHS + 1 else len(lines)
    shown, rest = lines[:most], lines[most:]
    more = None
    if rest:
        more = tag("details", tag("summary", f"and {len(rest):,} more"), tag("ul", rest, class_="paths"))
    return join(tag("ul", shown, class_="paths"), more)


def _path(path: str, known: frozenset[str]) -> Markup:
    return tag("a", name(path), href=memory_link(path)) if path in known else name(path)


def _new(comparison: Comparison, known: frozenset[str], places: Mapping[FindingKey, int]) -> Markup | None:
    new = comparison.new_findings
    if not new:
        return None
    items = [_finding(one, comparison.new, known, places.get(finding_key(one))) for one in new]
    return join(tag("h3", "New findings"), tag("ul", items, class_="told"))


def _gone(comparison: Comparison, known: frozenset[str]) -> Markup | None:
    gone = comparison.gone_findings
    if not gone:
        return None
    items = [_finding(one, comparison.old, known, None) for one in gone]
    return tag(
        "details",
        tag("summary", f"Findings that are gone: {len(gone):,}"),
        tag("ul", items, class_="told"),
    )


def _finding(one: Finding, side: Side, known: frozenset[str], at: int | None) -> Markup:
    """A finding in short: the page has all of it where `at` is its number."""
    rule = tag("code", one.rule)
    return tag(
        "li",
        tag("span", str(one.severity), class_=f"severity {one.severity}"),
        " ",
        rule if at is None else tag("a", rule, href=f"#f-{at}"),
        tag("p", prose(one.message)),
        tag("p", _code(words.place(one.span, side)), class_="place"),
        _paths(one.paths, known) if one.paths else None,
    )


def _units(comparison: Comparison, colours: Mapping[str, str]) -> Markup | None:
    units = words.unit_changes(comparison)
    if not units:
        return None
    head = [("Unit", False), ("Tier", False), ("Before", True), ("After", True), ("Change", True)]
    rows = [
        tag(
            "tr",
            tag("th", name(one.name), scope="row"),
            _tier(one),
            [tag("td", text, class_="number") for text in _amounts(one)],
            class_=colours.get(one.tier),
        )
        for one in units
    ]
    table = _table("Blocks by unit", head, rows)
    return tag("details", tag("summary", "Blocks by unit, with everything below"), table)


def _table(
    caption: str, head: Sequence[tuple[str, bool]], rows: Sequence[Markup], kind: str = "plain"
) -> Markup:
    """`head` are titles, and whether figures stand below them."""
    cells = [tag("th", text, scope="col", class_="number" if is_figure else None) for text, is_figure in head]
    table = tag(
        "table",
        tag("caption", caption, class_="hidden"),
        tag("thead", tag("tr", cells)),
        tag("tbody", rows),
        class_=kind,
    )
    return tag("div", table, class_="scroll", tabindex=0, role="region", aria_label=caption)
