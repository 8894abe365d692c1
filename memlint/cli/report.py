"""`memlint report`: the whole design on one HTML page."""

from __future__ import annotations

import argparse
import os
from collections.abc import Callable
from dataclasses import replace

from memlint.cli import common
from memlint.cli.compare import compared
from memlint.engine import Engine
from memlint.engine.differences.changes import Comparison
from memlint.engine.judgement import Judgement
from memlint.engine.settings import ProjectError
from memlint.reports.html import report_html
from memlint.reports.html.links import mistake_of


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint report`."""
    common.add_paths(parser, "memories and findings")
    parser.add_argument("--output", metavar="FILE", required=True, help="the file to write the page to")
    parser.add_argument("--since", metavar="OLD", help="show also what changed since a git revision, and why")
    parser.add_argument(
        "--at", metavar="NEW", help="with --since: another revision (default: the working tree, as it is)"
    )
    parser.add_argument(
        "--links",
        metavar="PATTERN",
        default="",
        help="where the reader opens source lines: an address with {file} and {line}",
    )
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Writes the page and returns 0. Raises ProjectError where it cannot be written."""
    wrong = mistake_of(args.links) if args.links else None
    if wrong is not None:
        raise ProjectError(f"--links `{args.links}`: {wrong}")
    judgement, engine, comparison = _judged(args)
    _check_output(judgement, engine, args.output)
    shown = common.is_shown(engine, args.paths)
    page = report_html(
        judgement,
        [view for view in judgement.memories if shown(view.memory.span.file)],
        [finding for finding in judgement.findings if shown(finding.span.file)],
        [finding for finding in judgement.accepted if shown(finding.span.file)],
        device_given=engine.settings.device_given,
        comparison=None if comparison is None else _limited(comparison, shown),
        links=args.links,
    )
    common.emit(page, args.output)
    return 0


def _judged(args: argparse.Namespace) -> tuple[Judgement, Engine, Comparison | None]:
    if args.since is not None:
        comparison, engine = compared(args, args.since, args.at, args.paths)
        return comparison.new.judgement, engine, comparison
    if args.at is not None:
        raise ProjectError("--at is what --since is held against. Give --since OLD as well.")
    engine = common.project(args, args.paths)
    return engine.judge(), engine, None


def _limited(comparison: Comparison, shown: Callable[[str], bool]) -> Comparison:
    """What differs in the files asked for; the blocks are those of all."""
    return replace(
        comparison,
        memories=tuple(one for one in comparison.memories if shown(one.view.memory.span.file)),
        new_findings=tuple(one for one in comparison.new_findings if shown(one.span.file)),
        gone_findings=tuple(one for one in comparison.gone_findings if shown(one.span.file)),
    )


def _check_output(judgement: Judgement, engine: Engine, output: str) -> None:
    """A slip of the hand must not cost a source."""
    root = engine.settings.root
    for file in (*judgement.sources, engine.settings.file):
        if file and os.path.realpath(os.path.join(root, file)) == os.path.realpath(output):
            raise ProjectError(
                f"{output}: it belongs to the project and is not overwritten. Name another file."
            )
