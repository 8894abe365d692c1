"""Text macros: their definitions, the table of them, their argument lists (IEEE Std 1800-2017 22.5)."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import TypeAlias

from memlint.reading.facts.items import Problem
from memlint.reading.verilog.lexer import BLOCK_COMMENT, RULE, STRING, lex
from memlint.reading.verilog.tokens import Token
from memlint.text.source import SourceText, Span

_CLEAN = re.compile(
    rf"({STRING})|(?://(?:[^\\\r\n]|\\(?!\r\n|[\r\n]))*|{BLOCK_COMMENT}|(/\*[\s\S]*))|\\(?:\r\n|[\r\n])"
)
_HEAD = re.compile(r"`define\s+(?:\\(\S+)|([a-zA-Z_][a-zA-Z0-9_$]*))(\()?")
_QUOTED = re.compile(r'`\\`"|``|`[a-zA-Z_][a-zA-Z0-9_$]*|[a-zA-Z_][a-zA-Z0-9_$]*|[^`a-zA-Z_]+|`')
_HOW_TO_DEFINE = ("write `define NAME text, or `define NAME(first, second = default) text",)
_OPENERS = frozenset(("(", "[", "{", "'{", "(*"))
_CLOSERS = frozenset((")", "]", "}", "*)"))


@dataclass(frozen=True, slots=True)
class Formal:
    """A macro's formal argument; `default` None where it has none."""

    name: str
    default: str | None


@dataclass(frozen=True, slots=True)
class Woven:
    """A text with formals in it (their numbers) that becomes one token of this kind."""

    kind: str
    parts: tuple[str | int, ...]


# A token as it stands, the number of a formal, or a text woven with formals.
Piece: TypeAlias = Token | int | Woven


@dataclass(frozen=True)
class Macro:
    """A definition. `formals` None: used without parentheses. `body` has no comments, no continuations."""

    name: str
    formals: tuple[Formal, ...] | None
    body: str
    span: Span = field(compare=False, repr=False)

    @cached_property
    def pieces(self) -> tuple[Piece, ...]:
        """The body, cut where a use has something to put in."""
        numbers = {formal.name: at for at, formal in enumerate(self.formals or ())}
        tokens = lex(SourceText(self.name, self.body)).tokens[:-1]
        pieces = [_piece(token, self.body, numbers) for token in tokens]
        # A paste with nothing on one side must not reach what stands beside the use.
        while pieces and pastes(pieces[0]):
            del pieces[0]
        while pieces and pastes(pieces[-1]):
            del pieces[-1]
        return tuple(pieces)

    @cached_property
    def unknown(self) -> Problem | None:
        """The first character of the body that is none of the language's, outside strings."""
        if self.body.isascii():
            return None
        faults = lex(SourceText(self.name, self.body)).faults
        return next((problem for _, problem in faults if problem.hides), None)

    @cached_property
    def weaves(self) -> bool:
        """Whether a use needs the spelling of its actuals."""
        return any(type(piece) is Woven for piece in self.pieces)

    @cached_property
    def plain(self) -> tuple[tuple[str, str], ...] | None:
        """Kind and text of each token, when a use needs no more than these."""
        pieces = self.pieces
        if any(type(piece) is not Token or piece.kind == "dir" for piece in pieces):
            return None
        return tuple((piece.kind, piece.text) for piece in pieces if type(piece) is Token)


@dataclass(frozen=True, slots=True)
class MacroTable:
    """The macros defined at a place; never changed, `with_changes` gives another."""

    macros: Mapping[str, Macro] = field(default_factory=dict)

    @staticmethod
    def of(defines: Mapping[str, str], origin: str = "memlint.toml") -> MacroTable:
        """Macros without arguments from names and texts, as a configuration gives them."""
        span = Span(origin, 0, 0)
        return MacroTable({name: Macro(name, None, text, span) for name, text in defines.items()})

    def with_changes(self, changes: MacroChanges) -> MacroTable:
        """This table after a text that made these changes."""
        if not changes.cleared and not changes.macros:
            return self
        macros = {} if changes.cleared else dict(self.macros)
        for name, macro in changes.macros.items():
            if macro is None:
                macros.pop(name, None)
            else:
                macros[name] = macro
        return MacroTable(macros)


@dataclass(frozen=True, slots=True)
class MacroChanges:
    """What a text does to a table: `cleared` undefines all, then each macro is set, or undefined if None."""

    cleared: bool
    macros: Mapping[str, Macro | None]


def parse_define(raw: str, span: Span) -> Macro | Problem:
    """The macro that the text of a `define directive defines, or what is wrong with it."""
    text = without_comments(raw)
    if "/*" in text and any(match[2] for match in _CLEAN.finditer(raw)):
        message = "a block comment in this `define is never closed; nothing after it is read"
        return Problem(RULE, message, span, ("close it with */",))
    head = _HEAD.match(text)
    if head is None:
        return Problem(RULE, "`define names no macro", span, _HOW_TO_DEFINE)
    name = head[1] or head[2]
    if not head[3]:
        return Macro(name, None, text[head.end() :].strip(), span)
    tokens = lex(SourceText(name, text), head.end() - 1).tokens
    found = arguments(tokens, 0)
    if found is None:
        message = f"the list of formal arguments of macro `{name} is not closed; it is not defined"
        return Problem(RULE, message, span, _HOW_TO_DEFINE)
    groups, end = found
    formals = [_formal(group, text) for group in groups] if groups != [[]] else []
    kept = tuple(formal for formal in formals if formal is not None)
    if len(kept) < len(formals):
        message = f"a formal argument of macro `{name} is no name; it is not defined"
        return Problem(RULE, message, span, _HOW_TO_DEFINE)
    return Macro(name, kept, text[tokens[end - 1].end :].strip(), span)


def arguments(tokens: Sequence[Token], at: int) -> tuple[list[list[Token]], int] | None:
    """The groups between the parentheses that open at `at`, cut at their commas, and the index behind.

    None when nothing opens there or it never closes. `()` gives one empty group.
    """
    if at >= len(tokens) or tokens[at].kind != "op" or tokens[at].text not in ("(", "(*"):
        return None
    group: list[Token] = []
    groups = [group]
    if tokens[at].text == "(*":
        group.append(_part(tokens[at], "*", 1, 2))
    depth = 1
    for index in range(at + 1, len(tokens)):
        token = tokens[index]
        if token.kind == "op":
            text = token.text
            if text in _OPENERS:
                depth += 1
            elif text in _CLOSERS:
                depth -= 1
                if depth == 0:
                    if text == "*)":
                        group.append(_part(token, "*", 0, 1))
                    return groups, index + 1
            elif text == "," and depth == 1:
                group = []
                groups.append(group)
                continue
        group.append(token)
    return None


def unclosed(tokens: Sequence[Token]) -> frozenset[int]:
    """Indices of the brackets that never close, of whatever kind."""
    stack: list[int] = []
    for index, token in enumerate(tokens):
        if token.kind != "op":
            continue
        if token.text in _OPENERS:
            stack.append(index)
        elif token.text in _CLOSERS and stack:
            stack.pop()
    return frozenset(stack)


def without_comments(text: str) -> str:
    """A text with each comment replaced by a space and continued lines joined by line ends."""
    return _CLEAN.sub(_cleaned, text)


def _part(token: Token, text: str, start: int, end: int) -> Token:
    """One character of a `(*` or `*)`; where the token stands for a whole macro use, the use's place."""
    if token.end - token.start != 2:
        return token._replace(text=text)
    return Token("op", text, token.file, token.start + start, token.start + end)


def _cleaned(match: re.Match[str]) -> str:
    if match[1] or match[2]:
        return match[0]
    return "\n" if match[0].startswith("\\") else " "


def _formal(group: Sequence[Token], text: str) -> Formal | None:
    if not group or group[0].kind not in ("id", "kw"):
        return None
    if len(group) == 1:
        return Formal(group[0].text, None)
    if group[1].text != "=":
        return None
    return Formal(group[0].text, text[group[1].end : group[-1].end].strip())


def _piece(token: Token, body: str, numbers: Mapping[str, int]) -> Piece:
    text = token.text
    if token.kind in ("id", "kw"):
        if body[token.start] == "\\":
            # One token, yet `` in it pastes: \lane[``n``]
            parts = [numbers.get(part, part) for part in text.split("``")]
            return Woven("id", tuple(parts)) if len(parts) > 1 else token
        return numbers.get(text, token)
    if token.kind == "dir" and text.startswith('`"') and len(text) > 3:
        return Woven("str", _weave(text[2:-2], numbers, {"``": "", '`\\`"': '\\"'}))
    if token.kind == "dir" and text.startswith("`define") and numbers:
        return Woven("dir", _weave(text, numbers, {}))
    return token


def pastes(piece: Piece) -> bool:
    """Whether a piece is `` and joins its neighbours."""
    return type(piece) is Token and piece.kind == "dir" and piece.text == "``"


def _weave(text: str, numbers: Mapping[str, int], signs: Mapping[str, str]) -> tuple[str | int, ...]:
    words = (match[0] for match in _QUOTED.finditer(text))
    return tuple(numbers[word] if word in numbers else signs.get(word, word) for word in words)
