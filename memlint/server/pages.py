"""Pages that are shown outside the text: the overview of a project, and what a rule finds and why."""

from __future__ import annotations

import tempfile
from pathlib import Path

from memlint.rules.base import rule_named
from memlint.server.places import uri_of

FOLDER = "memlint-"
"""What the name of the folder with the pages begins with."""


class Pages:
    """A folder for pages, for this user alone, made with the first page; it goes with the process.

    Used in the worker only.
    """

    def __init__(self) -> None:
        self._folder: tempfile.TemporaryDirectory[str] | None = None
        self._rules: dict[str, str | None] = {}

    def write(self, name: str, text: str) -> Path:
        """Writes a page; its path. Raises OSError."""
        if self._folder is None:
            self._folder = tempfile.TemporaryDirectory(prefix=FOLDER, ignore_cleanup_errors=True)
        path = Path(self._folder.name) / name
        path.write_text(text, encoding="utf-8")
        return path

    def rule(self, name: str) -> str | None:
        """The URI of the page about a rule; None where there is none, or the page cannot be written."""
        if name not in self._rules:
            self._rules[name] = self._written(name)
        return self._rules[name]

    def _written(self, name: str) -> str | None:
        rule = rule_named(name)
        if rule is None:
            return None
        # Imported here: needed once a rule has found something.
        from memlint.reports.rule_page import rule_markdown

        try:
            return uri_of(self.write(f"{name}.md", f"# {name}\n\n{rule_markdown(rule)}"))
        except OSError:
            return None  # A link less is no reason to lose the findings.
