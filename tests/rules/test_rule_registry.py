"""Every rule of the design of record is there, once, under its own name."""

from pathlib import Path

import pytest
from factory import bound, inside, memory, view

import memlint.rules
from memlint.rules.base import FAMILIES, SMALL_BITS, Rule, all_rules, rule_named

NAMED = {
    "intent": "intent-syntax intent-unattached intent-repeats-clause unknown-tier shape-drift clock-drift "
    "port-drift attribute-disagrees intent-missing acceptance-unused",
    "reading": "shape-unresolved unit-not-found source-not-read",
    "clocks": "two-clocks-on-one-clock-tier asynchronous-read too-many-ports reset-clears-array "
    "same-address-unsafe",
    "shape": "shallow-wide just-over-boundary tiny-on-large-blocks large-on-fabric another-tier-is-cheaper",
    "chains": "chain-over-column chain-misses-latency columns-do-not-fit",
    "features": "no-initial-contents lane-mismatch ecc-does-not-fit fifo-not-hardened unequal-port-widths",
    "capacity": "device-over-budget unit-over-budget holds-too-little fits-on-chip",
}
"""Section 5 of the design of record."""

RULES = pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.name)


def test_every_rule_of_the_design_is_there_in_its_family() -> None:
    found = {family: {rule.name for rule in all_rules() if rule.family == family} for family in FAMILIES}
    assert found == {family: set(names.split()) for family, names in NAMED.items()}
    assert len({rule.name for rule in all_rules()}) == len(all_rules())


@RULES
def test_a_rule_stands_in_the_file_of_its_name(rule: Rule) -> None:
    file = Path(memlint.rules.__file__).parent / rule.family / f"{rule.name.replace('-', '_')}.py"
    assert file.is_file()
    assert type(rule).__module__ == f"memlint.rules.{rule.family}.{file.stem}"
    assert rule_named(rule.name) is rule


def test_settings_have_names_of_their_own() -> None:
    names = [name for rule in all_rules() for name in rule.settings]
    assert len(names) == len(set(names))


def test_only_intent_missing_is_off_by_default() -> None:
    assert [rule.name for rule in all_rules() if not rule.on_by_default] == ["intent-missing"]


@RULES
def test_small_memories_without_intent_are_left_to_intent_and_capacity_rules(rule: Rule) -> None:
    small, large = view(memory(SMALL_BITS - 1, 1)), view(memory(SMALL_BITS, 1))
    assert rule.speaks_of(large)
    assert rule.speaks_of(view(memory(None, 1)))
    assert rule.speaks_of(view(memory(SMALL_BITS - 1, 1), intent=bound(inside("bulk"))))
    assert rule.speaks_of(small) == (rule.family in ("intent", "capacity"))


def test_no_rule_of_an_unknown_name() -> None:
    assert rule_named("deep-narrow") is None
