"""Text to raw tokens: one regular expression walks the whole text, white space and comments within it.

A raw token may have a kind the parser never sees: `dir` is a backtick and what belongs to it, left to the
preprocessor. A `define takes its whole text with it, `line and `pragma the rest of their line.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from memlint.reading.facts.items import Problem
from memlint.reading.unknown_characters import unknown_character
from memlint.reading.verilog.tokens import KEYWORDS_OF, Token
from memlint.text.source import SourceText, Span

RULE = "source-not-read"
BLOCK_COMMENT = r"/\*[^*]*\*+(?:[^/*][^*]*\*+)*/"
COMMENT = rf"//[^\r\n]*|{BLOCK_COMMENT}"
STRING = r'"(?:[^"\\\r\n]|\\(?:\r\n|[\s\S]))*+"'
# To the end of the line; a backslash before the line end goes on, also in a comment.
_DEFINE = (
    r"define(?![\w$])(?>[^\\\r\n/\"`]+|\\(?:\r\n|[\s\S])|//(?:[^\\\r\n]|\\(?:\r\n|[\s\S]))*+"
    rf"|{BLOCK_COMMENT}|/\*[\s\S]*|{STRING}|[/\"`])*+"
)
_DIRECTIVE = (
    rf"`(?:{_DEFINE}|(?:line|pragma)(?![\w$])[^\r\n]*|[a-zA-Z_][a-zA-Z0-9_$]*"
    r'|"(?:`\\`"|(?!`")[^\r\n])*`"|`|\\[^\s`]+)?'
)
_DIGITS = r"[0-9][0-9_]*+"
# The last line is a base whose digits a macro supplies: 8'd`VALUE.
_BASED = (
    r"'[sS]?(?:[hH]\s*[0-9a-fA-FxXzZ?][0-9a-fA-FxXzZ?_]*|[dD]\s*(?:[0-9][0-9_]*|[xXzZ?]_*)"
    r"|[bB]\s*[01xXzZ?][01xXzZ?_]*|[oO]\s*[0-7xXzZ?][0-7xXzZ?_]*"
    r"|[hHdDbBoO](?![a-zA-Z0-9_$]))"
)
_NUMBER = (
    rf"{_DIGITS}(?:\s*{_BASED}|(?:\.{_DIGITS})?(?:[eE][+-]?{_DIGITS})?(?:(?:[munpf]?s|step)(?![a-zA-Z0-9_$]))?)"
    rf"|{_BASED}|'[01xXzZ](?![a-zA-Z0-9_$])"
)
# Longer ones first. `(*` does not open an attribute before `)`; nor does `:/` divide before a comment.
_OPERATOR = (
    r"\(\*(?!\s*\))|\*\)|<<<=|>>>=|===|!==|==\?|!=\?|<<=|>>=|<<<|>>>|->>|<->|&&&"
    r"|\|->|\|=>|#-#|#=#|\*\*|\*>|&&|\|\||\+\+|--|\+=|-=|\*=|/=|%=|&=|\|=|\^=|<<|>>|<=|>=|==|!="
    r"|~&|~\||~\^|\^~|->|=>|::|:=|:/(?![/*])|\+:|-:|##|@@|\.\*|'\{"
)
_SCAN = re.compile(
    rf"\s*(?:(?:{COMMENT})\s*)*"
    rf"([a-zA-Z_][a-zA-Z0-9_$]*|[;,)\[\]]|{_OPERATOR}|{_NUMBER}|{STRING}|\"[^\r\n]*|\$[a-zA-Z0-9_$]+"
    rf"|{_DIRECTIVE}|\\[^\s]+|/\*[\s\S]*|[^\x00-\x7f]+|[\s\S]|\Z)"
)

_ESCAPE = re.compile(r"\\(?:(\r\n|[\r\n])|([0-7]{1,3})|x([0-9a-fA-F]{1,2})|([\s\S]))")
_ESCAPES = {"n": "\n", "t": "\t", "v": "\v", "f": "\f", "a": "\a"}
# Raw kinds that need a look where they stand.
_CHECKED = frozenset(("dir", "eof", "closer", "open-string", "open-comment", "unknown"))


@dataclass(frozen=True, slots=True)
class Lexed:
    """Raw tokens of a text, `eof` last, and the indices of its `dir` tokens.

    `faults` are (index of the first token that comes after or with it, what is wrong).
    """

    tokens: list[Token]
    directives: list[int]
    faults: list[tuple[int, Problem]]


class _Words(dict[str, tuple[str, str]]):
    """Kind and cleaned text by the text matched; each distinct text is looked into once."""

    def __missing__(self, raw: str) -> tuple[str, str]:
        self[raw] = found = _KEYWORDS.get(raw) or _classify(raw)
        return found


_KEYWORDS = {word: ("kw", word) for word in KEYWORDS_OF["1800-2017"]}


def lex(source: SourceText, start: int = 0, stop: int | None = None) -> Lexed:
    """The raw tokens of a text from code point `start` to `stop`. Total: any text gives tokens."""
    stop = len(source.text) if stop is None else stop
    tokens: list[Token] = []
    directives: list[int] = []
    faults: list[tuple[int, Problem]] = []
    words = _Words()
    append = tokens.append
    new = tuple.__new__
    checked = _CHECKED
    file = source.file
    for match in _SCAN.finditer(source.text, start, stop):
        kind, text = words[match[1]]
        begin, end = match.span(1)
        if kind in checked:
            match kind:
                case "dir":
                    directives.append(len(tokens))
                case "closer":
                    kind = "op"
                    if tokens and tokens[-1].text == "(":
                        append(Token("op", "*", file, begin, begin + 1))
                        text, begin = ")", begin + 1
                case "open-string":
                    kind = "str"
                    faults.append((len(tokens), _unterminated("string", Span(file, begin, end))))
                case "open-comment":
                    faults.append((len(tokens), _unterminated("block comment", Span(file, begin, begin + 2))))
                    continue
                case "unknown":
                    kind = "op"
                    faults.append((len(tokens), unknown_character(source, begin, end, "SystemVerilog")))
                case "eof":
                    append(Token("eof", "", file, begin, begin))
                    break
        append(new(Token, (kind, text, file, begin, end)))
    return Lexed(tokens, directives, faults)


def unescape(content: str) -> str:
    """What a string literal's content stands for (IEEE Std 1800-2017 table 5-1)."""
    return _ESCAPE.sub(_escaped, content) if "\\" in content else content


def _escaped(match: re.Match[str]) -> str:
    line_end, octal, hexadecimal, char = match.groups()
    if line_end:
        return ""
    if octal:
        return chr(int(octal, 8))
    if hexadecimal:
        return chr(int(hexadecimal, 16))
    return _ESCAPES.get(char, char)


def _classify(raw: str) -> tuple[str, str]:
    first = raw[:1]
    if first.isascii() and (first.isalpha() or first == "_"):
        return "id", raw
    if first.isascii() and first.isdigit():
        return "num", "".join(raw.split())
    match first:
        case "":
            return "eof", ""
        case "`":
            return "dir", raw
        case '"':
            if re.fullmatch(STRING, raw):
                return "str", unescape(raw[1:-1])
            return "open-string", unescape(raw[1:])
        case "\\":
            return ("id", raw[1:]) if len(raw) > 1 else ("unknown", raw)
        case "$":
            return ("sys", raw) if len(raw) > 1 else ("op", raw)
        case "'":
            return ("op", raw) if raw in ("'", "'{") else ("num", "".join(raw.split()))
        case "/" if raw.startswith("/*"):
            return "open-comment", raw[:2]
        case "*" if raw == "*)":
            return "closer", raw
        case _:
            return ("op" if raw.isascii() and raw.isprintable() else "unknown"), raw


def _unterminated(what: str, span: Span) -> Problem:
    if what == "string":
        message = "this string has no closing quote; it is read up to the end of its line"
        remedy = 'close it with " on the same line'
    else:
        message = "this block comment is never closed; nothing after it is read"
        remedy = "close it with */"
    return Problem(RULE, message, span, (remedy,))
