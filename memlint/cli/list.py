"""`memlint list`: every memory."""

from __future__ import annotations

import argparse

from memlint.cli import common, outputs
from memlint.cli.progress import progress

FORMATS = ("text", "json", "csv", "markdown")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint list`."""
    common.add_paths(parser, "memories")
    parser.add_argument("--all", action="store_true", help="also the arrays that are no memories, and why")
    outputs.add_arguments(parser, FORMATS, "list")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the memories and returns 0."""
    if args.schema:
        from memlint.reports.schemas import schema_text

        common.emit(schema_text("list"))
        return 0
    engine = common.project(args, args.paths)
    with progress("listing the memories"):
        judgement = engine.judge()
    shown = common.is_shown(engine, args.paths)
    memories = [view for view in judgement.memories if shown(view.memory.span.file)]
    arrays = [one for one in judgement.not_memories if shown(one.span.file)] if args.all else None

    def report(format: str, file: str | None) -> str:
        match format:
            case "json":
                from memlint.reports.json_output import list_json

                return list_json(judgement, memories, arrays)
            case "csv":
                from memlint.reports.list_tables import list_csv

                return list_csv(judgement, memories, arrays)
            case "markdown":
                from memlint.reports.list_tables import list_markdown

                return list_markdown(judgement, memories, arrays)
            case _:
                from memlint.reports.list_text import list_text

                return list_text(judgement, memories, arrays, common.page(engine, file))

    outputs.write(outputs.targets(args.output, args.format, FORMATS), report)
    return 0
