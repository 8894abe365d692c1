"""What can be written next in an intent comment."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from lsprotocol import types

from memlint.device.facts import Device
from memlint.reading.intent.amounts import SIZES, TIMES
from memlint.rules import wording
from memlint.rules.base import all_rules
from memlint.rules.view import MemoryView
from memlint.server.intent_text import Written
from memlint.server.intent_words import CLAUSES, ON, tier_summary
from memlint.text.source import SourceText

_Kind = types.CompletionItemKind
_SEPARATOR = re.compile(r';|"[^"]*(?:"|\Z)')
_WORD = re.compile(r"[\w$.\[\]*/-]*\Z")
_MANY = frozenset(("accept", "budget"))
_OF_UNITS = frozenset(("budget", "plan", "times"))
"""Clauses that speak for the unit around them, and for no memory that `on` could pick."""
_SAME_ADDRESS = {
    "before": "the old word",
    "after": "the new word",
    "any": "either will do",
    "never": "it does not happen",
}
_ON_PATH = re.compile(r"\s*on\s+[^:;\"]*\Z")
_RATES = ("kbit/s", "Mbit/s", "Gbit/s")


@dataclass(frozen=True, slots=True)
class Known:
    """What is known around an intent: the device, the clocks in scope, and the memories it speaks for. Each
    may be unknown.

    `over_instance` tells that it stands over an instance; `below` are then the memories in that, each with
    its path from there and in a few words what it is.
    """

    device: Device | None
    clocks: tuple[str, ...] = ()
    views: tuple[MemoryView, ...] = ()
    over_instance: bool = False
    below: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class Proposal:
    """One thing to write. `about` tells completionItem/resolve what to explain."""

    label: str
    kind: types.CompletionItemKind
    detail: str = ""
    text: str = ""
    snippet: str = ""
    about: tuple[str, str] | None = None


def word_before(source: SourceText, offset: int, first: int) -> int:
    """Where the word starts that is being written."""
    found = _WORD.search(source.text, first, offset)
    return found.start() if found else offset


def proposals(written: Written, source: SourceText, offset: int, known: Known) -> tuple[Proposal, ...]:
    """What fits at a place of an intent, most likely first; nothing inside quotes."""
    path = _ON_PATH.match(source.text, written.first, offset)
    if path is not None:
        return tuple(_paths(known))
    start = written.after_on if offset >= written.after_on else written.first
    text = source.text[start : word_before(source, offset, start)]
    clause, in_quotes = _current(text)
    if in_quotes:
        return ()
    words = re.findall(r"<=|[\w$.\[\]*/-]+|[^\s\w]", clause)
    said = {_head(source.text[first:last]) for first, last in written.extents if not first <= offset <= last}
    said -= _MANY
    if start > written.first:
        said |= _OF_UNITS
    found = list(_after(words, known, said))
    if not text.strip() and start == written.first == written.after_on and known.over_instance:
        # It comes first where it may be wanted: the clauses follow it.
        on = Proposal("on", _Kind.Keyword, ON.brief, snippet=ON.snippet, about=("clause", "on"))
        found.insert(0, on)
    return tuple(found)


def _paths(known: Known) -> Iterator[Proposal]:
    for path, said in known.below:
        yield Proposal(path, _Kind.Field, said)


def _current(text: str) -> tuple[str, bool]:
    """The clause that a text ends in, and whether it ends within quotes."""
    start = 0
    for found in _SEPARATOR.finditer(text):
        if found[0] == ";":
            start = found.end()
        elif found[0].count('"') == 1:
            return "", True
    return text[start:], False


def _head(clause: str) -> str:
    found = re.match(r"\w+", clause)
    return found[0] if found else ""


def _after(words: Sequence[str], known: Known, said: set[str]) -> Iterator[Proposal]:
    match words:
        case []:
            yield from _clauses(said)
        case ["in"] | ["in", *_, "or"]:
            yield from _tiers(known)
        case ["in", *_]:
            yield _word("or", "another tier, if that takes it not")
        case ["budget"] | ["budget", *_, ","]:
            yield from _tiers(known)
        case ["budget", *_, last] if re.match(r"[^\W\d]", last):
            yield Proposal("<=", _Kind.Operator, "at most")
        case ["one"]:
            yield _word("clock", "all ports on one clock")
        case ["clocks"] | ["clocks", *_, ","]:
            taken = set(words)
            for name in known.clocks:
                if name not in taken:
                    yield Proposal(name, _Kind.Variable, "a net in this scope")
        case _:
            yield from _rest(words, known)


def _rest(words: Sequence[str], known: Known) -> Iterator[Proposal]:
    match words:
        case ["shape"]:
            yield from _shapes(known)
        case ["ports"]:
            yield from _ports(known)
        case ["read"]:
            yield _word("within", "cycles")
        case ["read", "within", _]:
            yield _word("cycles", "clock edges")
        case ["write"]:
            yield _word("lanes", "bits of each")
        case ["write", "lanes"]:
            for lanes in dict.fromkeys(view.memory.lanes for view in known.views if view.memory.lanes):
                text = str(lanes[0]) if len(set(lanes)) == 1 else " + ".join(map(str, reversed(lanes)))
                yield Proposal(text, _Kind.Value, "the lanes the HDL writes")
        case ["same"]:
            yield _word("address", "what a read gives")
        case ["same", "address"]:
            yield from (_word(word, said) for word, said in _SAME_ADDRESS.items())
        case ["ecc"]:
            yield _word("in word", "check bits are in the array already", "in word")
        case ["ecc", "in"]:
            yield _word("word", "")
        case ["initial"]:
            yield _word("contents", "")
        case ["accept"]:
            for rule in all_rules():
                yield Proposal(rule.name, _Kind.Constant, rule.family, about=("rule", rule.name))
        case ["accept", _]:
            yield Proposal("because", _Kind.Keyword, "the reason", 'because "', 'because "${1:reason}"')
        case ["holds", *inner]:
            yield from _units(inner)


def _clauses(said: set[str]) -> Iterator[Proposal]:
    for head, words in CLAUSES.items():
        if head not in said:
            yield Proposal(
                words.name, _Kind.Keyword, words.brief, words.name, words.snippet, about=("clause", head)
            )


def _tiers(known: Known) -> Iterator[Proposal]:
    if known.device is None:
        return
    for tier in (*known.device.on_chip(), *(one for one in known.device.tiers if one.role == "external")):
        yield Proposal(tier.name, _Kind.EnumMember, tier_summary(tier), about=("tier", tier.name))


def _shapes(known: Known) -> Iterator[Proposal]:
    shapes = [(view.memory.depth, view.memory.width) for view in known.views]
    for depth, width in dict.fromkeys(shapes):
        if depth is not None and width is not None:
            text = f"{wording.number_in_clause(depth)} x {width}"
            yield Proposal(text, _Kind.Value, "what the HDL has now")


def _ports(known: Known) -> Iterator[Proposal]:
    now = dict.fromkeys(_ports_of(view) for view in known.views)
    for text in now:
        yield Proposal(text, _Kind.Value, "what the HDL has now")
    for text in ("1w 1r", "1rw", "2rw", "1w 2r", "rom"):
        if text not in now:
            yield Proposal(text, _Kind.Value)


def _ports_of(view: MemoryView) -> str:
    memory = view.memory
    w, r, rw = memory.count(True, False), memory.count(False, True), memory.count(True, True)
    return "rom" if r and not w and not rw else wording.ports(w, r, rw)


def _units(words: Sequence[str]) -> Iterator[Proposal]:
    """Units stand behind a number; behind a time `at` and a rate."""
    last = words[-1] if words else ""
    if last in TIMES:
        yield _word("at", "the rate it is held at")
    elif len(words) > 1 and "at" in words and last[:1].isdigit():
        yield from (Proposal(rate, _Kind.Unit) for rate in _RATES)
    elif last[:1].isdigit():
        for unit, bits in SIZES.items():
            yield Proposal(unit, _Kind.Unit, wording.plural(bits, "bit"))
        yield from (Proposal(unit, _Kind.Unit, "a time, at a rate") for unit in TIMES)
    elif words and last != "x":
        yield _word("x", "another factor")


def _word(label: str, detail: str, text: str = "") -> Proposal:
    return Proposal(label, _Kind.Keyword, detail, text or label)
