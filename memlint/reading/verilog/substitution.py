"""What a macro use puts in: the macro's pieces with the actual arguments in them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from memlint.reading.verilog.lexer import unescape
from memlint.reading.verilog.macros import Macro, Woven, pastes
from memlint.reading.verilog.tokens import Token

_WORD = re.compile(r"[a-zA-Z_][a-zA-Z0-9_$]*")
_DIGITS = re.compile(r"[0-9a-fA-FxXzZ?_]+")


@dataclass(frozen=True, slots=True)
class Actual:
    """What a use gives for a formal: its tokens, macros in it expanded, and how it is spelled."""

    tokens: tuple[Token, ...]
    text: str


def instantiate(macro: Macro, actuals: Sequence[Actual], place: Token) -> tuple[list[Token], list[int]]:
    """The tokens a use puts in, still to be preprocessed, and the indices of those that need it.

    All have the place of the use, but an actual's own tokens keep theirs.
    """
    _kind, _text, file, start, end = place
    new = tuple.__new__
    tokens: list[Token] = []
    stops: list[int] = []
    pieces = macro.pieces
    skip = False
    for at, piece in enumerate(pieces):
        if skip:
            skip = False
            continue
        if type(piece) is int:
            actual = actuals[piece].tokens
            if not actual:
                skip = at + 1 < len(pieces) and pastes(pieces[at + 1])
                if not skip and tokens and pastes(tokens[-1]):
                    del tokens[stops.pop() :]
            elif tokens and (whole := number(tokens[-1], actual[0])):
                tokens[-1:] = whole
                actual = actual[1:]
            # What an actual could not expand (an undefined macro) is an id: no stop among its tokens.
            tokens.extend(actual)
            continue
        if type(piece) is Token:
            kind, text = piece.kind, piece.text
        else:
            assert isinstance(piece, Woven)
            kind = piece.kind
            text = "".join(part if isinstance(part, str) else actuals[part].text for part in piece.parts)
            if kind == "str":
                # Macros named within are expanded there (22.5.1): the preprocessor does that.
                kind, text = ("dir", f'`"{text}`"') if "`" in text else ("str", unescape(text))
        if kind == "dir":
            stops.append(len(tokens))
        token = new(Token, (kind, text, file, start, end))
        if kind == "num" and tokens and (whole := number(tokens[-1], token)):
            tokens[-1:] = whole
        else:
            tokens.append(token)
    return tokens, stops


def cost(macro: Macro, actuals: Sequence[Actual]) -> int:
    """How much a use puts in, in tokens, before it does; eight characters of a woven text count as one."""
    # Even a use that puts nothing in takes its time: as much as a few tokens.
    total = 4 + len(macro.pieces)
    if not actuals:
        return total
    for piece in macro.pieces:
        if type(piece) is int:
            total += len(actuals[piece].tokens)
        elif type(piece) is Woven:
            total += sum(len(actuals[part].text) for part in piece.parts if type(part) is int) // 8
    return total


def number(left: Token, right: Token) -> list[Token]:
    """The number that a size and a base, or a base and digits, make; none if they make none."""
    if left.kind != "num" or right.kind not in ("num", "id"):
        return []
    if "'" in left.text:
        joins = left.text[-1] in "hHdDbBoO" and left.text[-2] in "'sS" and bool(_DIGITS.fullmatch(right.text))
    else:
        joins = (
            left.text.replace("_", "").isdigit() and right.text[0] == "'" and right.text[1] not in "01xXzZ"
        )
    if not joins:
        return []
    return [Token("num", left.text + right.text, *between(left, right))]


def between(left: Token, right: Token) -> tuple[str, int, int]:
    """The place of what two tokens are joined to: file, start, end."""
    end = right.end if right.file == left.file and right.end > left.start else left.end
    return left.file, left.start, end


def placed(tokens: Sequence[Token], place: Token) -> list[Token]:
    """These tokens at another place."""
    return [Token(token.kind, token.text, place.file, place.start, place.end) for token in tokens]


def spelled(tokens: Sequence[Token]) -> str:
    """Tokens as text that gives the same tokens again, words apart by one space."""
    text = ""
    for token in tokens:
        word = token.text
        if token.kind == "str":
            word = '"' + word.replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'
        elif token.kind == "id" and not _WORD.fullmatch(word.lstrip("`")):
            word = f"\\{word} "
        if text and _wordlike(text[-1]) and _wordlike(word[:1]):
            text += " "
        text += word
    return text


def _wordlike(char: str) -> bool:
    return char.isalnum() or char in '_$"'
