"""Declarations of VHDL: objects, types, aliases, attributes, subprograms, components."""

import pytest
from vhdl_shown import in_architecture, read, shown

from memlint.reading.facts.items import Subprogram, Variable


def all_shown(text: str) -> list[str]:
    return [shown(item) for item in in_architecture(text)]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("signal a, b : hue_t := x\"00\";", ["signal a: hue_t := 8'0", "signal b: hue_t := 8'0"]),
        ("constant n : natural := 2 ** 4;", ["constant n: natural := (2 ** 4)"]),
        ("shared variable store : line_t;", ["shared store: line_t"]),
        ("file log : text open write_mode is \"log.txt\"; signal a : bit;", ["signal a: bit"]),
        ("constant n : natural := 1 when fast else 2;", ["constant n: natural := (fast ? 1 : 2)"]),
        ("alias low : hue_t is word(7 downto 0);", ["alias low: word[7 downto 0]"]),
        ("alias low is word;", ["alias low: word"]),
        ("alias inc is work.p.add [hue_t, integer return hue_t];", ["alias inc: work.p.add"]),
        ("attribute ram_block : string;", []),
        ("attribute ram_block of a, b : signal is \"yes\";",
         ['attribute ram_block of a: "yes"', 'attribute ram_block of b: "yes"']),
        ("attribute keep of all : signal is true;", ["attribute keep of all: true"]),
        ("attribute keep of inc[hue_t return hue_t] : function is true;", ["attribute keep of inc: true"]),
        ("attribute keep of rtl : architecture is true;", ["attribute keep of rtl: true"]),
        ("attribute keep of u1 : label is true;", ["attribute keep of u1: true"]),
        ("use work.p.all, ieee.numeric_std.unsigned;", ["use work.p.*", "use ieee.numeric_std.unsigned"]),
        ("use histogram.add;", ["use .histogram.add"]),
        ("use histogram.all;", ["use .histogram.*"]),
        ("use work.p;", ["use work.p."]),
        ("use vendor_lib.p.all;", ["use vendor_lib.p.*"]),
    ],
)  # fmt: skip
def test_declarations(text: str, expected: list[str]) -> None:
    assert all_shown(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("(good, stone, '0')", "enum (good, stone, '0')"),
        ("range 0 to 7", "builtin integer range range[0 to 7]"),
        ("range -1.0 to 1.0", "builtin real range range[(- 1.0) to 1.0]"),
        ("range other'range", "builtin integer range other'range"),
        ("array (0 to n - 1) of hue_t", "array (0 to (n - 1)) of hue_t"),
        ("array (natural range <>) of hue_t(7 downto 0)", "array (natural box) of hue_t(7 downto 0)"),
        ("array (natural range <>, natural range <>) of bit", "array (natural box)(natural box) of bit"),
        ("array (grain_class) of bit", "array (grain_class subtype) of bit"),
        (
            "array (grain_class range good to stone, 3 downto 0) of bit",
            "array (good to stone)(3 downto 0) of bit",
        ),
        ("array (other'range) of bit", "array (other'range subtype) of bit"),
        ("array (0 to 1) of lines(0 to 3)(7 downto 0)", "array (0 to 1) of lines(0 to 3) of (7 downto 0)"),
        ("record a, b : hue_t; c : line_t; end record", "struct {a: hue_t; b: hue_t; c: line_t}"),
        ("record a : hue_t; end record kind", "struct {a: hue_t}"),
        ("access line_t", "unsupported access"),
        ("file of line_t", "unsupported file"),
        ("range 0 to 10 units fs; ps = 1000 fs; end units", "unsupported physical"),
        ("protected procedure p; impure function f return bit; end protected kind", "unsupported protected"),
    ],
)
def test_types(text: str, expected: str) -> None:
    """The declaration that follows shows that the reader knows where the type ends."""
    assert all_shown(f"type kind is {text}; signal s : kind;") == [f"type kind: {expected}", "signal s: kind"]


def test_a_subtype_is_marked_as_one() -> None:
    assert all_shown("subtype hue_t is unsigned(7 downto 0);") == ["subtype hue_t: unsigned(7 downto 0)"]


def test_an_incomplete_type_says_nothing() -> None:
    assert all_shown("type node; type link is access node;") == ["type link: unsupported access"]


def test_a_protected_body_has_variables_and_methods() -> None:
    text = (
        "type counter is protected body variable store : line_t; "
        "procedure add is begin if a then store(1) := 2; end if; end procedure; "
        "end protected body counter; signal s : bit;"
    )
    body, signal = all_shown(text)
    assert body.startswith("protected_body counter {variable store: line_t; subprogram add() ")
    assert signal == "signal s: bit"


@pytest.mark.parametrize("inside", ["x <= 1;", "begin", "process begin end process;", "if a then end if;"])
def test_what_has_no_place_in_a_protected_body_costs_nothing_behind_it(inside: str) -> None:
    text = f"type t is protected body variable a : bit; {inside} end protected body; signal s : bit;"
    body, *_, signal = all_shown(text)
    assert body.startswith("protected_body t {variable a: bit")
    assert signal == "signal s: bit"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "function log2(n : positive) return natural;",
            "subprogram log2(n: input positive) -> natural",
        ),
        (
            "pure function f return hue_t is begin return x; end;",
            "subprogram f() -> hue_t {return x;}",
        ),
        (
            'impure function "+"(a, b : hue_t := x) return hue_t is begin return a; end function "+";',
            'subprogram "+"(a: input hue_t := x; b: input hue_t := x) -> hue_t {return a;}',
        ),
        (
            "procedure p(signal a : inout hue_t; variable b : out bit; constant c : in bit; file d : text);",
            "subprogram p(a: inout hue_t; b: output bit; c: input bit; d: input text) -> -",
        ),
        (
            "procedure p parameter (a : bit) is variable v : bit; begin v := a; return; end procedure p;",
            "subprogram p(a: input bit) -> - [variable v: bit] {v := a; return -;}",
        ),
        (
            "function f(a : bit) return s of hue_t is begin return a; end;",
            "subprogram f(a: input bit) -> hue_t {return a;}",
        ),
        (
            "procedure outer is procedure inner is begin x := 1; end; begin inner; end;",
            "subprogram outer() -> - [subprogram inner() -> - {x := 1;}] {inner();}",
        ),
    ],
)
def test_subprograms(text: str, expected: str) -> None:
    assert all_shown(f"{text} signal s : bit;") == [expected, "signal s: bit"]


def test_a_declaration_of_a_subprogram_has_no_body() -> None:
    (declared,) = in_architecture("procedure p;")
    assert isinstance(declared, Subprogram) and declared.body is None
    (defined,) = in_architecture("procedure p is begin end;")
    assert isinstance(defined, Subprogram) and defined.body is not None


def test_an_instance_of_a_subprogram_is_skipped_by_name() -> None:
    assert all_shown("function f is new g generic map (t => bit); signal s : bit;") == [
        "<subprogram instantiation: f g t bit>",
        "signal s: bit",
    ]


def test_a_component_has_generics_and_ports() -> None:
    text = (
        "component fifo generic (n : natural := 4); "
        "port (clk : in bit; d : bit_vector(0 to 3); q : out bit; b : buffer bit; l : linkage bit); "
        "end component fifo;"
    )
    assert all_shown(text) == [
        "component fifo #(n: natural := 4) (clk: input bit; d: input bit_vector(0 to 3); q: output bit; "
        "b: buffer bit; l: inout bit)"
    ]


def test_what_declarative_parts_hold_besides() -> None:
    text = (
        "for u1, u2 : fifo use entity work.fifo(rtl) port map (a => b); "
        "for all : fifo use open; end for; "
        "disconnect s : bit after 1 ns; "
        "package p is new work.g generic map (n => 1); "
        "package q is constant c : bit; end package q; "
        "signal s : bit;"
    )
    assert [each.split(":")[0] for each in all_shown(text)] == [
        "<configuration specification",
        "<configuration specification",
        "<disconnection specification",
        "package p of work.g(n => 1)",
        "package q {constant c",
        "signal s",
    ]


def test_generics_other_than_constants() -> None:
    (unit,) = read(
        "package g is generic (n : natural; type t; type u is private; "
        "function f(a : t) return t is <>; package p is new work.q generic map (<>)); end;"
    ).units
    assert [(each.name, each.is_type) for each in unit.parameters] == [("n", False), ("t", True), ("u", True)]
    assert [shown(item).split(":")[0] for item in unit.items] == ["<generic subprogram", "<generic package"]


def test_a_port_with_a_mode_view_is_an_interface() -> None:
    (unit,) = read("entity e is port (link : view master of link_t; clk : in bit); end;").units
    link, clock = unit.ports
    assert (link.direction, link.type.kind, link.type.name) == ("interface", "interface", "master")
    assert clock.name == "clk"


def test_name_and_statement_of_a_declaration_are_spans_of_the_source() -> None:
    text = "architecture rtl of e is signal a, line : line_t := (others => x); begin end;"
    (unit,) = read(text).units
    _, variable = unit.items
    assert isinstance(variable, Variable)
    assert text[variable.span.start : variable.span.end] == "line"
    assert (
        text[variable.statement.start : variable.statement.end] == "signal a, line : line_t := (others => x);"
    )
