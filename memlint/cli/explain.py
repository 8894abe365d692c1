"""`memlint explain`: a rule, or how one memory's answers came about."""

from __future__ import annotations

import argparse

from memlint.cli import common
from memlint.engine.judgement import Judgement
from memlint.engine.settings import ProjectError
from memlint.reports.explain_text import explain_array, explain_memory, explain_rule
from memlint.reports.page import Page
from memlint.rules.base import all_rules, rule_named
from memlint.rules.near import by_likeness, close_name

_MOST_NEAR = 3


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint explain`."""
    parser.add_argument(
        "subject", metavar="RULE|MEMORY", help="a rule's name, or a memory's path as `memlint list` shows it"
    )
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the explanation and returns 0. Raises ProjectError for a name that nothing has."""
    rule = rule_named(args.subject)
    if rule is not None:
        common.emit(explain_rule(rule, common.page()))
        return 0
    near = close_name(args.subject, [one.name for one in all_rules()])
    if near is not None and "." not in args.subject:
        raise ProjectError(f"There is no rule `{args.subject}`. Did you mean `{near}`?")
    engine = common.project(args)
    common.emit(_memory(args.subject, engine.judge(), common.page(engine)))
    return 0


def _memory(path: str, judgement: Judgement, page: Page) -> str:
    for view in judgement.memories:
        if view.memory.path == path:
            return explain_memory(view, judgement, page)
    for array in judgement.not_memories:
        if array.path == path:
            return explain_array(array, judgement, page)
    known = [view.memory.path for view in judgement.memories]
    ending = [one for one in known if one.endswith(f".{path}")]
    nearest = [*ending, *(one for one in by_likeness(path, known) if one not in ending)][:_MOST_NEAR]
    listed = f"The nearest are {', '.join(nearest)}." if nearest else "The project has no memories."
    raise ProjectError(f"There is no rule and no memory `{path}`. {listed}")
