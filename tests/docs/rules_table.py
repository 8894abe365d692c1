"""Write the README's table of rules from the registry: `python tests/docs/rules_table.py`."""

from __future__ import annotations

from pathlib import Path

from memlint.rules.base import all_rules

README = Path(__file__).parents[2] / "README.md"
OPEN, CLOSE = "<!-- rules -->\n", "<!-- /rules -->"


def table() -> str:
    """The table as Markdown, in the order of the families."""
    rows = [f"| `{rule.name}` | {rule.severity} | {rule.summary} |\n" for rule in all_rules()]
    return "| rule | severity | finds |\n|---|---|---|\n" + "".join(rows)


if __name__ == "__main__":
    text = README.read_text(encoding="utf-8")
    before, _, rest = text.partition(OPEN)
    after = rest.partition(CLOSE)[2]
    README.write_text(before + OPEN + table() + CLOSE + after, encoding="utf-8")
