"""Each rule's docstring is its documentation, and both of its samples do what they say."""

import importlib
from collections.abc import Callable
from typing import Any

import pytest

from memlint.rules.base import Rule, all_rules, rule_named
from memlint.rules.docs import documentation

RULES = pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.name)


@RULES
def test_every_rule_is_documented(rule: Rule) -> None:
    pages = documentation(rule)
    assert pages.summary == rule.summary
    assert pages.summary.endswith(".")
    assert len(pages.why) > 80
    assert "  " not in pages.why.replace("\n\n", " ")
    assert pages.example.startswith("module ")
    assert pages.mended.startswith("module ")
    assert pages.example != pages.mended
    assert pages.example.rstrip().endswith("endmodule")


@RULES
def test_every_setting_is_documented_with_its_default(rule: Rule) -> None:
    documented = {one.name: float(one.default) for one in documentation(rule).settings}
    assert documented == {name: float(value) for name, value in rule.settings.items()}
    assert all(len(one.text) > 60 for one in documentation(rule).settings)


def test_prose_is_joined_and_samples_keep_their_lines() -> None:
    rule = rule_named("shallow-wide")
    assert rule is not None
    pages = documentation(rule)
    assert "\n" not in pages.why
    assert "\n    // @mem in bulk\n" in pages.example
    assert pages.settings[0].name == "shallow_fill"
    assert pages.settings[0].text.startswith("speak only when")


def test_a_missing_part_is_named() -> None:
    class Nameless(Rule):
        """Finds nothing.

        Why it costs:
            Nothing.
        """

        name = "nameless"

    with pytest.raises(ValueError, match="nameless: its docstring has no `Example:` part"):
        documentation(Nameless())


def check_text() -> Callable[..., Any]:
    engine = importlib.import_module("memlint.engine")
    if not hasattr(engine, "check_text"):
        pytest.skip("the engine has no check_text yet")
    return engine.check_text  # type: ignore[no-any-return]


SAMPLED = pytest.mark.parametrize(
    "rule", [rule for rule in all_rules() if rule.on_by_default], ids=lambda rule: rule.name
)


@SAMPLED
def test_the_example_raises_exactly_its_rule(rule: Rule) -> None:
    judgement = check_text()(documentation(rule).example)
    assert {finding.rule for finding in judgement.findings} == {rule.name}, judgement.findings


@RULES
def test_the_mended_example_raises_nothing(rule: Rule) -> None:
    judgement = check_text()(documentation(rule).mended)
    assert judgement.findings == ()
