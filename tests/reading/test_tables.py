"""The prepared parse tables: made of the grammars as they are, and read as lark reads."""

import pytest
from all_of_it import all_of
from hypothesis import given
from hypothesis import strategies as st
from lark.exceptions import UnexpectedInput
from lark_parser import lark_parser

from memlint.reading import grammars
from memlint.reading.grammars import grammar_file, prepared
from memlint.reading.prepare import as_text
from memlint.reading.starts import STARTS
from memlint.reading.verilog import leaves
from memlint.reading.verilog.leaves import ParseError
from memlint.reading.verilog.lexer import lex
from memlint.text.source import SourceText

PIECES = (
    "a b lane ( ) [ ] { } '{ , : :: ? . = ; # ' 7 4'hF \"s\" $clog2 $ + - ~ ! << * && <= +: logic reg int signed "
    "struct packed enum union virtual interface type default inside"
).split()


@pytest.mark.parametrize("name", STARTS)
def test_the_tables_are_made_of_the_grammars_as_they_are(name: str) -> None:
    file = grammar_file(name).with_suffix(".json")
    assert file.read_text(encoding="utf-8") == as_text(name), "run: python -m memlint.reading.prepare"


@pytest.mark.parametrize("name", STARTS)
def test_a_table_of_another_grammar_is_not_used(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    from_file = prepared(name)
    monkeypatch.setattr(grammars, "fingerprint", lambda _name: "of a changed grammar")
    made = prepared(name)
    assert made is not from_file
    assert made.starts == from_file.starts and made.rules == [
        type(rule)(rule.length, rule.symbol, rule.callback, _tuples(rule.kept), rule.nones, rule.passes_one)
        for rule in from_file.rules
    ]


def _tuples(kept: object) -> tuple[tuple[int, bool, int], ...] | None:
    return None if kept is None else tuple(tuple(one) for one in kept)  # type: ignore[attr-defined,misc]


@pytest.mark.parametrize("start", STARTS["systemverilog"])
@given(words=st.lists(st.sampled_from(PIECES), max_size=12))
def test_our_loop_gives_what_lark_gives(start: str, words: list[str]) -> None:
    tokens = lex(SourceText("sorter.sv", " ".join(words))).tokens[:-1]
    try:
        ours = all_of(leaves.parse(start, tokens))
    except ParseError:
        ours = None
    try:
        theirs = all_of(lark_parser("systemverilog").parse(list(leaves.leaves(tokens)), start=start))
    except (UnexpectedInput, ParseError):
        theirs = None
    assert ours == theirs
