"""What the page holds of each memory beside the fields of `list --format json`."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from memlint.device.facts import Tier
from memlint.engine.judgement import Judgement
from memlint.mapping.demand import Cut, Placement
from memlint.reports.explain_text import answers
from memlint.reports.html.figures import UNKNOWN, bits, counted, figure, share
from memlint.reports.html.unknowns import reasons
from memlint.reports.html.usage import usage
from memlint.reports.json_output import number
from memlint.reports.page import Page
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView
from memlint.rules.wording import ports

MOST_CUTS = 600
_SAID_ELSEWHERE = frozenset(("elsewhere", "findings", "declared"))


class Texts:
    """Sentences, each stored once: many instances of a memory say the same."""

    __slots__ = ("_index", "all")

    def __init__(self) -> None:
        self.all: list[str] = []
        self._index: dict[str, int] = {}

    def at(self, text: str) -> int:
        """The index of a text, which is added if it is new."""
        index = self._index.setdefault(text, len(self.all))
        if index == len(self.all):
            self.all.append(text)
        return index


def details(
    view: MemoryView, judgement: Judgement, findings: Mapping[str, Sequence[int]], texts: Texts
) -> dict[str, Any]:
    """Cells of the memory's row as they are shown, and what its details say.

    `findings` are indices by path.
    """
    why = reasons(view)
    one = usage(view)
    here = view.placement
    return {
        "cells": _cells(view, why, texts),
        "wasted": None if one is None else number(one.wasted),
        "figures": [[texts.at(label), texts.at(text)] for label, text in _figures(view)],
        "findings": list(findings.get(view.memory.path, ())),
        "unknown": {key: texts.at(text) for key, text in why.items()},
        "answers": [
            [texts.at(label), [texts.at(text) for text in said]]
            for label, said in answers(view, judgement, Page())
            if said and label not in _SAID_ELSEWHERE
        ],
        "planned": view.memory.planned,
        "fits": here is None or here.fits,
        "word": here.word if here else None,
        **_cuts(here.cuts if here else ()),
        "elsewhere": [[texts.at(text) for text in _other(other, view)] for other in _others(view)],
    }


def _others(view: MemoryView) -> Sequence[Placement]:
    return view.elsewhere if view.demand is not None else ()


def _cells(view: MemoryView, why: Mapping[str, str], texts: Texts) -> dict[str, Any]:
    """What stands in each column; a pair where it is no value: the word and why."""
    memory, here, tier = view.memory, view.placement, view.tier

    def known(key: str, text: str | None) -> Any:
        if text is not None:
            return text
        return ["–" if tier is not None and tier.role == "external" else UNKNOWN, texts.at(why[key])]

    def counts(key: str, value: object) -> Any:
        return known(key, None if value is None else str(value))

    blocks = here.blocks if here else None
    uniform = here.uniform_blocks if here else None
    fill = here.fill if here else None
    latency = here.read_latency if here else None
    w, r, rw = memory.count(True, False), memory.count(False, True), memory.count(True, True)
    root = memory.path.partition(".")[0] + "."
    clocks = sorted({clock.net for clock in memory.clocks})
    return {
        "depth": UNKNOWN if memory.depth is None else figure(memory.depth),
        "width": UNKNOWN if memory.width is None else figure(memory.width),
        "banks": figure(memory.banks),
        "ports": f"rom {r}r" if r and not w and not rw else ports(w, r, rw),
        "clocks": ", ".join(net.removeprefix(root) for net in clocks) or "none"
        if memory.clocks_known
        else [UNKNOWN, texts.at(why["clocks"])],
        "read": memory.read or [UNKNOWN, texts.at(why["read"])],
        "tier": tier.name if tier else [UNKNOWN, texts.at(why["tier"])],
        "blocks": known("blocks", None if blocks is None else figure(blocks)),
        "uniform": known("uniform_blocks", None if uniform is None else figure(uniform)),
        "fill": known("fill", None if fill is None else share(fill)),
        "chain": _chain(here, tier, texts) or counts("chain", None),
        "latency": known("read_latency", None if latency is None else figure(latency)),
    }


def _chain(here: Placement | None, tier: Tier | None, texts: Texts) -> Any:
    if tier is None or here is None or tier.role == "external":
        return None
    if tier.chain is None and "chain" not in tier.unknown:
        return ["–", texts.at(f"{tier.name} has no depth wires")]
    if here.chain is None:
        return None
    return figure(here.chain) + (f", cut in {here.split}" if (here.split or 1) > 1 else "")


def _figures(view: MemoryView) -> list[tuple[str, str]]:
    """The line of figures that a memory's details open with."""
    memory, here = view.memory, view.placement
    role = view.tier.role if view.tier else ""
    found = [("bits", UNKNOWN if memory.bits is None else bits(memory.bits))]
    if here is None or here.blocks is None:
        return found
    found.append(("takes", counted(here.blocks, role)))
    one = usage(view)
    if one is not None and role != "registers":
        found += [("bits taken", bits(one.taken)), ("used", bits(one.used)), ("wasted", bits(one.wasted))]
    if here.lower_bound is not None and here.lower_bound != here.blocks:
        found.append(("by bits alone", counted(here.lower_bound, role)))
    if (here.copies or 1) > 1:
        found.append(("copies", figure(here.copies or 1)))
    if here.check_bits:
        found.append(("check bits a word", figure(here.check_bits)))
    power = dict(here.power)
    if "microwatt" in power:
        found.append(("at an access a cycle", f"about {power['microwatt'] / 1000:,.2f} mW"))
    return found


def _cuts(cuts: Sequence[Cut]) -> dict[str, Any]:
    """`cuts`: [first word, words, first bit, bits, depth, width, blocks, times], `times` of them side by
    side; `cuts_left` are those beyond what is drawn."""
    found: list[list[int | float | str | None]] = []
    last: Cut | None = None
    left = 0
    for cut in cuts:
        follows = last is not None and (
            (cut.first_word, cut.words, cut.bits, cut.shape, cut.blocks, cut.first_bit)
            == (last.first_word, last.words, last.bits, last.shape, last.blocks, last.first_bit + last.bits)
        )
        if follows:
            times = found[-1][-1]
            assert isinstance(times, int)
            found[-1][-1] = times + 1
        elif len(found) < MOST_CUTS:
            found.append(
                [cut.first_word, cut.words, cut.first_bit, cut.bits, *cut.shape, number(cut.blocks), 1]
            )
        else:
            left += 1
        last = cut
    return {"cuts": found, "cuts_left": left}


def _other(here: Placement, view: MemoryView) -> list[str]:
    """A row of the other tiers: tier, blocks, fill, share of the device, copies, chain, latency."""
    tier = view.device.tier(here.tier)
    role = tier.role if tier else ""
    blocks = here.blocks
    return [
        here.tier,
        UNKNOWN if blocks is None else counted(blocks, role),
        "–" if role == "registers" else UNKNOWN if here.fill is None else share(here.fill),
        UNKNOWN if here.share is None else share(here.share),
        UNKNOWN if here.copies is None else figure(here.copies),
        UNKNOWN if here.read_latency is None else figure(here.read_latency),
    ]


def findings_by_path(findings: Sequence[Finding]) -> dict[str, list[int]]:
    """Indices of the findings that speak of each path."""
    found: dict[str, list[int]] = {}
    for index, finding in enumerate(findings):
        for path in finding.paths:
            found.setdefault(path, []).append(index)
    return found
