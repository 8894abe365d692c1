"""Preprocessing texts that are wrong, half-typed or without bound: what is said, and that reading goes on."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from preprocess_text import only_problem, run, shown

from memlint.reading.verilog.preprocess import PreprocessOptions


def test_a_missing_include_is_named_once() -> None:
    text = '`include "none.vh"\nwire a;\n`include "none.vh"\n'
    done = run(text)
    message, where = only_problem(done, text)
    assert "none.vh" in message
    assert where == '`include "none.vh"'
    assert done.includes == (("none.vh", None),)
    assert shown(done) == "wire a ;"


def test_an_unknown_macro_is_no_problem_yet_and_stays_as_a_name() -> None:
    # It matters where it touches an array or its shape, which elaboration finds: test_not_read.py.
    text = "assign a = `WIDE(x, 1);\nassign b = `WIDE(y, 1);"
    done = run(text)
    assert not done.problems
    assert [token.text for token in done.tokens if token.kind == "id"] == [
        "a",
        "`WIDE",
        "x",
        "b",
        "`WIDE",
        "y",
    ]


@pytest.mark.parametrize(
    ("text", "expected", "where"),
    [
        ("`define A(x, y) x\n`A(1);", "takes 2 arguments, and this use gives 1", "`A(1)"),
        ("`define A(x) x\n`A(1, 2);", "takes 1 argument, and this use gives 2", "`A(1, 2)"),
        (
            "`define A(x, y = 1) x\n`A(1, 2, 3);",
            "takes 1 to 2 arguments, and this use gives 3",
            "`A(1, 2, 3)",
        ),
        ("`define A(x) x\n`A;", "this use gives none", "`A"),
        ("`define A(x) x\n`A(1;", "is not closed", "`A"),
        ("`define A(x, 2) x\n", "is no name", "`define A(x, 2) x"),
        ("`define A(x", "is not closed", "`define A(x"),
        ("`define\nreg a;", "names no macro", "`define"),
        ("`define include 1\n", "would replace a directive", "`define include 1"),
        ("`define A b \\ \n", "white space follows the last backslash", "`define A b \\ "),
        ("`define A /* open\n", "never closed", "`define A /* open\n"),
        ("`ifdef\nreg a;`endif", "names no macro", "`ifdef"),
        ("`include\nreg a;", "names no file", "`include"),
        ("`endif a", "without an `ifdef", "`endif"),
        ("`else a", "without an `ifdef", "`else"),
        ("`ifdef A", "has no `endif", "`ifdef"),
        ("`ifdef A\n`else\n`else\n`endif", "after the `else", "`else"),
        ('`begin_keywords "1999"\n', "names no version", "`begin_keywords"),
        ("`end_keywords", "without a `begin_keywords", "`end_keywords"),
        ("`define A `A\n`A", "uses itself (`A uses `A)", "`A"),
        ("`define A `B\n`define B `A\n`A", "`A uses `B uses `A", "`A"),
        ('reg a = "lane;\n', "no closing quote", '"lane;'),
        ("reg a; /* lane", "never closed", "/*"),
        ('`protected\n\x01"/*\n`endprotected\nreg a;', "encrypted", '`protected\n\x01"/*\n`endprotected'),
    ],
)
def test_problems_say_what_is_wrong_and_where(text: str, expected: str, where: str) -> None:
    done = run(text)
    message, at = only_problem(done, text)
    assert expected in message
    assert at == where


def test_translation_never_switched_on_again_is_reported() -> None:
    text = "a // pragma translate_off\nb"
    done = run(text)
    message, where = only_problem(done, text)
    assert shown(done) == "a"
    assert "never on again" in message
    assert where == "// pragma translate_off"


def grown(levels: int, use: str) -> str:
    """Macros, each of which uses the next as `use` says, and the use of the first."""
    return (
        "".join(f"`define A{at} {use.format(at + 1)}\n" for at in range(levels)) + f"`define A{levels} x\n`A0"
    )


@pytest.mark.parametrize(
    ("text", "limit"),
    [
        (grown(40, "`A{0} `A{0}"), "more than 20000 tokens"),
        (grown(200, "`A{}"), "more than 100 deep"),
        ("`define A(x) x\n" + "`A(" * 120 + ")" * 120, "more than 100 deep"),
        (
            "".join(f"`define A{n}(x) `A{n + 1}(x x)\n" for n in range(40)) + "`define A40(x) x\n`A0(1)",
            "20000",
        ),
        (
            "".join(f"`define A{n}(x) `A{n + 1}(x``x)\n" for n in range(40)) + "`define A40(x) x\n`A0(y)",
            "20000",
        ),
        (
            "".join(f'`define A{n}(x) `A{n + 1}(`"x x`")\n' for n in range(40)) + "`define A40(x) x\n`A0(y)",
            "20000",
        ),
    ],
)
def test_macros_that_grow_without_bound_are_stopped(text: str, limit: str) -> None:
    done = run(text, options=PreprocessOptions(max_expanded=20_000))
    assert [limit in problem.message for problem in done.problems] == [True]
    assert len(done.tokens) < 40_000


def test_files_that_include_each_other_are_stopped() -> None:
    done = run('`include "a"', files={"a": 'x `include "b"\n', "b": '`include "a"\n'})
    assert len(done.problems) == 1
    assert "64 deep" in done.problems[0].message
    assert "a includes b" in done.problems[0].message
    twice = run(
        '`include "a"', {"a": '`include "a"\n`include "a"\n'}, options=PreprocessOptions(max_included=9000)
    )
    assert any("more than 9000 tokens" in problem.message for problem in twice.problems)


def test_a_conditional_ends_in_the_file_it_began_in() -> None:
    done = run('`ifdef A\n`else\n`include "i.vh"\nb `endif', files={"i.vh": "a `endif `ifdef C"})
    assert sorted(problem.span.file for problem in done.problems) == ["i.vh", "i.vh"]
    assert shown(done) == "a b"


SAMPLE = """`timescale 1ns/1ps
`define RAM(n, w = 8) (* ram_block *) reg [w-1:0] n [0:`DEPTH-1]; // macro
`define DEPTH 64 \\
  * 2
`define NAME(x) `"x_``x`" /* c */
`ifdef A "a" `elsif B 'b `else \\esc! `endif
`include `NAME(y)
module m; `RAM(delay, 4'd9) // @mem in block
// synthesis translate_off
initial $display("%s", `NAME(`DEPTH));
/* synthesis translate_on */ always @(*) x <= 8'h`DEPTH;
`begin_keywords "1364-2001" logic `end_keywords
`pragma protect begin_protected
x`pragma protect end_protected
endmodule `undefined(a, b) `line 3 "f" 0
"""


@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_any_prefix_is_read_without_failing(line_end: str) -> None:
    text = SAMPLE.replace("\n", line_end)
    for end in range(len(text) + 1):
        tokens = run(text[:end]).tokens
        assert tokens[-1].kind == "eof"
        assert all(0 <= token.start <= token.end <= end for token in tokens)


_PIECES = st.sampled_from(
    [
        *"`define `undef `ifdef `ifndef `elsif `else `endif `include `undefineall `line `pragma".split(),
        *"`protected `endprotected `begin_keywords `end_keywords `__LINE__ `timescale A B ( ) , =".split(),
        *'`A `B `A( `` `" `\\`" ` " \\ // /* */ (* *) 8\'d \'h 12 x < > @mem translate_off synthesis'.split(),
        *("\n", "\\\n", "// synthesis translate_off\n", "// @mem x\n", '"A"'),
    ]
)


@given(st.lists(st.tuples(_PIECES, st.sampled_from(["", " "])), max_size=30))
def test_any_text_is_read_without_failing(parts: list[tuple[str, str]]) -> None:
    text = '`define A(x) x``x\n`define B `A(`A(1)) `"`A(2)`"\n' + "".join(map("".join, parts))
    done = run(text, files={"A": text[:20]}, options=PreprocessOptions(max_expanded=2000, max_included=2000))
    assert done.tokens[-1].kind == "eof"
    for token in done.tokens[:-1]:
        assert token.kind in ("id", "kw", "num", "str", "sys", "op")
