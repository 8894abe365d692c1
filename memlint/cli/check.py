"""`memlint check`: the findings."""

from __future__ import annotations

import argparse
from dataclasses import replace

from memlint.cli import common
from memlint.reports.json_output import check_json
from memlint.reports.text import check_text
from memlint.rules.finding import Severity

_LEVELS = {"note": Severity.NOTE, "warning": Severity.WARNING, "error": Severity.ERROR, "never": None}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint check`."""
    common.add_paths(parser, "findings")
    parser.add_argument(
        "--fail-on",
        choices=tuple(_LEVELS),
        default="warning",
        help="exit with 1 from this severity on (default: warning)",
    )
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--output", metavar="FILE", help="write the report to a file")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the findings: 1 if one of them is at or above the failing level, else 0."""
    engine = common.project(args, args.paths)
    judgement = engine.judge()
    shown = common.is_shown(engine, args.paths)
    findings = [finding for finding in judgement.findings if shown(finding.span.file)]
    accepted = tuple(finding for finding in judgement.accepted if shown(finding.span.file))
    judgement = replace(judgement, accepted=accepted)
    is_given = engine.settings.device_given
    if args.format == "json":
        report = check_json(judgement, findings, device_given=is_given)
    else:
        assumed = "" if is_given else ", the demo device: no `device` is set"
        report = check_text(judgement, findings, assumed, common.page(engine, args.output))
    common.emit(report, args.output)
    level = _LEVELS[args.fail_on]
    return int(level is not None and any(finding.severity >= level for finding in findings))
