"""Numbers and names as findings print them."""

from fractions import Fraction

import pytest
from factory import memory, placement, read_port, view, write_port
from hypothesis import given
from hypothesis import strategies as st

from memlint.design.memory import Clock
from memlint.rules import wording
from memlint.rules.clock_words import clock_names
from memlint.rules.near import by_likeness, close_name


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (1, "1 bit"),
        (1023, "1,023 bits"),
        (1024, "1,024 bits (1 Kibit)"),
        (10_240, "10,240 bits (10 Kibit)"),
        (102_400, "102,400 bits (100 Kibit)"),
        # 327,680 / 1,024 = 320: IEC 80000-13 prefixes, Ki = 2^10, Mi = 2^20.
        (327_680, "327,680 bits (320 Kibit)"),
        (2_621_440, "2,621,440 bits (2.5 Mibit)"),
        (1_000_000, "1,000,000 bits (about 976.56 Kibit)"),
    ],
)
def test_bits_are_exact_and_then_in_binary_units(number: int, text: str) -> None:
    assert wording.bits(number) == text


@pytest.mark.parametrize(
    ("share", "text"),
    [
        (Fraction(0), "0 %"),
        (Fraction(1, 10_000), "under 1 %"),
        (Fraction(1, 100), "1 %"),
        (Fraction(91, 100), "91 %"),
        (Fraction(9_999, 10_000), "over 99 %"),
        (Fraction(1), "100 %"),
    ],
)
def test_something_is_never_nought_per_cent_nor_everything_too_soon(share: Fraction, text: str) -> None:
    assert wording.percent(share) == text


@given(st.fractions(0, 1))
def test_only_nothing_is_0_and_only_all_is_100(share: Fraction) -> None:
    text = wording.percent(share)
    assert (text == "0 %") == (share == 0)
    assert (text == "100 %") == (share == 1)


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (1, "1 block"),
        (0, "0 blocks"),
        (Fraction(15, 2), "7.5 blocks"),
        (Fraction(1, 2), "0.5 blocks"),
        (1200, "1,200 blocks"),
    ],
)
def test_blocks_come_in_halves(number: int | Fraction, text: str) -> None:
    assert wording.plural(number, "block") == text


def test_lists_shapes_and_ports() -> None:
    assert wording.listed([]) == ""
    assert wording.listed(["a"]) == "a"
    assert wording.listed(["a", "b", "c"]) == "a, b and c"
    assert wording.listed(["a", "b"], "or") == "a or b"
    assert wording.shape(65_536, 40) == "65,536 x 40"
    assert wording.ports(1, 2, 0) == "1w 2r"
    assert wording.ports(0, 0, 2) == "2rw"
    assert wording.memory_ports(memory(ports=(read_port(), read_port()))) == "rom with 2 read ports"
    assert wording.memory_ports(memory(ports=(write_port(), read_port()))) == "1w 1r"


@given(st.integers(1, 1 << 40))
def test_a_number_in_a_clause_is_the_same_number(number: int) -> None:
    text = wording.number_in_clause(number)
    factor = {"K": 2**10, "M": 2**20}.get(text[-1], 1)  # design: K = 2^10, M = 2^20
    assert int(text.rstrip("KM")) * factor == number


def test_homes_are_named_with_their_cost() -> None:
    registers = placement("registers", 20_480)
    block = placement("block", 15, Fraction(91, 100), copies=2)
    subject = view(others=(registers, block))
    assert wording.homes(subject) == ["in block: 15 blocks, 91 % full, in 2 copies"]


def test_a_home_that_takes_much_of_its_tier_is_a_last_resort() -> None:
    dear = placement("fabric", 600, Fraction(1), share=Fraction(6, 10))
    assert wording.homes(view(others=(dear,))) == ["in fabric: 600 blocks, 100 % full"]
    cheap = placement("block", 15, Fraction(1), share=Fraction(15, 200))
    assert wording.homes(view(others=(dear, cheap))) == ["in block: 15 blocks, 100 % full"]


def test_millions_of_flip_flops_are_no_advice() -> None:
    assert wording.homes(view(others=(placement("registers", 65_537),))) == [
        "no other tier of `tiny` takes it"
    ]


def test_registers_are_offered_when_nothing_else_takes_it() -> None:
    assert wording.homes(view(others=(placement("registers", 20_480),))) == [
        "in registers: 20,480 flip-flops"
    ]


def test_clocks_get_the_shortest_names_that_differ() -> None:
    one, other = Clock("top.a.clk"), Clock("top.b.clk")
    assert list(clock_names([one, other]).values()) == ["`top.a.clk`", "`top.b.clk`"]
    assert list(clock_names([one, Clock("top.pixel")]).values()) == ["`clk`", "`pixel`"]
    falling = Clock("top.a.clk", "falling")
    assert list(clock_names([one, falling]).values()) == ["rising `clk`", "falling `clk`"]


def test_the_nearest_name_comes_first() -> None:
    assert by_likeness("bulks", ["fabric", "block", "bulk"])[0] == "bulk"
    assert close_name("bulks", ["fabric", "block", "bulk"]) == "bulk"
    assert close_name("zzz", ["fabric", "block", "bulk"]) is None
    assert close_name("zzz", []) is None
