"""What the intent reader says about a clause that does not parse."""

from __future__ import annotations

import re
from collections.abc import Iterable

from memlint.reading.intent.refusal import Refusal

FORMS = {
    "in": "in bulk or block",
    "shape": "shape 32K x 40",
    "ports": "ports 1w 1r",
    "one": "one clock",
    "clocks": "clocks wr_clk, rd_clk",
    "read": "read within 3 cycles",
    "write": "write lanes 10",
    "ecc": "ecc in word",
    "same": "same address before",
    "fifo": "fifo",
    "initial": "initial contents",
    "holds": "holds 12 lines x 3840 x 30 bit",
    "plan": "plan line_store",
    "times": "times 4",
    "budget": "budget bulk <= 24, block <= 10",
    "accept": 'accept shallow-wide because "the line is short"',
    "why": 'why "what a reviewer should know"',
    "on": "on u_store.mem:",
}
"""An example of each clause, by its first word."""

_SYMBOLS = {
    "_X": "x", "_AT_MOST": "<=", "_COMMA": ",", "_COLON": ":", "_PLUS": "+", "_MINUS": "-", "_STAR": "*",
    "_LPAR": "(", "_RPAR": ")",
}  # fmt: skip
_NAMES = {
    "TIER": "a tier's name",
    "NET": "a net's name",
    "PATH": "a memory's dotted path",
    "PLAN_NAME": "a name",
    "RULE": "a rule's name",
    "UNIT": "a unit or a noun",
    "PORT": "a port such as `1w`, `2r` or `1rw`",
    "NUMBER": "a number",
    "STRING": "a text in double quotes",
    "$END": "the end of the clause",
}
_CHOICES = {"GIVES": ("before", "after", "any", "never")}
_OPERATORS = {"_PLUS", "_MINUS", "_STAR"}
# With the number it stands beside, each of these adds nothing for the reader.
_IMPLIED = {"DECIMAL": "NUMBER", "_LPAR": "NUMBER", "CYCLES": "UNIT"}
_WORD = re.compile(
    r"""[^\W\d][\w$-]*(?:\.[^\W\d][\w$]*|\[[\w*-]*\])*  # a name, dotted and indexed
    | [0-9][\w.]* | "[^"]*"? | [<>=!:]+ | .""",
    re.DOTALL | re.VERBOSE,
)


def misfit(at: int | None, accepts: frozenset[str], text: str, example: str) -> Refusal:
    """The refusal of `text`, which holds a word at least, where the terminals `accepts` could stand.

    `at` is the offset of what does not fit, None where the text ends too early. `example` is a right one of
    its kind, or empty where the kind is not known.
    """
    form = (f"write it like `{example}`",) if example else ()
    if at is None:
        return _cut_short(text, accepts, form)
    start, end = _word_at(text, at)
    word = text[start:end]
    if "_SHAPE" in accepts:
        return _no_clause(word, end)
    if "$END" in accepts and word in FORMS:
        message = f"`{word}` starts another clause"
        return Refusal(message, start, end, (f"put `;` before `{word}`",))
    message = f"expected {_listed(_phrases(accepts))} instead of `{shortened(word)}`"
    return Refusal(message, start, end, (*_nearest(word, accepts), *form), _only_near(word, _words(accepts)))


def first_word(text: str) -> str:
    """The word a clause starts with."""
    match = re.match(r"\w+", text)
    return match[0] if match else ""


def shortened(text: str, longest: int = 40) -> str:
    """A piece of source on one line, cut where it grows too long for a message."""
    line = " ".join(text[: 4 * longest].split())
    return line if len(line) <= longest else line[: longest - 1] + "…"


def did_you_mean(word: str, candidates: Iterable[str]) -> tuple[str, ...]:
    """A help line with the candidate that looks most like the word, if any does."""
    # Needed only once something is wrong, and not cheap to import.
    from difflib import get_close_matches

    by_lower = {candidate.lower(): candidate for candidate in candidates}
    close = get_close_matches(word[:40].lower(), by_lower, 1)
    return (f"did you mean `{by_lower[close[0]]}`?",) if close else ()


def _no_clause(word: str, end: int) -> Refusal:
    clauses = [head for head in FORMS if head != "on"]
    if word == "on":
        hint = ("begin a comment line with it: `@mem on u_store.mem: in bulk`",)
        return Refusal("`on` stands before the clauses, not among them", 0, end, hint)
    known = f"a clause starts with {_listed([f'`{head}`' for head in clauses])}"
    help = (*did_you_mean(word, clauses), known)
    return Refusal(f"no clause starts with `{shortened(word)}`", 0, end, help, _only_near(word, clauses))


def _cut_short(text: str, accepts: frozenset[str], form: tuple[str, ...]) -> Refusal:
    last = list(_WORD.finditer(text))[-1]
    message = f"expected {_listed(_phrases(accepts))} after `{shortened(last[0])}`, where the text ends"
    return Refusal(message, last.start(), last.end(), form)


def _word_at(text: str, at: int) -> tuple[int, int]:
    """The word that stands at an offset; digits straight before it belong to it, as in `32k`."""
    match = _WORD.match(text, at)
    end = match.end() if match else len(text)
    if text[at : at + 1].isalpha():
        while at > 0 and text[at - 1] in "0123456789":
            at -= 1
    return at, end


def _phrases(accepts: frozenset[str]) -> list[str]:
    names = {name for name in accepts if _IMPLIED.get(name) not in accepts}
    names = (names - _OPERATORS) or names
    phrases: list[str] = []
    # Literal words first, the end of the clause last: the order of what is most likely meant.
    for name in sorted(names, key=lambda name: (name == "$END", name in _NAMES, name)):
        phrases.extend([_NAMES[name]] if name in _NAMES else [f"`{word}`" for word in _literals(name)])
    return phrases


def _literals(name: str) -> tuple[str, ...]:
    """The words a terminal stands for; terminals of one word are named after it."""
    return _CHOICES.get(name) or (_SYMBOLS.get(name) or name.strip("_").lower(),)


def _nearest(word: str, accepts: frozenset[str]) -> tuple[str, ...]:
    if re.fullmatch(r"[0-9]+[km]", word):
        return (f"did you mean `{word.upper()}`? K is 2^10 and M is 2^20, both in capitals",)
    return did_you_mean(word, _words(accepts))


def _words(accepts: frozenset[str]) -> list[str]:
    return [text for name in sorted(accepts - set(_NAMES)) for text in _literals(name) if text.isalpha()]


def _only_near(word: str, candidates: Iterable[str]) -> str:
    """The candidate that looks like the word, if it is the only one that does."""
    from difflib import get_close_matches

    close = get_close_matches(word[:40].lower(), {*candidates}, 2)
    return close[0] if len(close) == 1 else ""


def _listed(phrases: list[str]) -> str:
    if len(phrases) == 1:
        return phrases[0]
    return f"{', '.join(phrases[:-1])} or {phrases[-1]}"
