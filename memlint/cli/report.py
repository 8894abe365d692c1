"""`memlint report`: the whole design on one HTML page."""

from __future__ import annotations

import argparse
import os

from memlint.cli import common
from memlint.engine import Engine
from memlint.engine.settings import ProjectError
from memlint.reports.html import report_html


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint report`."""
    common.add_paths(parser, "memories and findings")
    parser.add_argument("--output", metavar="FILE", required=True, help="the file to write the page to")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Writes the page and returns 0. Raises ProjectError where it cannot be written."""
    engine = common.project(args, args.paths)
    _check_output(engine, args.output)
    judgement = engine.judge()
    shown = common.is_shown(engine, args.paths)
    page = report_html(
        judgement,
        [view for view in judgement.memories if shown(view.memory.span.file)],
        [finding for finding in judgement.findings if shown(finding.span.file)],
        [finding for finding in judgement.accepted if shown(finding.span.file)],
        device_given=engine.settings.device_given,
    )
    common.emit(page, args.output)
    return 0


def _check_output(engine: Engine, output: str) -> None:
    """A slip of the hand must not cost a source."""
    root = engine.settings.root
    for file in (*engine.files().files, engine.settings.file):
        if file and os.path.realpath(os.path.join(root, file)) == os.path.realpath(output):
            raise ProjectError(
                f"{output}: it belongs to the project and is not overwritten. Name another file."
            )
