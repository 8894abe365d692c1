"""`memlint explain`: a rule, or how one memory's answers came about."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from memlint.cli import common
from memlint.engine.judgement import Judgement
from memlint.engine.settings import ProjectError
from memlint.reports.explain_text import explain_array, explain_memory, explain_rule
from memlint.reports.page import Page
from memlint.rules.base import Rule, all_rules, rule_named
from memlint.rules.near import by_likeness, close_name

_MOST_NEAR = 3


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint explain`."""
    what = parser.add_mutually_exclusive_group(required=True)
    what.add_argument(
        "subject",
        metavar="RULE|MEMORY",
        nargs="?",
        help="a rule's name, or a memory's path as `memlint list` shows it",
    )
    what.add_argument("--all", action="store_true", help="every rule")
    parser.add_argument("--format", choices=("text", "markdown"), default="text", help="markdown: rules only")
    parser.add_argument("--output", metavar="FILE", help="write the explanation to a file")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the explanation and returns 0. Raises ProjectError for a name that nothing has."""
    rule = rule_named(args.subject) if args.subject else None
    if rule is not None or args.all:
        common.emit(_rules(all_rules() if rule is None else (rule,), args), args.output)
        return 0
    near = close_name(args.subject, [one.name for one in all_rules()])
    if near is not None and "." not in args.subject:
        raise ProjectError(f"There is no rule `{args.subject}`. Did you mean `{near}`?")
    engine = common.project(args)
    if args.format == "markdown":
        raise ProjectError("--format markdown: rules are explained in it, not memories. Leave it out.")
    page = common.page(engine, args.output)
    common.emit(_memory(args.subject, engine.judge(), page), args.output)
    return 0


def _rules(rules: Sequence[Rule], args: argparse.Namespace) -> str:
    if args.format == "markdown":
        from memlint.reports.rule_page import rules_markdown

        return rules_markdown(rules)
    page = common.page(output=args.output)
    return "\n\n".join(explain_rule(rule, page) for rule in rules)


def _memory(path: str, judgement: Judgement, page: Page) -> str:
    for view in judgement.memories:
        if view.memory.path == path:
            return explain_memory(view, judgement, page)
    for array in judgement.not_memories:
        if array.path == path:
            return explain_array(array, judgement, page)
    views = [view for view in judgement.memories if _ends(view.memory.path, path)]
    arrays = [array for array in judgement.not_memories if _ends(array.path, path)]
    match views, arrays:
        case [view], _:
            return explain_memory(view, judgement, page)
        case [], [array]:
            return explain_array(array, judgement, page)
    known = [view.memory.path for view in judgement.memories]
    below = [view for view in judgement.memories if f".{path}." in f".{view.memory.path}"]
    if not views and len(below) == 1:
        return explain_memory(below[0], judgement, page)
    ending = [one for one in known if one.endswith(f".{path}")]
    nearest = [*ending, *(one for one in by_likeness(path, known) if one not in ending)][:_MOST_NEAR]
    listed = f"The nearest are {', '.join(nearest)}." if nearest else "The project has no memories."
    raise ProjectError(f"There is no rule and no memory `{path}`. {listed}")


def _ends(whole: str, tail: str) -> bool:
    """Whether a path ends in these names."""
    return whole.endswith(f".{tail}")
