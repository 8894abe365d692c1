"""`memlint reconcile`: built counts against memlint's."""

from __future__ import annotations

import argparse
from pathlib import Path

from memlint.cli import common
from memlint.engine.counts import Counted, read_counts
from memlint.engine.engine import Engine
from memlint.engine.reconciling import Verdict, reconcile
from memlint.engine.settings import ProjectError
from memlint.reports.reconcile_json import reconcile_json
from memlint.reports.reconcile_text import reconcile_text
from memlint.text.source import decode


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint reconcile`."""
    parser.add_argument(
        "counts",
        metavar="COUNTS.csv",
        nargs="?",
        help="a table with columns path, tier and blocks, as a build gave them",
    )
    parser.add_argument("paths", metavar="PATH", nargs="*", help="files or folders that are the project")
    parser.add_argument("--all", action="store_true", help="also the memories that agree")
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--output", metavar="FILE", help="write the report to a file")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of --format json")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the comparison: 1 if a count is neither ours, nor explained, nor accepted, else 0."""
    if args.schema:
        from memlint.reports.schemas import schema_text

        common.emit(schema_text("reconcile"))
        return 0
    if args.counts is None:
        raise ProjectError("reconcile: with what? Give a CSV table with columns path, tier and blocks.")
    engine = common.project(args, args.paths)
    rows = _rows(args.counts, engine)
    judgement = engine.judge()
    found = reconcile(judgement, rows, engine.settings.measured)
    report = (
        reconcile_json(found)
        if args.format == "json"
        else reconcile_text(found, judgement.device.name, args.all, common.page(engine, args.output))
    )
    common.emit(report, args.output)
    return int(bool(found.of(Verdict.OUTLIER)))


def _rows(file: str, engine: Engine) -> tuple[Counted, ...]:
    try:
        text = decode(Path(file).read_bytes())
    except OSError as failed:
        raise ProjectError(
            f"{file}: the counts cannot be read: {failed.strerror or failed}. Name a CSV file."
        ) from failed
    return read_counts(text, file, engine.settings.counts_format, engine.device)
