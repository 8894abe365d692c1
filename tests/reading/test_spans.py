"""The span of an expression is its text, from the first character to the last, brackets and all."""

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from written_expressions import expressions

from memlint.reading.facts.expressions import (
    Call,
    Conditional,
    DataType,
    Dimension,
    Expr,
    Name,
    Slice,
    TypeArgument,
    Unsupported,
)
from memlint.reading.verilog import leaves
from memlint.reading.verilog.lexer import lex
from memlint.reading.verilog.preprocess import MacroTable
from memlint.reading.verilog.read import read_verilog
from memlint.reading.vhdl import parse
from memlint.reading.vhdl.lexer import lex as lex_vhdl
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText, Span


def nodes_in(root: Any) -> Iterator[Any]:
    """Every node with a span, the outermost first."""
    if isinstance(root, tuple):
        for one in root:
            yield from nodes_in(one)
    elif is_dataclass(root) and not isinstance(root, Span):
        if isinstance(getattr(root, "span", None), Span):
            yield root
        for field in fields(root):
            yield from nodes_in(getattr(root, field.name))


def spelled(root: Any, text: str, kind: Any) -> list[str]:
    """The texts of all nodes of a kind, blanks left out."""
    nodes = [one for one in nodes_in(root) if type(one) is kind]
    found = [text[one.span.start : one.span.end] for one in nodes]
    return [re.sub(r"\s", "", one) for one in found]


def verilog(text: str) -> Expr:
    return leaves.expression(lex(SourceText("sorter.sv", text)).tokens[:-1])


def by_grammar(text: str) -> Expr:
    found: Expr = leaves.parse("expression", lex(SourceText("sorter.sv", text)).tokens[:-1])
    return found


def vhdl(text: str) -> Expr:
    tokens = [one for one in lex_vhdl(SourceText("sorter.vhd", text)).tokens if one.type != "EOF"]
    return parse.expression(tokens, Span("sorter.vhd", 0, 0))


WHOLE = """
gains[ra] | m[3:0] | m[a +: (b)] | f(x, y) | f() | {a, b} | {2{b}} | {n{a, (b)}} | a + (b) | (a) + b
(a) * (b) + (c) | (a + b) * (c - d) | !(a) | -(a)[3] | (a) ? (b) : (c) | s ? a : b[1] | m[a][3:0] | u.m[1].k
$clog2(DEPTH) | $bits(logic [3:0]) | $bits(logic signed) | int'(a) | signed'(m[1]) | 16'(a) | pkg::t'({a, b})
(a)[2] | '{a, b} | '{default: '0} | '{3{a}} | t'{a, b} | a inside {b, [c:d]} | (a) inside {(b)} | {<<{a}}
{>> 8 {a, b}} | {} | '{} | f(.a(b), .c()) | (1:2:3) + (4:5:6) | ((a)) + ((b)) | a -> (b) | f(x)(y) | ~^(&(a))
a ? b : c ? d : (e) | a ** (b) ** (c) | $time | f(,)
""".replace("\n", " | ")
WHOLE_VHDL = """
m(to_integer(a)) # a & b # a & (b) # (a) & (b) & (c) # (a, b) # (others => '0') # (0 => a, others => (b))
m'length # m'range(1) # t'(a) # t'(a, b) # f(x, y) # m(3 downto 0) # m(a)(b) # u.m(1).k # not (a) # -(a) # -(a) * (b)
(a) + (b) * (c) # (a) - b # and (a) # abs (a) # ?? (a) # ?? a # (a) = (b) # a(0) rol (n) # ((a)) - ((b)) # 10 ns
"and"(a, b) # new t # a.b."and" # - a # (a) or (b) or (c) # std_logic_vector(unsigned(a) + 1) # pkg.f(a)(0)
""".replace("\n", " # ")


@pytest.mark.parametrize("text", [one.strip() for one in WHOLE.split(" | ") if one.strip()])
@pytest.mark.parametrize("read", [verilog, by_grammar])
def test_the_span_is_the_whole_text(read: Any, text: str) -> None:
    found = read(text)
    assert type(found) is not Unsupported or text in ("{}", "{<<{a}}")
    assert text[found.span.start : found.span.end] == text


@pytest.mark.parametrize("text", [one.strip() for one in WHOLE_VHDL.split(" # ") if one.strip()])
def test_the_span_is_the_whole_text_in_vhdl(text: str) -> None:
    if text.startswith("??"):
        # What the operator stands before is the node; around it the operator counts.
        text = f"{text} and (b)"
    found = vhdl(text)
    assert type(found) is not Unsupported
    assert text[found.span.start : found.span.end] == text


@pytest.mark.parametrize("read", [verilog, by_grammar, vhdl])
def test_what_stands_alone_in_parentheses_keeps_its_own_span(read: Any) -> None:
    found = read("((valve))")
    assert (found, found.span.start, found.span.end) == (Name("valve", span=found.span), 2, 7)


def test_ranges_of_vhdl_with_parentheses() -> None:
    text = "m((a) - 1 downto (b))"
    found = vhdl(text)
    assert type(found) is Slice
    choice = vhdl("((a) to (b) => c, others => d)")
    assert spelled(choice, "((a) to (b) => c, others => d)", Slice) == ["(a)to(b)"]


ALL = """
module sorter #(parameter type T = logic [7:0]) (input clk, input [(W)-1:(0)] wa);
  logic [7:0] gains [0:DEPTH-1], lines [(N)][], q;
  assign q = gains[ra] + m[3:0];
  always @(posedge clk) if (f(a)) gains[wa][3:0] <= {2{b[0]}}; else {h[1], i} = (j) + (k);
  u #(.T(logic [3:0])) v(.a(b[1]), .c({d, e}), .f(g + (h)), .lane_q, );
  always_comb begin count += (one); m[i]++; end
endmodule
"""


def test_statements_and_connections() -> None:
    unit = read_verilog(SourceText("sorter.sv", ALL), MacroTable(), lambda *_: None).facts.units[0]
    assert spelled(unit, ALL, Slice) == ["m[3:0]", "gains[wa][3:0]"]
    assert {*"[7:0] [0:DEPTH-1] [(N)] [] [(W)-1:(0)] [3:0]".split()} == {*spelled(unit, ALL, Dimension)}
    assert "lane_q" in spelled(unit, ALL, Name)
    assert spelled(unit, ALL, TypeArgument) == ["logic[7:0]", "logic[3:0]"]
    texts = {ALL[one.span.start : one.span.end] for one in nodes_in(unit)}
    assert {*"gains[ra];{2{b[0]}};{h[1], i};(j) + (k);b[1];{d, e};g + (h);m[i];f(a)".split(";")} <= texts


VHDL = """
architecture rtl of sorter is
  type store_t is array (0 to DEPTH - 1) of std_logic_vector((W) - 1 downto (0));
  signal store : store_t := (others => (others => '0'));
begin
  u : entity work.v generic map (N => (a) + (b)) port map (d => m(to_integer(c)), q(0) => s.t(1));
  q <= f(a) when (b) = (c) else store(to_integer(unsigned(ra)));
  r <= (a) when s else (b) when t else (c);
  process (clk) begin
    if rising_edge(clk) then store(to_integer(wa))(7 downto 0) <= a & (b); end if;
  end process;
end;
"""


def test_statements_and_connections_of_vhdl() -> None:
    unit = read_vhdl(SourceText("sorter.vhd", VHDL)).units[0]
    texts = {VHDL[one.span.start : one.span.end] for one in nodes_in(unit)}
    assert spelled(unit, VHDL, Conditional) == [
        "f(a)when(b)=(c)elsestore(to_integer(unsigned(ra)))",
        "(a)whenselse(b)whentelse(c)",
        "(b)whentelse(c)",
    ]
    assert {
        *"(others => (others => '0'))|(a) + (b)|m(to_integer(c))|f(a)|(b) = (c)|rising_edge(clk)".split("|"),
        *"store(to_integer(unsigned(ra)))|store(to_integer(wa))(7 downto 0)|a & (b)".split("|"),
        *"(W) - 1|store(to_integer(wa))|s.t(1)|DEPTH - 1".split("|"),
    } <= texts


def read_again(found: Expr, text: str, read: Any) -> None:
    """Every expression in `found` reads the same from the text of its span."""
    functions = {id(one.function) for one in nodes_in(found) if type(one) is Call}
    for one in nodes_in(found):
        if isinstance(one, DataType | TypeArgument | Unsupported) or id(one) in functions:
            continue
        if isinstance(one, Slice) and one.base == Name("", span=one.span):
            continue
        if isinstance(one, Name) and one.name in ("", "default", "others"):
            continue
        assert read(text[one.span.start : one.span.end]) == one


@given(expressions())
def test_the_text_of_a_span_reads_as_its_expression(text: str) -> None:
    found = verilog(text)
    if type(found) is not Unsupported:
        read_again(found, text, verilog)
        read_again(by_grammar(text), text, by_grammar)


@st.composite
def expressions_of_vhdl(draw: st.DrawFn, depth: int = 3) -> str:
    if depth == 0:
        return draw(st.sampled_from(["a", "b_q", "7", '"01"', "'1'", 'x"F"', "v.f", "16#F#"]))
    part = expressions_of_vhdl(depth=depth - 1)
    shape = draw(
        st.sampled_from(
            "{0} {op} {1}|({0}) {op} ({1})|({0})|not ({0})|-{2}|{2} & {3}|x({0})|x({0} to {1})|f({0}, {1})"
            "|t'({0})|({0}, {1})|(others => {0})|(0 to 3 => {0}, others => {1})|x'length|y({0}).g({1})|a & ({0}) & {1}"
            "|-({0}) * ({1})|({0} + {1}) * {2} - ({3})|r'({0}, {1})".split("|")
        )
    )
    small = ["a", "7", "(b)", "m(a)", "(m(a))"]
    op = draw(st.sampled_from("+ - * / = /= < and or xor mod sll rol".split()))
    return shape.format(
        draw(part), draw(part), draw(st.sampled_from(small)), draw(st.sampled_from(small)), op=op
    )


@given(expressions_of_vhdl())
def test_the_text_of_a_span_reads_as_its_expression_in_vhdl(text: str) -> None:
    read_again(vhdl(text), text, vhdl)
