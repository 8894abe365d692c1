"""`memlint size` for people: every tier side by side, then what is close by."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from memlint.mapping.alternatives import Beside, Folding, NearMiss
from memlint.mapping.demand import Placement
from memlint.mapping.modes import ports_text
from memlint.reports.page import Page
from memlint.reports.sizing import Sizing, beside
from memlint.reports.totals_text import ESTIMATE
from memlint.rules.wording import amount, bits, percent, plural, shape

_HEAD = ("tier", "blocks", "of the device", "full", "read")
_GAUGE = 10


def size_text(sizings: Sequence[Sizing], page: Page) -> str:
    """The shapes one after the other. Ends in a line end."""
    lines: list[str] = []
    for one in sizings:
        lines += [*_sizing(one, page), ""]
    together = beside(sizings)
    if together:
        lines.append(page.paint("Side by side in one word, if they are always addressed alike", "title"))
        for tier, one_word in together:
            lines += page.block(f"  {tier}", _together(one_word), indent=_indent(sizings[0]))
        lines.append("")
    return "\n".join([*lines, page.paint(ESTIMATE, "quiet")]) + "\n"


def _sizing(one: Sizing, page: Page) -> list[str]:
    title = shape(one.demand.depth, one.demand.width)
    lines = [f"{page.paint(title, 'title')}  {_needs(one)}"]
    lines += page.block("", f"on {one.device.name}; {bits(_bits(one))}", indent=2)
    lines += _holds(one, page)
    fitting = [placement for placement in one.placements if placement.fits]
    refused = [placement for placement in one.placements if not placement.fits]
    lines.append("")
    if fitting:
        lines += _table(fitting, one, page)
    else:
        lines.append("No tier takes it.")
    if refused:
        lines += ["", page.paint("Not on", "title")]
        for placement in refused:
            lines += page.block(f"  {placement.tier}", _refusal(placement), indent=_indent(one))
    close = [*_near(one), *_folded(one)]
    if close:
        lines += ["", page.paint("Close by", "title")]
        for tier, text in close:
            lines += page.block(f"  {tier}", text, indent=_indent(one))
    return lines


def _bits(one: Sizing) -> int:
    return one.demand.depth * one.demand.width * one.demand.banks


def _needs(one: Sizing) -> str:
    demand = one.demand
    parts = [ports_text(demand), "1 clock" if demand.clocks == 1 else f"{demand.clocks} clocks"]
    if demand.write_width or demand.read_width:
        write, read = demand.write_width or demand.width, demand.read_width or demand.width
        parts.append(f"written {write} and read {read} bits wide")
    if demand.asynchronous:
        parts.append("asynchronous read")
    if len(demand.lanes) > 1:
        same = len(set(demand.lanes)) == 1
        sizes = str(demand.lanes[0]) if same else " + ".join(map(str, reversed(demand.lanes)))
        parts.append(f"{len(demand.lanes)} write lanes of {sizes}")
    if demand.ecc == "added":
        parts.append("ECC")
    if demand.contents == "given" and demand.writes + demand.readwrites:
        parts.append("initial contents")
    return ", ".join(parts) + ("" if one.prefer == "blocks" else f"; {one.prefer} first")


def _holds(one: Sizing, page: Page) -> list[str]:
    if one.holds is None:
        return []
    have, need = _bits(one), one.holds.bits
    if have >= need:
        text = f"holds {one.holds.text}: {bits(need)}, {bits(have - need)} to spare"
    else:
        words = -(-(need - have) // one.demand.width)
        text = f"too small for {one.holds.text}: {bits(need)}, {plural(words, 'word')} short"
    return page.block("", text, indent=2)


def _indent(one: Sizing) -> int:
    return 4 + max(len(placement.tier) for placement in one.placements)


def _table(fitting: Sequence[Placement], one: Sizing, page: Page) -> list[str]:
    rows = [_HEAD, *(_row(placement, one) for placement in fitting)]
    widths = [max(len(row[at]) for row in rows) for at in range(len(_HEAD))]
    widths[0] = _indent(one) - 4
    lines = []
    for number, row in enumerate(rows):
        cells = [row[0].ljust(widths[0]), row[1].rjust(widths[1]), row[2].ljust(widths[2])]
        cells += [cell.rjust(width) for cell, width in zip(row[3:], widths[3:], strict=True)]
        text = ("  " + "  ".join(cells)).rstrip()
        if number == 0:
            lines.append(page.paint(text, "quiet"))
            continue
        lines.append(text)
        for reason in _reasons(fitting[number - 1]):
            lines += [
                page.paint(line, "quiet") for line in page.block("", reason, indent=_indent(one), first="- ")
            ]
    return lines


def _row(placement: Placement, one: Sizing) -> tuple[str, ...]:
    tier = one.device.tier(placement.tier)
    role = tier.role if tier else ""
    cycles = placement.read_latency
    return (
        placement.tier,
        _blocks(placement, role),
        _share(placement, role, tier.blocks if tier else None),
        "-"
        if role in ("registers", "external")
        else "?"
        if placement.fill is None
        else percent(placement.fill),
        "-" if role == "external" else "?" if cycles is None else plural(cycles, "cycle"),
    )


def _blocks(placement: Placement, role: str) -> str:
    if role == "external":
        return "-"
    if placement.blocks is None:
        return "?"
    return amount(placement.blocks) + (" FF" if role == "registers" else "")


def _share(placement: Placement, role: str, available: int | None) -> str:
    if placement.share is None:
        return "" if role == "registers" else "unknown"
    if role == "external":
        return percent(placement.share)
    full = min(_GAUGE, max(1, round(_GAUGE * placement.share)))
    gauge = "=" * full + "." * (_GAUGE - full)
    of = "" if available is None else f" of {available:,}"
    return f"{gauge} {percent(placement.share)}{of}"


def _reasons(placement: Placement) -> Iterator[str]:
    """What stands below a row: the cuts and their reasons, then the rest in one line."""
    plain = placement.mode is not None and placement.because[0].endswith(f"in mode {placement.mode}")
    yield from placement.because[1:] if plain else placement.because
    facts = [f"mode {placement.mode}"] if plain else []
    facts += _facts(placement)
    if facts:
        yield "; ".join(facts)
    blocks, uniform = placement.blocks, placement.uniform_blocks
    if blocks is not None and uniform is not None and uniform > blocks and placement.uniform_shape:
        deep, wide = placement.uniform_shape
        yield f"{plural(uniform, 'block')} when all are {deep} x {wide}, as most flows build it"


def _facts(placement: Placement) -> Iterator[str]:
    if placement.mode is None:
        return
    if placement.chain is not None and placement.chain > 1 and placement.split:
        cut = "" if placement.split == 1 else f", cut in {placement.split}"
        yield f"{plural(placement.chains or 1, 'chain')} of {placement.chain}{cut}"
    if placement.ways is not None and placement.ways > 1:
        yield f"joined {placement.ways:,}:1 in logic"
    if placement.output_registers and placement.read_latency is not None:
        yield f"up to {plural(placement.output_registers, 'output register')} more"
    if placement.lower_bound is not None and placement.blocks != placement.lower_bound:
        yield f"its bits alone fill {amount(placement.lower_bound)}"
    power = dict(placement.power)
    if "microwatt" in power:
        awake = plural(Fraction(str(power["awake"])), "block")
        yield f"{awake} awake at an access, about {power['microwatt'] / 1000:,.2f} mW at one a cycle"


def _refusal(placement: Placement) -> str:
    reasons = "; ".join(obstacle.text for obstacle in placement.obstacles)
    if placement.blocks is None or any(one.kind == "shape" for one in placement.obstacles):
        return reasons
    return f"{reasons}. Without that: {plural(placement.blocks, 'block')}"


def _together(one: Beside) -> str:
    return (
        f"{plural(one.width, 'bit')} wide: {plural(one.blocks, 'block')} instead of {amount(one.apart)}, "
        "each with write enables of its own"
    )


def _near(one: Sizing) -> Iterator[tuple[str, str]]:
    for tier, miss in one.near:
        yield tier, _near_miss(miss)


def _near_miss(miss: NearMiss) -> str:
    noun, size = ("word", "deep") if miss.of == "depth" else ("bit", "wide")
    return (
        f"{plural(miss.less, noun)} less ({miss.size:,} {size}): {plural(miss.blocks, 'block')}, "
        f"saves {amount(miss.saved)}"
    )


def _folded(one: Sizing) -> Iterator[tuple[str, str]]:
    for tier, fold in one.folded:
        yield tier, _folding(fold)


def _folding(fold: Folding) -> str:
    cycles = "" if not fold.registers else f" ({plural(fold.registers, 'cycle')} more)"
    return (
        f"folded to {shape(fold.depth, fold.width)}, {fold.ways} words in one behind a {fold.ways}:1 "
        f"multiplexer{cycles}: {plural(fold.blocks, 'block')}, saves {amount(fold.saved)}"
    )
