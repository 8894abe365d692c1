"""Short ways to preprocess a text and to show what comes out, for the tests beside."""

from __future__ import annotations

from collections.abc import Mapping

from memlint.reading.verilog.macros import MacroTable
from memlint.reading.verilog.preprocess import Preprocessed, PreprocessOptions, preprocess
from memlint.reading.verilog.substitution import spelled
from memlint.reading.verilog.working import DEFAULT_OPTIONS
from memlint.text.source import SourceText


def run(
    text: str,
    files: Mapping[str, str] | None = None,
    defines: Mapping[str, str] | None = None,
    options: PreprocessOptions = DEFAULT_OPTIONS,
) -> Preprocessed:
    def find(name: str, including: str) -> SourceText | None:
        return SourceText(name, files[name]) if files and name in files else None

    return preprocess(SourceText("sorter.sv", text), MacroTable.of(defines or {}), find, options)


def words(text: str, **settings: Mapping[str, str]) -> str:
    """The tokens a file gives, apart by spaces; the file must be without problems."""
    done = run(text, **settings)  # type: ignore[arg-type]
    assert [problem.message for problem in done.problems] == []
    return shown(done)


def shown(done: Preprocessed) -> str:
    return " ".join(spelled([token]).strip() for token in done.tokens[:-1])


def only_problem(done: Preprocessed, text: str) -> tuple[str, str]:
    """The message of the one problem, and what it points at in `text`."""
    assert len(done.problems) == 1
    problem = done.problems[0]
    assert problem.rule == "source-not-read"
    assert problem.help
    return problem.message, text[problem.span.start : problem.span.end]
