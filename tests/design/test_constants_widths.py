"""Widths and signs of SystemVerilog's operators (IEEE 1800-2017 11.4, 11.6, 11.8)."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from random_expressions import module
from scope_sources import systemverilog
from slang_constants import parameters

from memlint.design.values import Int, Real, Unknown


def value(expression: str, target: str = "") -> Int:
    found = systemverilog(f"module m; localparam {target} P = {expression}; endmodule").value("P")
    assert isinstance(found, Int), found
    return found


@settings(max_examples=60, deadline=None)
@given(seed=st.integers(0, 2**48))
def test_random_expressions_have_the_value_width_and_sign_of_the_reference(seed: int) -> None:
    """Source: pyslang, which elaborates the same text."""
    text = module(seed, 20)
    scope = systemverilog(text)
    for name, expected in parameters(text).items():
        found = scope.value(name)
        if expected.value is None:
            assert isinstance(found, Unknown), (name, text)
            continue
        assert isinstance(found, Int), (name, found, text)
        got = (found.value, found.width, found.signed)
        assert got == (expected.value, expected.width, expected.signed), (name, text)


# 11.3.3, "Using integer literals in expressions": the four examples of the clause (from memory of it).
@pytest.mark.parametrize(
    ("expression", "expected"),
    [("-12 / 3", -4), ("-'d12 / 3", 1431655761), ("-'sd12 / 3", -4), ("-4'sd12 / 3", 1)],
)
def test_a_sign_before_a_literal_counts_only_if_the_literal_is_signed(expression: str, expected: int) -> None:
    assert value(expression, "integer").value == expected


def test_the_carry_is_lost_in_the_operands_width_and_kept_in_a_wider_context() -> None:
    """11.6.2: `(a + b) >> 1` of 16 bits loses the carry, `(a + b + 0) >> 1` has 32 bits and keeps it."""
    lost = value("(16'hffff + 16'h0001) >> 1", "logic [15:0]")
    kept = value("(16'hffff + 16'h0001 + 0) >> 1", "logic [15:0]")
    assert (lost.value, kept.value) == (0, 0x8000)


def test_an_arithmetic_right_shift_keeps_the_sign_only_of_a_signed_value() -> None:
    """11.4.10: 4'b1000 >>> 2 is 4'b1110 if signed; the clause's own example."""
    assert value("4'sb1000 >>> 2", "logic [3:0]").value == 0b1110
    assert value("4'b1000 >>> 2", "logic [3:0]").value == 0b0010


def test_one_unsigned_operand_makes_the_whole_comparison_unsigned() -> None:
    """11.8.1: the sign of the operands together; -1 then is the largest number."""
    assert value("-1 < 0").value == 1
    assert value("-1 < 8'd0").value == 0


def test_a_fill_literal_takes_the_width_of_its_context() -> None:
    """5.7.1: `'1` sets all bits."""
    assert value("'1", "logic [39:0]").value == 2**40 - 1
    assert value("8'hff == '1").value == 1


def test_a_parameter_without_type_takes_width_and_sign_of_its_value() -> None:
    """6.20.2."""
    assert (value("10'd3").width, value("10'd3").signed) == (10, False)
    assert (value("3").width, value("3").signed) == (32, True)
    signed_only = value("4'hf", "signed")
    assert (signed_only.value, signed_only.width) == (-1, 4)


def test_an_integer_of_more_than_32_bits_keeps_its_digits() -> None:
    """5.7.1 asks for at least 32 bits: cutting the number would change a size without a word."""
    assert value("5000000000").value == 5_000_000_000


@pytest.mark.parametrize(
    ("expression", "expected"),
    [("2 ** 10", 1024), ("(-1) ** -3", -1), ("2 ** -1", 0), ("1 ** -5", 1), ("(-2) ** 3", -8)],
)
def test_powers_of_integers_follow_the_table(expression: str, expected: int) -> None:
    """11.4.3, table 11-4."""
    assert value(expression).value == expected


def test_division_cuts_towards_zero_and_the_remainder_has_the_dividends_sign() -> None:
    """11.4.3."""
    assert [value(text).value for text in ("-7 / 2", "-7 % 3", "7 % -3")] == [-3, -1, 1]


@pytest.mark.parametrize("expression", ["1 / 0", "5 % 0", "0 ** -1", "4'b1x0z + 1", "'x"])
def test_what_the_standard_makes_x_is_unknown(expression: str) -> None:
    """11.4.3: division by zero and zero to a negative power are x."""
    found = systemverilog(f"module m; localparam P = {expression}; endmodule").value("P")
    assert isinstance(found, Unknown)


def test_a_known_operand_settles_a_logical_expression_beside_an_unknown_one() -> None:
    """11.4.7: 0 && x is 0, 1 || x is 1."""
    scope = systemverilog(
        "module m #(parameter N);"
        " localparam A = 0 && N; localparam B = N || 1; localparam C = N && 1; endmodule"
    )
    assert scope.value("A") == Int(0, 1, False)
    assert scope.value("B") == Int(1, 1, False)
    assert isinstance(scope.value("C"), Unknown)


def test_a_conditional_needs_only_the_branch_it_takes() -> None:
    scope = systemverilog(
        "module m #(parameter N);"
        " localparam A = 1 ? 5 : N; localparam B = N ? 7 : 7; localparam C = N ? 1 : 2; endmodule"
    )
    assert scope.value("A") == Int(5, 32, True)
    assert scope.value("B") == Int(7, 32, True)
    assert isinstance(scope.value("C"), Unknown)


def test_reals_round_half_away_from_zero_and_swallow_integers() -> None:
    """6.12.1 and 11.3.1; beside a real, 1/2 is divided as integers first (11.8.2)."""
    assert [value(text, "int").value for text in ("2.5", "-2.5", "3.49")] == [3, -3, 3]
    scope = systemverilog("module m; localparam A = 1/2 + 1.0; localparam B = 5 / 2.0; endmodule")
    assert (scope.value("A"), scope.value("B")) == (Real(1.0), Real(2.5))
