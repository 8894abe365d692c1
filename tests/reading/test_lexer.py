"""Verilog and SystemVerilog tokens."""

from __future__ import annotations

import pytest
import slang_tokens
from hypothesis import given
from hypothesis import strategies as st

from memlint.reading.verilog.lexer import lex
from memlint.reading.verilog.tokens import KEYWORDS_OF
from memlint.text.source import SourceText

# Longest operators and punctuation of IEEE Std 1800-2017 table 11-1 and annex A, from memory.
OPERATORS = """
= += -= *= /= %= &= |= ^= <<= >>= <<<= >>>= ? : && || -> <-> ->> ! ~ & | ^ ~& ~| ~^ ^~ + - * / % ** << >>
<<< >>> < <= > >= == != === !== ==? !=? ++ -- , ; . { } [ ] ( ) ' '{ @ @@ # ## #-# #=# |-> |=> => *> &&&
:: := :/ +: -: $
""".split()


def tokens(text: str) -> list[tuple[str, str]]:
    return [(token.kind, token.text) for token in lex(SourceText("sorter.sv", text)).tokens]


def faults(text: str) -> list[tuple[str, str]]:
    """Each fault's message and the source it points at."""
    found = lex(SourceText("sorter.sv", text)).faults
    return [(problem.message, text[problem.span.start : problem.span.end]) for _, problem in found]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # IEEE Std 1800-2017 5.7.1, from memory: sizes, bases, signs, white space between the parts.
        ("659", [("num", "659")]),
        ("'h 837FF", [("num", "'h837FF")]),
        ("'o7460", [("num", "'o7460")]),
        ("4'b1001", [("num", "4'b1001")]),
        ("5 'D 3", [("num", "5'D3")]),
        ("3'b01x", [("num", "3'b01x")]),
        ("12'hx", [("num", "12'hx")]),
        ("16'hz", [("num", "16'hz")]),
        ("8 'd -6", [("num", "8'd"), ("op", "-"), ("num", "6")]),
        ("4 'shf", [("num", "4'shf")]),
        ("16'sd?", [("num", "16'sd?")]),
        ("27_195_000", [("num", "27_195_000")]),
        ("16'b0011_0101_0001_1111", [("num", "16'b0011_0101_0001_1111")]),
        ("32 'h 12ab_f001", [("num", "32'h12ab_f001")]),
        ("'0 '1 'x 'z", [("num", "'0"), ("num", "'1"), ("num", "'x"), ("num", "'z")]),
        # 5.7.2 and 5.8, from memory: reals and times.
        ("1.30e-2 236.123_763_e-12", [("num", "1.30e-2"), ("num", "236.123_763_e-12")]),
        ("1.2E12 0.1e-0 23E10", [("num", "1.2E12"), ("num", "0.1e-0"), ("num", "23E10")]),
        ("2.1ns 40ps 1step", [("num", "2.1ns"), ("num", "40ps"), ("num", "1step")]),
        # A width before a cast is a number of its own.
        ("4'(lane)", [("num", "4"), ("op", "'"), ("op", "("), ("id", "lane"), ("op", ")")]),
        ("'{default:'0}", [("op", "'{"), ("kw", "default"), ("op", ":"), ("num", "'0"), ("op", "}")]),
    ],
)
def test_numbers(text: str, expected: list[tuple[str, str]]) -> None:
    assert tokens(text)[:-1] == expected


def test_names_words_and_system_names_are_told_apart() -> None:
    assert tokens("reg valve_42$b _x $clog2 \\wr-clk! \\reg ") == [
        ("kw", "reg"),
        ("id", "valve_42$b"),
        ("id", "_x"),
        ("sys", "$clog2"),
        ("id", "wr-clk!"),
        ("id", "reg"),
        ("eof", ""),
    ]


# IEEE Std 1800-2017 table 5-1, from memory.
@pytest.mark.parametrize(
    ("text", "content"),
    [
        (r'"lane.hex"', "lane.hex"),
        (r'"a\tb\n"', "a\tb\n"),
        (r'"say \"stop\" \\ go"', 'say "stop" \\ go'),
        (r'"\101\x42"', "AB"),
        ('"one \\\nline"', "one line"),
        ('"one \\\r\nline"', "one line"),
        ('"// no comment /* either"', "// no comment /* either"),
    ],
)
def test_strings_stand_for_what_they_mean(text: str, content: str) -> None:
    assert tokens(text) == [("str", content), ("eof", "")]


def test_every_operator_is_one_token() -> None:
    assert tokens(" ".join(OPERATORS))[:-1] == [("op", each) for each in OPERATORS]


@pytest.mark.parametrize("star", ["(*)", "( *)", "(* )", "(   * )", "(\n*\n)", "(/* any */ *)"])
def test_the_star_of_an_event_control_opens_no_attribute(star: str) -> None:
    assert tokens(f"always @{star}")[:-1] == [
        ("kw", "always"),
        ("op", "@"),
        ("op", "("),
        ("op", "*"),
        ("op", ")"),
    ]


def test_attributes_have_their_own_brackets() -> None:
    # IEEE Std 1364.1-2002 example 27, as quoted in the reference notes.
    found = tokens("(* synthesis, ram_block *) reg [7:0] mem [127:0];")
    assert found[0] == ("op", "(*")
    assert found[4] == ("op", "*)")
    assert tokens("sorter u (.*);")[2:5] == [("op", "("), ("op", ".*"), ("op", ")")]


def test_comments_and_white_space_only_separate() -> None:
    assert tokens("a//b\r\nc/*d\n*e**/f\t/**/g//") == [
        *(("id", name) for name in "acfg"),
        ("eof", ""),
    ]


def test_a_string_without_end_is_reported_and_ends_with_its_line() -> None:
    text = 'x = "abc;\ny = 1;'
    assert tokens(text)[2:4] == [("str", "abc;"), ("id", "y")]
    assert [where for _, where in faults(text)] == ['"abc;']
    assert "no closing quote" in faults(text)[0][0]


def test_a_comment_without_end_is_reported_where_it_opens() -> None:
    text = "reg a; /* lost\nreg b;"
    assert tokens(text) == [("kw", "reg"), ("id", "a"), ("op", ";"), ("eof", "")]
    assert [where for _, where in faults(text)] == ["/*"]
    assert "never closed" in faults(text)[0][0]


@pytest.mark.parametrize("version", KEYWORDS_OF)
def test_reserved_words_are_those_of_the_standard(version: str) -> None:
    """Against pyslang's own tables of each version."""
    every = sorted(set().union(*KEYWORDS_OF.values()))
    assert slang_tokens.keywords(version, every) == KEYWORDS_OF[version]


_WORDS = st.sampled_from(
    [
        *OPERATORS,
        "lane",
        "logic",
        " 12 ",
        " 4'b10x1 ",
        " 'hFF ",
        " 1.5e3 ",
        " 10ns ",
        '"a\\"b"',
        "$clog2",
        "\\e+x ",
    ]
)


@given(st.lists(st.tuples(_WORDS, st.sampled_from(["", " ", "\n", "/* c */", "// c\n"])), max_size=12))
def test_tokens_begin_where_pyslang_begins_them(parts: list[tuple[str, str]]) -> None:
    text = "".join(word + space for word, space in parts) + " "
    found = lex(SourceText("f", text)).tokens[:-1]
    ours = {token.start for token in found}
    # Ours are whole where pyslang's are not: based numbers, and `.*`, `(*`, `*)` with the star apart. That
    # star it may join to what follows, which no legal text has there.
    within = {at for token in found if token.kind == "num" for at in range(token.start + 1, token.end)}
    pairs = {token.start + 1 for token in found if token.text in ("(*", "*)", ".*")}
    theirs = {offset for offset, _ in slang_tokens.lexed(text)}
    assert theirs - within - pairs <= ours
    if not pairs:
        assert ours == theirs - within


# What a lexer may trip over: quotes, openers of all kinds, line ends, odd code points.
TRICKY = st.text(st.sampled_from("ab_9'\"`\\/*()@$.:-+<>=#?xhd ;\n\r\t\0é\u2028𝄞"), max_size=60)


@given(TRICKY)
def test_tokens_lie_in_order_and_apart_and_are_their_source(text: str) -> None:
    last = 0
    for token in lex(SourceText("f", text)).tokens:
        assert last <= token.start <= token.end <= len(text)
        last = token.end
        if token.kind in ("op", "kw", "sys", "dir") or (token.kind == "id" and text[token.start] != "\\"):
            assert text[token.start : token.end] == token.text
        elif token.kind == "num":
            assert "".join(text[token.start : token.end].split()) == token.text


@given(TRICKY)
def test_nothing_but_white_space_and_comments_lies_between_tokens(text: str) -> None:
    found = lex(SourceText("f", text))
    if found.faults:
        return
    last = 0
    for token in found.tokens:
        between = text[last : token.start].strip()
        assert not between or between.startswith(("//", "/*"))
        last = token.end
