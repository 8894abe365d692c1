"""Design units of VHDL and their context clauses."""

import pytest
from vhdl_shown import read, shown

from memlint.reading.facts.items import Unit


def units(text: str) -> list[Unit]:
    return list(read(text).units)


def test_an_entity_has_generics_ports_and_its_own_declarations() -> None:
    (unit,) = units(
        "entity line_buffer is generic (PIXELS, LINES : positive := 4; NAME : string); "
        "port (clk, rst : in std_logic; signal d : std_logic_vector(7 downto 0) := (others => '0'); "
        "q : out hue_t; b : inout bit); constant c : bit := '1'; begin assert c = '1'; "
        "end entity line_buffer;"
    )
    assert (unit.name, unit.kind, unit.language, unit.of) == ("line_buffer", "entity", "vhdl", "")
    assert [shown(each) for each in unit.parameters] == [
        "pixels: positive := 4",
        "lines: positive := 4",
        "name: string",
    ]
    assert [(each.name, each.direction, shown(each.type)) for each in unit.ports] == [
        ("clk", "input", "std_logic"),
        ("rst", "input", "std_logic"),
        ("d", "input", "std_logic_vector(7 downto 0)"),
        ("q", "output", "hue_t"),
        ("b", "inout", "bit"),
    ]
    assert [shown(each) for each in unit.items] == ["constant c: bit := '1'"]


@pytest.mark.parametrize(
    ("text", "kind", "name", "of"),
    [
        ("entity e is end;", "entity", "e", ""),
        ("entity e is end entity e;", "entity", "e", ""),
        ("ENTITY E IS END E;", "entity", "e", ""),
        ("architecture rtl of e is begin end;", "architecture", "rtl", "e"),
        ("architecture rtl of e is begin end architecture rtl;", "architecture", "rtl", "e"),
        ("package p is end package p;", "package", "p", ""),
        ("package body p is end package body p;", "package_body", "p", "p"),
        ("package body p is end p;", "package_body", "p", "p"),
        ("package p is new work.g generic map (4);", "package", "p", "g"),
        ("context c is library l; end context c;", "context", "c", ""),
        ("context c is end;", "context", "c", ""),
    ],
)
def test_kinds_of_units(text: str, kind: str, name: str, of: str) -> None:
    """The entity that follows shows that the reader knows where the unit ends."""
    first, second = units(f"{text} entity next_one is end;")
    assert (first.kind, first.name, first.of) == (kind, name, of)
    assert second.name == "next_one"


def test_a_configuration_is_skipped_by_name() -> None:
    facts = read(
        "configuration fast of sorter is for rtl for all : fifo use entity work.fifo; end for; end for; "
        "end configuration fast; entity e is end;"
    )
    assert [unit.name for unit in facts.units] == ["e"]
    (skipped,) = facts.items
    assert shown(skipped).startswith("<configuration: fast sorter rtl fifo")


def test_the_context_clause_stands_at_the_front_of_the_unit_it_belongs_to() -> None:
    first, second = units(
        "library ieee, grain; use ieee.std_logic_1164.all; context grain.sorter; entity a is end; "
        "use work.p.n; entity b is constant c : bit; end;"
    )
    assert [shown(each) for each in first.items] == [
        "use ieee..",
        "use grain..",
        "use ieee.std_logic_1164.*",
        "use grain.sorter.*",
    ]
    assert [shown(each) for each in second.items] == ["use work.p.n", "constant c: bit"]


def test_a_context_declaration_holds_imports() -> None:
    (unit,) = units("context c is library l; use l.p.all, l.q.n; context l.d; end context;")
    assert [shown(each) for each in unit.items] == ["use l..", "use l.p.*", "use l.q.n", "use l.d.*"]


def test_a_package_instance_keeps_its_generic_map() -> None:
    (unit,) = units("package p is new lib.g generic map (8, BINS => 2 * n, t => bit_vector(3 downto 0));")
    assert (unit.of, unit.library) == ("g", "lib")
    assert [(each.local, shown(each)) for each in unit.parameters] == [
        (True, ": - := 8"),
        (True, "bins: - := (2 * n)"),
        (True, "t: - := bit_vector[3 downto 0]"),
    ]


def test_a_package_has_generics_and_declarations() -> None:
    (unit,) = units(
        "package g is generic (n : natural); generic map (n => 3); constant c : natural := n; end;"
    )
    assert [each.name for each in unit.parameters] == ["n"]
    assert shown(unit.items[-1]) == "constant c: natural := n"


def test_spans_of_a_unit_are_its_name_and_its_text() -> None:
    text = "library ieee;\nentity sorter is\nend entity;\n-- then\n"
    (unit,) = units(text)
    assert text[unit.span.start : unit.span.end] == "sorter"
    assert text[unit.whole.start : unit.whole.end] == "entity sorter is\nend entity;"


@pytest.mark.parametrize(
    "text", ["", " \r\n\t", "-- nothing", "end;", "nonsense here; more", "\x00\x01", "(((", ";;"]
)
def test_a_file_without_units_has_none(text: str) -> None:
    assert units(text) == []


def test_text_outside_units_is_named() -> None:
    facts = read("signal stray : bit; entity e is end;")
    assert [unit.name for unit in facts.units] == ["e"]
    assert [shown(each) for each in facts.items] == ["<text outside a design unit: stray bit>"]


def test_units_after_an_unfinished_one_are_read() -> None:
    text = (
        "entity a is port (x : in bit;\nend entity;\n"
        "architecture rtl of a is\nbegin\np : process (clk\nbegin\nif c then\n"
        "library ieee;\nuse ieee.std_logic_1164.all;\nentity b is\nend;\n"
        "package p is\nfunction f(a : bit) return bit is\n"
        "architecture rtl of b is begin end;"
    )
    assert [(unit.kind, unit.name) for unit in read(text).units] == [
        ("entity", "a"),
        ("architecture", "rtl"),
        ("entity", "b"),
        ("package", "p"),
        ("architecture", "rtl"),
    ]


@pytest.mark.parametrize("head", ["architecture rtl of e", "entity rtl", "package rtl", "package body rtl"])
def test_a_unit_whose_head_lacks_its_last_word_is_read(head: str) -> None:
    (unit,) = read(f"{head}\nconstant c : bit;\nend;").units
    assert (unit.name, [shown(item) for item in unit.items]) == ("rtl", ["constant c: bit"])


def test_a_unit_being_renamed_keeps_what_it_holds() -> None:
    (unit,) = read("architecture rtl2 of e is\nsignal a : bit;\nbegin\nb <= a;\nend rtl;\n").units
    assert [shown(item) for item in unit.items] == ["signal a: bit", "assign b <= a"]
