"""Directives that need no macro table: conditionals, regions to skip, operands (IEEE Std 1800-2017 22)."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from memlint.reading.facts.items import Problem
from memlint.reading.verilog.lexer import RULE
from memlint.reading.verilog.tokens import KEYWORDS_OF, Token
from memlint.text.source import SourceText

# How many tokens each takes with it; `timescale, `include and the like are read where they are handled.
OPERANDS = {
    "`resetall": 0,
    "`celldefine": 0,
    "`endcelldefine": 0,
    "`nounconnected_drive": 0,
    "`end_keywords": 0,
    "`unconnected_drive": 1,
    "`default_nettype": 1,
    "`default_decay_time": 1,
    "`default_trireg_strength": 1,
    "`delay_mode_distributed": 0,
    "`delay_mode_path": 0,
    "`delay_mode_unit": 0,
    "`delay_mode_zero": 0,
    # Marks for an encryption still to be done: what stands between them is readable.
    "`protect": 0,
    "`endprotect": 0,
}
_UNITS = frozenset(("s", "ms", "us", "ns", "ps", "fs"))
# Names that cannot be macros.
RESERVED = frozenset(name[1:] for name in OPERANDS) | {
    *("define", "undef", "undefineall", "ifdef", "ifndef", "elsif", "else", "endif", "include", "line"),
    *("pragma", "timescale", "begin_keywords", "protected", "endprotected", "__FILE__", "__LINE__"),
}
_PROTECTED_END = {
    "`protected": re.compile(r"`endprotected(?![\w$])"),
    "`pragma": re.compile(r"`pragma\s+protect\s+end_protected(?![\w$])[^\r\n]*"),
}
_BEGIN_PROTECTED = re.compile(r"`pragma\s+protect\s+(?:.*,\s*)?begin_protected(?![\w$])")


@dataclass(frozen=True, slots=True)
class Branch:
    """One `ifdef … `endif being read. `live`: this branch is; `done`: one was, or none may be."""

    opening: Token
    live: bool
    done: bool
    in_else: bool = False


@dataclass(slots=True)
class Conditionals:
    """The conditionals open at a place, outermost first. A file closes none below its `floor`."""

    branches: list[Branch] = field(default_factory=list)
    floor: int = 0

    @property
    def active(self) -> bool:
        """Whether code here counts."""
        return not self.branches or self.branches[-1].live

    def open(self, opening: Token, holds: bool) -> None:
        """An `ifdef or `ifndef; `holds` says whether its first branch is to be read."""
        active = self.active
        self.branches.append(Branch(opening, active and holds, not active or holds))

    def undecided(self) -> bool:
        """Whether no branch was read yet, so that an `elsif here depends on its macro."""
        return len(self.branches) > self.floor and not self.branches[-1].done

    def next(self, token: Token, holds: bool) -> Problem | None:
        """An `elsif whose macro is defined if `holds`, or an `else."""
        if len(self.branches) <= self.floor:
            return _stray(token)
        last = self.branches[-1]
        live = holds and not last.done and not last.in_else
        self.branches[-1] = Branch(
            last.opening, live, last.done or live, last.in_else or token.text == "`else"
        )
        if not last.in_else or not (len(self.branches) == 1 or self.branches[-2].live):
            return None
        message = f"{token.text} after the `else of the same conditional; this branch is not read"
        return Problem(
            RULE, message, token.span, ("remove one of the two", "close the conditional with `endif first")
        )

    def close(self, token: Token) -> Problem | None:
        """An `endif."""
        if len(self.branches) <= self.floor:
            return _stray(token)
        self.branches.pop()
        return None

    def end(self) -> list[Problem]:
        """The end of a file: closes what the file left open."""
        left = self.branches[self.floor :]
        del self.branches[self.floor :]
        message = "this {} has no `endif; its last branch is taken to reach the end of the file"
        return [
            Problem(RULE, message.format(each.opening.text), each.opening.span, ("close it with `endif",))
            for each in left
        ]


def _stray(token: Token) -> Problem:
    message = f"{token.text} without an `ifdef or `ifndef before it in this file"
    return Problem(RULE, message, token.span, ("remove it", "open the conditional with `ifdef or `ifndef"))


def timescale_end(tokens: Sequence[Token], at: int) -> int:
    """Index behind `1ns / 1ps` or `1 ns / 1 ps` at `at`, as far as it is written."""
    for step in range(2):
        if at == len(tokens) or tokens[at].kind != "num":
            break
        at += 1
        if at < len(tokens) and tokens[at].text in _UNITS:
            at += 1
        if step or at == len(tokens) or tokens[at].text != "/":
            break
        at += 1
    return at


def protected_end(source: SourceText, token: Token) -> int | None:
    """Offset behind the protected region that this directive opens; None if it opens none."""
    name = token.text[:7] if token.text.startswith("`pragma") else token.text
    if name == "`pragma" and not _BEGIN_PROTECTED.match(token.text):
        return None
    end = _PROTECTED_END[name].search(source.text, token.end)
    return end.end() if end else len(source.text)


def apply_keywords(tokens: list[Token], start: int, version: str) -> None:
    """Turn words from `start` on that `version` does not reserve into identifiers, in place."""
    words = KEYWORDS_OF.get(version)
    if words is None or words == KEYWORDS_OF["1800-2017"]:
        return
    tokens[start:] = [
        token._replace(kind="id") if token.kind == "kw" and token.text not in words else token
        for token in tokens[start:]
    ]
