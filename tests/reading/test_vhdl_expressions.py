"""Expressions and subtype indications of VHDL; precedence by IEEE Std 1076-2008, 9.2.1."""

import pytest
from vhdl_shown import in_architecture, of_expression, shown


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a and b or c", "((a & b) | c)"),
        ("a nand b", "(a ~& b)"),
        ("a xnor b", "(a ~^ b)"),
        ("a nor b xor c", "((a ~| b) ^ c)"),
        ("a = b and c /= d", "((a == b) & (c != d))"),
        ("a < b + 1", "(a < (b + 1))"),
        ("a <= b", "(a <= b)"),
        ("a + b sll c", "((a + b) << c)"),
        ("a srl 1", "(a >> 1)"),
        ("a sla 1", "(a <<< 1)"),
        ("a sra 1", "(a >>> 1)"),
        ("a rol 1", '"rol"(a, 1)'),
        ("a - b - c", "((a - b) - c)"),
        ("a + b * c", "(a + (b * c))"),
        ("a * b mod c rem d", "(((a * b) mod c) % d)"),
        ("a / b ** 2", "(a / (b ** 2))"),
        ("2 ** n - 1", "((2 ** n) - 1)"),
        ("-a * b", "(- (a * b))"),
        ("-a + b", "((- a) + b)"),
        ("(-a) mod b", "((- a) mod b)"),
        ("- a ** 2", "(- (a ** 2))"),
        ("not a and b", "((not a) & b)"),
        ("not (a and b)", "(not (a & b))"),
        ("abs a - b", "((abs a) - b)"),
        ("a & b & c", "{a, b, c}"),
        ("a & b + c", "({a, b} + c)"),
        ("a + b & c", "{(a + b), c}"),
        ("a & b = c", "({a, b} == c)"),
        ("and bits", "(& bits)"),
        ("nor bits or x", "((~| bits) | x)"),
        ("?? a and b", "(a & b)"),
        ("a ?= b", "(a ==? b)"),
        ("a ?/= b", "(a !=? b)"),
        ("a ?<= b", "(a <= b)"),
    ],
)
def test_operators(text: str, expected: str) -> None:
    assert shown(of_expression(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("line(x)", "line(x)"),
        ("line(x)(7 downto 0)", "line(x)[7 downto 0]"),
        ("line(0 to 3)", "line[0 to 3]"),
        ("line(other'range)", "line(other'range)"),
        ("line(natural range 0 to 3)", "line[0 to 3]"),
        ("counts(mouldy, 3).total", "counts(mouldy, 3).total"),
        ("work.sorter_types.log2(hues)", "work.sorter_types.log2(hues)"),
        ("valve.method(1).field(2)", "valve.method(1).field(2)"),
        ("table'length(2)", "table'length(2)"),
        ("grain_class'pos(good)", "grain_class'pos(good)"),
        ("work.p.hue_t'high", "work.p.hue_t'high"),
        ("line'range(1)'low", "line'range(1)'low"),
        ("hue_t'(others => '0')", "hue_t'([others => '0'])"),
        ("resize(arg => a, new_size => 8)", "resize(arg => a, new_size => 8)"),
        ("resize(a, new_size => 8)", "resize(a, new_size => 8)"),
        ('"+"(a, b)', '"+"(a, b)'),
        ('ieee.numeric_std."+"(a, b)', 'ieee.numeric_std."+"(a, b)'),
        ("(1, 2)", "[1, 2]"),
        ("(others => (others => '0'))", "[others => [others => '0']]"),
        ("(0 => a, 1 | 2 => b, 3 to 5 => c)", "[0 => a, 1 => b, 2 => b, range[3 to 5] => c]"),
        ('(low => x"00", high => hue)', "[low => 8'0, high => hue]"),
        ("((a))", "a"),
        ("new line_t'(others => x)", "new(line_t'([others => x]))"),
        ("null", "null"),
    ],
)
def test_names_and_aggregates(text: str, expected: str) -> None:
    assert shown(of_expression(text)) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("std_logic", "std_logic"),
        ("ieee.std_logic_1164.std_logic", "ieee.std_logic_1164.std_logic"),
        ("std_logic_vector(7 downto 0)", "std_logic_vector(7 downto 0)"),
        ("matrix(0 to 3, 7 downto 0)", "matrix(0 to 3)(7 downto 0)"),
        ("hues(0 to 3)(7 downto 0)", "hues(0 to 3) of (7 downto 0)"),
        ("hues(open)(7 downto 0)", "hues(open box) of (7 downto 0)"),
        ("counts(grain_class)", "counts(grain_class subtype)"),
        ("counts(grain_class range good to stone)", "counts(good to stone)"),
        ("vec(other'range)", "vec(other'range subtype)"),
        ("natural range 0 to 2 ** n - 1", "natural range range[0 to ((2 ** n) - 1)]"),
        ("natural range other'range", "natural range other'range"),
        ("resolved std_ulogic", "std_ulogic"),
        ("(resolved) std_ulogic_vector(3 downto 0)", "std_ulogic_vector(3 downto 0)"),
        ("wired natural range 0 to 3", "natural range range[0 to 3]"),
        ("pixel(hue(7 downto 0), at(0 to 1))", "pixel{hue: (7 downto 0); at: (0 to 1)}"),
        ("pixels(0 to 3)(hue(7 downto 0))", "pixels(0 to 3) of {hue: (7 downto 0)}"),
        ("other'subtype", "unsupported type given by 'subtype"),
    ],
)
def test_subtype_indications(text: str, expected: str) -> None:
    (found,) = in_architecture(f"signal s : {text};")
    assert shown(found) == f"signal s: {expected}"
    (found,) = in_architecture(f"signal s : {text} := initial;")
    assert shown(found) == f"signal s: {expected} := initial"


def test_a_signal_kind_is_stepped_over() -> None:
    (found,) = in_architecture("signal s : wired_or(1 to 3) bus;")
    assert shown(found) == "signal s: wired_or(1 to 3)"


def test_spans_cover_what_was_written() -> None:
    text = "line(x + 1)(7 downto 0)"
    found = of_expression(text)
    start = found.span.start
    whole = f"architecture rtl of sorter is begin x <= {text}; end architecture;"
    assert whole[start : found.span.end] == text
