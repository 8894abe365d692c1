"""`memlint explain` for people: a rule's documentation, or how one memory's answers came about."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from memlint.design.memory import Access, Clock, MemoryPort, Note, NotMemory
from memlint.engine.judgement import Judgement
from memlint.mapping.assume import why_assumed
from memlint.mapping.demand import Placement
from memlint.reading.intent.clauses import Budget, Clause, In
from memlint.reports.page import Page, clean
from memlint.reports.totals_text import ESTIMATE
from memlint.rules import wording
from memlint.rules.base import Rule
from memlint.rules.docs import documentation
from memlint.rules.placed import why_no_tier
from memlint.rules.stated_ports import with_widths
from memlint.rules.view import MemoryView
from memlint.text.source import Span

_INDENT = 14


def explain_rule(rule: Rule, page: Page) -> str:
    """What the rule finds, why it costs, a sample that triggers it, the same mended, its settings."""
    about = documentation(rule)
    by_default = f"{rule.severity} by default" if rule.on_by_default else "off by default"
    lines = [page.paint(rule.name, "title"), ""]
    lines += page.block("", about.summary, indent=0)
    lines += ["", *page.block("", f"Family {rule.family}, {by_default}.", indent=0), ""]
    for paragraph in about.why.split("\n\n"):
        lines += [*page.block("", paragraph, indent=0), ""]
    lines += [page.paint("Raises it", "title"), *_sample(about.example), ""]
    lines += [page.paint("Mended", "title"), *_sample(about.mended), ""]
    if about.settings:
        lines.append(page.paint(f"Settings, in memlint.toml under [rules.{rule.name}]", "title"))
        for one in about.settings:
            lines += page.block(f"  {one.name} = {one.default}", "", indent=4)
            lines += page.block("", one.text, indent=4)
    return "\n".join(lines).rstrip() + "\n"


def _sample(text: str) -> list[str]:
    return [f"    {line}".rstrip() for line in text.splitlines()]


def explain_memory(view: MemoryView, judgement: Judgement, page: Page) -> str:
    """How the shape, ports, clocks, tier and count of a memory were decided, with the places."""
    memory = view.memory
    lines = [page.paint(memory.path, "title")]
    place = page.place(memory.span, judgement.sources)
    lines += _entry("declared", [f"{place} in unit {memory.unit} ({memory.language})"], page)
    for label, texts in answers(view, judgement, page):
        lines += _entry(label, texts, page)
    return "\n".join([*lines, "", page.paint(ESTIMATE, "quiet")]) + "\n"


def explain_array(array: NotMemory, judgement: Judgement, page: Page) -> str:
    """Why an array is no memory."""
    lines = [page.paint(array.path, "title")]
    lines += _entry("declared", [f"{page.place(array.span, judgement.sources)} in unit {array.unit}"], page)
    return "\n".join([*lines, *_entry("no memory", [array.reason], page)]) + "\n"


def _entry(label: str, texts: Sequence[str], page: Page) -> list[str]:
    lines: list[str] = []
    shown = f"  {label}"
    for text in texts:
        lines += page.block(shown, text, indent=_INDENT, role="quiet")
        shown = ""
    return lines


def answers(view: MemoryView, judgement: Judgement, page: Page) -> Iterator[tuple[str, list[str]]]:
    """A label and what it is about, line by line; what there is nothing to say of is left out."""
    memory = view.memory
    yield "shape", [_shape(view), *_notes(memory.sources, judgement, page)]
    yield "ports", [_ports(view), *_each_once(memory.ports, judgement, page)]
    yield "clocks", _clocks(view)
    yield "read", [memory.read or "unknown"]
    said = {access.span for port in memory.ports for access in port.accesses}
    decisions = [note for note in memory.decisions if note.span not in said]
    yield "also", _notes([*decisions, *memory.notes], judgement, page)
    yield "intent", list(_statements(view, judgement, page))
    yield "tier", _tier(view, judgement, page)
    if view.placement is not None:
        yield "count", _count(view.placement)
        yield "why", [*(one.text for one in view.placement.obstacles), *view.placement.because]
        yield "chain", _chain(view.placement)
        yield "latency", _latency(view.placement)
    if view.demand is not None:
        yield "elsewhere", [wording.placed_on(one) for one in view.elsewhere] or ["no other tier takes it"]
    yield (
        "findings",
        [f"{one.severity}: {one.rule}" for one in judgement.findings if memory.path in one.paths],
    )
    yield "accepted", [one.rule for one in judgement.accepted if memory.path in one.paths]


def _shape(view: MemoryView) -> str:
    memory = view.memory
    if memory.depth is None or memory.width is None or memory.bits is None:
        depth = "unknown depth" if memory.depth is None else f"{memory.depth:,} words"
        width = "unknown width" if memory.width is None else f"{memory.width:,} bits wide"
        return f"{depth}, {width}: {memory.unresolved or 'the reason is not known'}"
    banks = f" in {wording.plural(memory.banks, 'bank')}" if memory.banks > 1 else ""
    return f"{wording.shape(memory.depth, memory.width)}{banks}, {wording.bits(memory.bits)}"


def _notes(notes: Sequence[Note], judgement: Judgement, page: Page) -> list[str]:
    return [_at(note.span, note.text, judgement, page) for note in notes]


def _at(span: Span | None, text: str, judgement: Judgement, page: Page) -> str:
    return text if span is None else f"{page.place(span, judgement.sources)} {text}"


def _ports(view: MemoryView) -> str:
    memory = view.memory
    text = f"{wording.memory_ports(memory)}, after sharing"
    demand = view.demand
    if demand is not None and demand.write_width is not None:
        counts = (demand.writes, demand.reads, demand.readwrites)
        stated = with_widths(counts, demand.write_width, demand.read_width)
        text += f", counted as the {stated} that the intent states"
    if not memory.lanes:
        return text
    return f"{text}; write lanes of {wording.listed(str(one) for one in memory.lanes)} bits"


def _each_once(ports: Sequence[MemoryPort], judgement: Judgement, page: Page) -> Iterator[str]:
    """What is said of each port; a statement that gives many like ports is told once, with how many."""
    counts = Counter(tuple(_port(port, judgement, page)) for port in ports)
    for (first, *others), count in ((texts, count) for texts, count in counts.items() if texts):
        yield first if count == 1 else f"{first} ({count} ports)"
        yield from others


def _port(port: MemoryPort, judgement: Judgement, page: Page) -> Iterator[str]:
    kind = "rw" if port.writes and port.reads else "w" if port.writes else "r"
    for access in port.accesses:
        text = f"{kind}: {access.kind}{wording.at_address(access)}{_timing(access)}"
        yield _at(access.span, text, judgement, page)
        if access.asynchronous and access.reason_span not in (None, access.span):
            yield _at(access.reason_span, "is the place", judgement, page)
        for note in access.also:
            yield _at(note.span, note.text, judgement, page)


def _timing(access: Access) -> str:
    if access.asynchronous:
        return f", asynchronous: the word {access.reason}"
    if access.clock is not None:
        return f" on {_clock(access.clock)}"
    if access.reason:
        return f", clock unknown: {access.reason}"
    return ", without a clock" if access.address else ""


def _clock(clock: Clock) -> str:
    gated = f", gated from {clock.root}" if clock.root else ""
    return f"{clock.net} ({clock.edge}{gated})"


def _clocks(view: MemoryView) -> list[str]:
    memory = view.memory
    if memory.planned and not memory.clocks:
        return ["one, whose net is not stated" if memory.clocks_known else "unknown: the plan states none"]
    unknown = [] if memory.clocks_known else ["unknown: a clock could not be traced to its net"]
    return [*map(_clock, memory.clocks), *unknown] or ["none"]


def _statements(view: MemoryView, judgement: Judgement, page: Page) -> Iterator[str]:
    """Each statement of intent, the one that wins first, with its clauses; those not in force say so."""
    for bound in view.memory.intents:
        place = page.place(bound.intent.span, judgement.sources)
        said = [_clause(clause, view, judgement) for clause in bound.intent.clauses]
        yield f"{place} the {_origin(bound.origin)} says {'; '.join(said)}"


def _clause(clause: Clause, view: MemoryView, judgement: Judgement) -> str:
    in_force = any(one.clause is clause for one in (*view.clauses, *view.accepts))
    overruled = "" if in_force or isinstance(clause, Budget) else " (overruled by the one before)"
    return _written(clause.span, judgement) + overruled


def _origin(origin: str) -> str:
    return f"[[intent]] in {origin}" if origin.endswith(".toml") else origin


def _written(span: Span, judgement: Judgement) -> str:
    source = judgement.sources.get(span.file)
    return f"`{clean(source.text[span.start : span.end])}`" if source is not None else "a clause"


def _tier(view: MemoryView, judgement: Judgement, page: Page) -> list[str]:
    memory, tier = view.memory, view.tier
    if tier is None:
        return [f"unknown: {why_no_tier(view)}"]
    match view.tier_from:
        case "intent":
            bound = view.bound(In)
            why = f"named by {_written(bound.clause.span, judgement)}" if bound else "named by an intent"
        case "attribute":
            attribute = f"an attribute asks for `{memory.attribute}`"
            why = _at(memory.attribute_span, attribute, judgement, page)
        case _:
            why = "assumed: neither an intent nor an attribute names a tier"
    return [f"{tier.name}, {why}", *_assumption(view)]


def _assumption(view: MemoryView) -> list[str]:
    """The facts and thresholds that decided an assumed tier."""
    if view.tier_from != "assumed" or view.demand is None:
        return []
    return why_assumed(view.demand, view.memory.packed, view.device, view.thresholds)


def _count(placement: Placement) -> list[str]:
    if placement.blocks is None:
        return ["unknown"]
    noun = "flip-flop" if placement.tier == "registers" else "block"
    texts = [wording.plural(placement.blocks, noun)]
    if not placement.fits:
        texts[0] += f", if {placement.tier} took it as it is"
    if placement.fill is not None and noun == "block":
        texts[0] += f", {wording.percent(placement.fill)} full"
    if placement.uniform_blocks is not None and placement.uniform_blocks != placement.blocks:
        shape = f" of {wording.shape(*placement.uniform_shape)}" if placement.uniform_shape else ""
        texts.append(f"{wording.amount(placement.uniform_blocks)} with one shape for all{shape}")
    if placement.lower_bound is not None and placement.lower_bound != placement.blocks:
        texts.append(f"{wording.amount(placement.lower_bound)} is the least by bits alone")
    return texts


def _chain(placement: Placement) -> list[str]:
    if placement.chain is None or placement.chain <= 1 or placement.tier == "registers":
        return []
    text = f"{placement.chain} blocks one above the other"
    if placement.chains is not None:
        text += f", {wording.plural(placement.chains, 'run')} of two or more"
    if placement.split is not None and placement.split > 1:
        text += f", each cut in {placement.split} to fit the columns"
    if placement.ways is not None and placement.ways > 1:
        text += f", joined by a {placement.ways}:1 multiplexer"
    return [text]


def _latency(placement: Placement) -> list[str]:
    if placement.read_latency is None:
        return ["unknown"]
    text = wording.plural(placement.read_latency, "cycle")
    if placement.output_registers:
        text += f", and one for each output register used (at most {placement.output_registers})"
    return [text]
