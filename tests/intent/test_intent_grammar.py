"""The loader of grammars."""

from collections.abc import Iterator

import pytest
from lark import Token, Transformer
from lark.lexer import Lexer

from memlint.reading.grammars import grammar_text, parser


class _Words(Lexer):
    """Tokens handed over ready made."""

    def __init__(self, conf: object) -> None:
        pass

    def lex(self, data: list[tuple[str, str]]) -> Iterator[Token]:  # type: ignore[override]
        for kind, text in data:
            yield Token(kind, text)


class _Names(Transformer[Token, object]):
    def in_tiers(self, children: list[Token]) -> list[str]:
        return [str(child) for child in children]


def test_a_grammar_is_found() -> None:
    assert "in_tiers:" in grammar_text("intent")


def test_a_missing_grammar_is_named() -> None:
    with pytest.raises(FileNotFoundError, match=r"grammar no_such_language is missing in .*grammar"):
        grammar_text("no_such_language")


def test_a_parser_is_built_once() -> None:
    assert parser("intent", "clause") is parser("intent", "clause")


def test_tokens_of_our_own_and_a_transformer() -> None:
    reader = parser("intent", "clause", lexer=_Words, transformer=_Names())
    tokens = [("_IN", "in"), ("TIER", "bulk"), ("_OR", "or"), ("TIER", "block")]
    assert reader.parse(tokens) == ["bulk", "block"]
