"""`memlint list`: every memory."""

from __future__ import annotations

import argparse

from memlint.cli import common
from memlint.reports.json_output import list_json
from memlint.reports.list_text import list_text


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint list`."""
    common.add_paths(parser, "memories")
    parser.add_argument("--all", action="store_true", help="also the arrays that are no memories, and why")
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--output", metavar="FILE", help="write the list to a file")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the memories and returns 0."""
    engine = common.project(args, args.paths)
    judgement = engine.judge()
    shown = common.is_shown(engine, args.paths)
    memories = [view for view in judgement.memories if shown(view.memory.span.file)]
    arrays = [one for one in judgement.not_memories if shown(one.span.file)] if args.all else None
    if args.format == "json":
        report = list_json(judgement, memories, arrays)
    else:
        report = list_text(judgement, memories, arrays, common.page(engine, args.output))
    common.emit(report, args.output)
    return 0
