"""The generated page of rules: every rule once, its samples as they run in the tests."""

from __future__ import annotations

import re

from memlint.reports.rule_page import rules_markdown
from memlint.rules.base import all_rules
from memlint.rules.docs import documentation


def test_every_rule_has_a_row_and_a_section_with_its_samples() -> None:
    page = rules_markdown(all_rules())
    names = [rule.name for rule in all_rules()]
    assert re.findall(r"^\| \[`([a-z-]+)`\]\(#\1\) \|", page, re.MULTILINE) == names
    assert re.findall(r"^## (.+)$", page, re.MULTILINE) == names
    for rule in all_rules():
        about = documentation(rule)
        assert f"```systemverilog\n{about.example}```\n" in page
        assert f"```systemverilog\n{about.mended}```\n" in page
        for one in about.settings:
            assert f"- `{one.name} = {one.default}`: {one.text}\n" in page
    assert page.count("```") == 4 * len(names)


def test_it_names_no_address_on_the_web() -> None:
    assert "://" not in rules_markdown(all_rules())
