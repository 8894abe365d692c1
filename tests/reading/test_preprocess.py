"""What a file gives after preprocessing: tokens, places, comments, problems."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from preprocess_text import run, shown, words

from memlint.reading.verilog.preprocess import MacroTable, PreprocessOptions, preprocess
from memlint.text.source import SourceText

# Examples of IEEE Std 1800-2017 22.5.1, from memory.
MACRO1 = '`define MACRO1(a=5,b="B",c) $display(a,,b,,c);\n'
MACRO2 = '`define MACRO2(a=5, b, c="C") $display(a,,b,,c);\n'
MACRO3 = '`define MACRO3(a=5, b=0, c="C") $display(a,,b,,c);\n'
D = '`define D(x,y) initial $display("start", x , y, "end");\n'


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("`define wordsize 8\nreg [1:`wordsize] data;", "reg [ 1 : 8 ] data ;"),
        ("`define var_nand(dly) nand #dly\n`var_nand(2) g121 (q21);", "nand # 2 g121 ( q21 ) ;"),
        (
            "`define max(a,b)((a) > (b)) ? (a) : (b)\nn = `max(p+q, r+s) ;",
            "n = ( ( p + q ) > ( r + s ) ) ? ( p + q ) : ( r + s ) ;",
        ),
        (MACRO1 + "`MACRO1 ( , 2, 3 )", "$display ( 5 , , 2 , , 3 ) ;"),
        (MACRO1 + "`MACRO1 ( 1 , , 3 )", '$display ( 1 , , "B" , , 3 ) ;'),
        (MACRO1 + "`MACRO1 ( , 2, )", "$display ( 5 , , 2 , , ) ;"),
        (MACRO2 + "`MACRO2 (1, , 3)", "$display ( 1 , , , , 3 ) ;"),
        (MACRO2 + "`MACRO2 (, 2, )", '$display ( 5 , , 2 , , "C" ) ;'),
        (MACRO2 + "`MACRO2 (, 2)", '$display ( 5 , , 2 , , "C" ) ;'),
        (MACRO3 + "`MACRO3 ( 1 )", '$display ( 1 , , 0 , , "C" ) ;'),
        (MACRO3 + "`MACRO3 ( )", '$display ( 5 , , 0 , , "C" ) ;'),
        (D + '`D( "msg1" , "msg2" )', 'initial $display ( "start" , "msg1" , "msg2" , "end" ) ;'),
        (D + "`D( , )", 'initial $display ( "start" , , , "end" ) ;'),
        (
            '`define msg(x,y) `"x: `\\`"y`\\`"`"\n$display(`msg(left side,right side));',
            '$display ( "left side: \\"right side\\"" ) ;',
        ),
        ("`define append(f) f``_master\n`append(clock)", "clock_master"),
        # A macro may stand in an argument of itself.
        ("`define two(a) (a+a)\n`two(`two(1))", "( ( 1 + 1 ) + ( 1 + 1 ) )"),
        # No replacement within string literals.
        ('`define HI Hello\n`define LO "`HI, world"\n`LO', '"`HI, world"'),
        ('`define say(x) "x" x\n`say(hi)', '"x" hi'),
    ],
)
def test_examples_of_the_standard(text: str, expected: str) -> None:
    assert words(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("`define ROW lane + \\\n  valve\n`ROW;", "lane + valve ;"),
        ("`define ROW lane + \\\r\n  valve\r\n`ROW;", "lane + valve ;"),
        ("`define ROW a // not part of it\n`ROW b", "a b"),
        ("`define ROW a // goes on \\\n + b\n`ROW", "a + b"),
        ("`define ROW a /* over\nlines */ b\n`ROW", "a b"),
        ('`define URL "http://x" // c\n`URL', '"http://x"'),
        ("`define W 8\n`W'd3 + 8'd`W + 4'h`W", "8'd3 + 8'd8 + 4'h8"),
        ("`define V(w, n) w'd``n w'h n\n`V(8, 5)", "8'd5 8'h5"),
        ("`define T(w) w'd\n`T(8) 5", "8'd5"),
        ("`define NAME(n) `ROW_``n\n`define ROW_2 two\n`NAME(2)", "two"),
        ("`define PRE row\n`define NAME(n) `PRE``_``n\n`NAME(2)", "row_2"),
        ("`define P(a, b) x a``b y\n`P(,) `P(1,) `P(,2)", "x y x 1 y x 2 y"),
        ("`define E\n`define P `E``b\nwire `P", "wire b"),
        ("`define LANE(n) \\lane[``n``] \nwire `LANE(3);", "wire \\lane[3] ;"),
        ('`define Q(x) `"x`"\n`define A lane\n`Q(`A) `Q(a  /* c */+ b)', '"lane" "a   + b"'),
        ('`define Q `"of `A, `B(1)`"\n`define A lane\n`define B(x) valve x\n`Q', '"of lane, valve 1"'),
        (
            '`define A(x) x\n`A((a, b)) `A({a, b}) `A([a, b]) `A("a,b)")',
            '( a , b ) { a , b } [ a , b ] "a,b)"',
        ),
        ("`define A(x, y) x\n`A((* k, l *) a, b)", "(* k , l *) a"),
        ("`define A() now\n`A() `A ( )", "now now"),
        ("`define A(x) `ifdef FAST x `else 9 `endif\n`A(3)\n`define FAST\n`A(3)", "9 3"),
        ("`define MAKE(n) `define n made\n`MAKE(IT)\n`IT", "made"),
        ("`define \\odd+name 5\n`\\odd+name ", "5"),
        ("`define A 1\n`define A 2\n`A", "2"),
        ("`define A (1)\n`A", "( 1 )"),
        ("a `undef NONE\n `undefineall\n b", "a b"),
    ],
)
def test_macros(text: str, expected: str) -> None:
    assert words(text) == expected


def test_the_name_of_the_file_and_the_number_of_the_line() -> None:
    assert words("a\n`__LINE__ `__FILE__") == 'a 2 "sorter.sv"'
    # IEEE Std 1800-2017 22.12: the number given is that of the following line.
    assert words('`line 40 "orig.v" 0\n`__LINE__\n`__LINE__ `__FILE__') == '40 41 "orig.v"'
    assert words("`define HERE `__LINE__\n\n`HERE") == "3"


def test_directives_that_say_nothing_about_memories_vanish() -> None:
    text = """`resetall
`timescale 1ns / 1ps
`timescale 10 us/100 ns
`default_nettype none
`celldefine
`unconnected_drive pull1
`nounconnected_drive
`pragma some_tool keep = "x", (a = 1)
`line 3 "orig.v" 1
`protect
wire lane;
`endprotect
`endcelldefine
`default_nettype wire
"""
    assert words(text) == "wire lane ;"


def test_words_of_another_version_are_names_until_it_ends() -> None:
    # IEEE Std 1800-2017 22.14, from memory: under "1364-2001" `logic` is a name.
    text = """logic `begin_keywords "1364-2001" logic reg
`begin_keywords "1800-2005" logic `end_keywords do `end_keywords do"""
    assert [token.kind for token in run(text).tokens[:-1]] == ["kw", "id", "kw", "kw", "id", "kw"]
    old = run("reg do, logic;", options=PreprocessOptions(keywords="1364-2005"))
    assert [token.kind for token in old.tokens[:5]] == ["kw", "id", "op", "id", "op"]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("`ifdef A a `else b `endif", "b"),
        ("`ifndef A a `else b `endif", "a"),
        ("`ifdef ON a `elsif B b `else c `endif", "a"),
        ("`ifdef A a `elsif ON b `elsif ON c `else d `endif", "b"),
        ("`ifdef A `ifdef ON a `endif b `else c `ifndef A d `endif `endif e", "c d e"),
        ("`ifdef A `ifdef A `else a `endif `elsif A `else b `endif", "b"),
        # What hides an `endif hides it in code that is not read, too.
        ('`ifdef A "`endif" /* `endif */ // `endif\n \\`endif a `endif b', "b"),
        ('`ifdef A don\'t `unknown(x " \n `include "none" `define ON2 \n`endif `ifdef ON2 a `endif b', "b"),
        ("`ifdef A `undef ON `endif `ifdef ON a `endif", "a"),
        ("`undef ON\n`ifdef ON a `else b `endif", "b"),
        ("`undefineall\n`ifdef ON a `else b `endif", "b"),
    ],
)
def test_conditionals(text: str, expected: str) -> None:
    assert words(text, defines={"ON": "1"}) == expected


def test_an_include_is_read_in_place_with_its_own_name() -> None:
    done = run('a `include "widths.vh"\nb', files={"widths.vh": "`define LANES 4\nparameter L = `LANES;"})
    assert [(token.text, token.file) for token in done.tokens[:3]] == [
        ("a", "sorter.sv"),
        ("parameter", "widths.vh"),
        ("L", "widths.vh"),
    ]
    assert done.tokens[-1].file == "sorter.sv"
    assert done.includes == (("widths.vh", "widths.vh"),)
    assert [source.file for source in done.sources] == ["widths.vh"]
    assert done.macros.macros["LANES"].body == "4"
    assert done.macros.macros["LANES"].span.file == "widths.vh"


@pytest.mark.parametrize(
    "include",
    [
        "`include <lib/widths.vh>",
        '`define W "lib/widths.vh"\n`include `W',
        "`define W <lib/widths.vh>\n`include `W",
        '`define W(x) `"lib/x.vh`"\n`include `W(widths)',
        '`define INC `include "lib/widths.vh"\n`INC',
    ],
)
def test_every_way_to_name_an_include(include: str) -> None:
    assert words(f"a {include} \nb", files={"lib/widths.vh": "here"}) == "a here b"


def test_reading_goes_on_behind_a_protected_region() -> None:
    text = """reg a;
`pragma protect begin_protected
`pragma protect data_block
q83/*kJ"8//=
`pragma protect end_protected
reg b;
`ifdef X `protected "/* `endprotected `endif
reg c; // @mem in block
"""
    done = run(text)
    assert shown(done) == "reg a ; reg b ; reg c ;"
    assert [comment.text for comment in done.comments] == ["// @mem in block"]
    # Marks for an encryption still to come hide nothing.
    assert words("`pragma protect begin\nreg a;\n`pragma protect end\n") == "reg a ;"


def test_a_token_of_a_macro_has_the_place_of_its_use_and_an_argument_its_own() -> None:
    text = "`define RAM(name) reg [7:0] name [0:`TOP];\n`define TOP 63\nwire w; `RAM(delay_line) wire x;"
    done = run(text)
    place = {token.text: text[token.start : token.end] for token in done.tokens}
    assert place["reg"] == place["63"] == place["["] == "`RAM(delay_line)"
    assert place["delay_line"] == "delay_line"
    assert place["x"] == "x"


def test_a_macro_in_an_argument_has_its_own_place() -> None:
    text = "`define OUT(x) a x b\n`define IN(y) y y\n`OUT(`IN(c) d)"
    found = [(token.text, text[token.start : token.end]) for token in run(text).tokens[:-1]]
    use = "`OUT(`IN(c) d)"
    assert found == [("a", use), ("c", "c"), ("c", "c"), ("d", "d"), ("b", use)]


def test_macros_pass_from_file_to_file() -> None:
    first = run("`define LANES 4\n`undef OLD\n", defines={"OLD": "1", "KEEP": "2"})
    second = preprocess(SourceText("b.sv", "`LANES `KEEP `ifdef OLD a `endif"), first.macros, lambda *_: None)
    assert shown(second) == "4 2"
    assert second.macros is first.macros


def test_macros_consulted_are_those_whose_meaning_from_outside_matters() -> None:
    text = "`define MINE 1\n`MINE `ifdef A `elsif B `endif `ifdef MINE `endif `C"
    assert run(text).used_macros == {"A", "B", "C"}
    assert run("`undefineall\n`A").used_macros == set()


@given(
    st.text(st.sampled_from("ABC"), max_size=4),
    st.permutations(["`define A 1\n", "`undef B\n", "`undefineall\n"]),
)
def test_changes_lead_from_the_macros_before_to_those_after(before: str, lines: list[str]) -> None:
    table = MacroTable.of(dict.fromkeys(before, "0"))
    done = preprocess(SourceText("f", "".join(lines)), table, lambda *_: None)
    assert table.with_changes(done.changes).macros == done.macros.macros


def test_comments_with_the_marker_are_kept_with_their_line() -> None:
    text = """// @mem in block
reg a; //@mem in bulk
/* plain */ /* @mem shape 4 x 4 */ reg b;
reg c; /* plain
 */ // @mem fifo
// not @mem
// @member
// // @mem
"//@mem"
"""
    found = run(text).comments
    assert [(comment.text, comment.own_line) for comment in found] == [
        ("// @mem in block", True),
        ("//@mem in bulk", False),
        ("/* @mem shape 4 x 4 */", True),
        ("// @mem fifo", True),
    ]
    for comment in found:
        assert text[comment.start : comment.end] == comment.text
        assert text[comment.line_start - 1 : comment.line_start] in ("", "\n")
        assert "\n" not in text[comment.line_start : comment.start]


def test_comments_in_code_that_is_not_read_are_ignored() -> None:
    text = """`ifdef A
// @mem in bulk
`else // @mem in block
`endif
// synthesis translate_off
// @mem fifo
// synthesis translate_on
`define DEPTH 64 // @mem rom
`define ROW(x) x
`ROW(reg // @mem ecc
 a)
"""
    found = run(text).comments
    assert [(comment.text, comment.own_line) for comment in found] == [
        ("// @mem in block", False),
        # On the line of a `define it belongs to nothing, but must not go unseen.
        ("// @mem rom", False),
        ("// @mem ecc", False),
    ]


@pytest.mark.parametrize(
    ("off", "on"),
    [
        ("// synthesis translate_off", "// synthesis translate_on"),
        ("//pragma translate_off", "//pragma translate_on"),
        ("/* synthesis translate_off */", "/* synthesis translate_on */"),
        ("// Synthesis Translate_Off", "/* pragma translate_on */"),
        ("//  synthesis  translate off", "// synthesis translate on"),
    ],
)
def test_code_between_translate_comments_is_left_out(off: str, on: str) -> None:
    skipped = 'b `define B 1\n`unknown `include "none"\n`ifdef C x `else y `endif'
    text = f"a {off}\n{skipped} {on}\nc `ifdef B d `endif"
    assert words(text) == "a c"


def test_translate_comments_with_other_words_are_as_configured() -> None:
    text = "a // tool translate_off\nb // tool translate_on\nc // pragma translate_off\nd"
    assert shown(run(text, options=PreprocessOptions(translate_off=("tool",)))) == "a c d"
    assert words("`ifdef A\n// pragma translate_off\n`endif\nb") == "b"


def test_a_guarded_file_may_include_itself() -> None:
    guarded = '`ifndef G\n`define G\nwire a;\n`include "g.vh"\n`endif'
    assert words('`include "g.vh"\n`include "g.vh"\n', files={"g.vh": guarded}) == "wire a ;"
