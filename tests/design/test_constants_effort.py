"""Calls in calls cost what they must: once each, however deep and however many overloads there are."""

from __future__ import annotations

from scope_sources import vhdl

from memlint.design.values import Int, Unknown

OVERLOADED = """
entity dut is end entity;
architecture rtl of dut is
  function more(n : natural) return natural is begin return n + 1; end function;
  function more(n : real) return natural is begin return 0; end function;
  function more(n : boolean) return natural is begin return 0; end function;
  constant DEEP : natural := {nested};
begin
end architecture;
"""


def test_overloaded_calls_in_calls_are_evaluated_once_each() -> None:
    # If each level evaluated its argument twice, 60 levels would take for ever.
    nested = "more(" * 60 + "4" + ")" * 60
    assert vhdl(OVERLOADED.format(nested=nested)).value("deep") == Int(64, None, True)


ENDLESS = """
entity dut is end entity;
architecture rtl of dut is
  function again(n : natural) return natural is begin return again(n) + again(n + 1); end function;
  function again(n : real) return natural is begin return 0; end function;
  constant FIRST : natural := again(1);
  constant SECOND : natural := again(2);
  constant THIRD : natural := 2 ** 5;
begin
end architecture;
"""


def test_a_recursion_without_end_is_given_up_and_said_to_be() -> None:
    scope = vhdl(ENDLESS)
    for name in ("first", "second"):
        found = scope.value(name)
        assert isinstance(found, Unknown)
        assert "again" in found.reason or "steps" in found.reason
    assert scope.value("third") == Int(32, None, True)
