"""`memlint check`: the findings."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from memlint.cli import common, outputs, stdin
from memlint.cli.files import check_files, missing_files
from memlint.cli.messages import complain
from memlint.cli.progress import progress
from memlint.cli.selecting import Selection, selection
from memlint.device.errors import ProfileError
from memlint.engine import Engine
from memlint.engine.baseline import write_baseline
from memlint.engine.config import find_config, load_settings
from memlint.engine.judgement import Judgement
from memlint.engine.missing import may_be_of_missing_source
from memlint.engine.settings import ProjectError, UnknownTopError
from memlint.rules.finding import Finding, Severity

FORMATS = ("text", "json", "sarif", "junit", "lines")
_LEVELS = {"note": Severity.NOTE, "warning": Severity.WARNING, "error": Severity.ERROR, "never": None}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint check`."""
    common.add_paths(parser, "findings")
    parser.add_argument(
        "--stdin-name", metavar="NAME", help="the file that PATH `-`, standard input, stands for"
    )
    parser.add_argument(
        "--fail-on",
        choices=tuple(_LEVELS),
        default="warning",
        help="exit with 1 from this severity on (default: warning)",
    )
    mend = parser.add_mutually_exclusive_group()
    mend.add_argument(
        "--fix", action="store_true", help="make the safe fixes, which edit intent comments only"
    )
    mend.add_argument("--diff", action="store_true", help="print what --fix would change, and no report")
    parser.add_argument("--baseline", metavar="FILE", help="leave out the findings that this file knows")
    parser.add_argument(
        "--write-baseline", action="store_true", help="write all findings to --baseline's FILE"
    )
    parser.add_argument(
        "--since", metavar="REV", help="only findings the project did not have at a git revision"
    )
    parser.add_argument(
        "--allow-missing",
        action="store_true",
        help="do not fail over source that is not there, such as a submodule or generated files",
    )
    outputs.add_arguments(parser, FORMATS, "report")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the findings: 1 if one of them is at or above the failing level, else 0."""
    if args.schema:
        from memlint.reports.schemas import schema_text

        common.emit(schema_text("check"))
        return 0
    _check_options(args)
    try:
        engine = stdin.opened(args) if stdin.is_meant(args) else common.opened(args, args.paths)
    except (ProjectError, ProfileError) as wrong:
        if not (args.allow_missing and _lacks_profile(args)):
            raise
        complain(f"{wrong} Without its device the project is not checked.")
        return 0
    missing = _missing(engine, args)
    with progress("checking"):
        try:
            judgement = engine.judge()
        except UnknownTopError as wrong:
            if not args.allow_missing:
                raise
            complain(f"{wrong} Every unit that nobody instantiates is a root for this run.")
            settings = replace(engine.settings, top=(), parameters={})
            engine = Engine(settings, engine.texts.overlay, engine.extra)
            missing = True
            judgement = engine.judge()
    if args.write_baseline:
        return _write_baseline(args, judgement)
    with progress("reading what it is compared with"):
        wanted = selection(args, engine)
    wanted.complain_of_stale(judgement, args.baseline)
    if args.fix or args.diff:
        _fix(args, engine, judgement, wanted)
    if args.fix:
        judgement = engine.judge()
    findings = wanted.findings(judgement)
    if not args.diff:
        _report(args, engine, wanted, judgement)
    return int(any(_fails(one, args, judgement, missing) for one in findings))


def _fix(args: argparse.Namespace, engine: Engine, judgement: Judgement, wanted: Selection) -> None:
    # Imported here: most runs fix nothing.
    from memlint.cli import fix

    with progress("trying the fixes"):
        fixed = fix.find_fixes(engine, judgement, wanted.fixable(judgement))
    if args.diff:
        outputs.emit_bytes(fix.fixes_as_diff(engine, judgement, fixed.texts))
    else:
        fix.write_fixes(engine, judgement, fixed)
    fix.say_what_was_done(fixed, common.page(engine), made=args.fix)


def _check_options(args: argparse.Namespace) -> None:
    if args.write_baseline and args.baseline is None:
        raise ProjectError("--write-baseline: say where to, by --baseline FILE.")
    if args.write_baseline and args.paths:
        raise ProjectError("--write-baseline: a baseline is of the whole project. Leave PATH out.")
    if args.diff and args.output:
        raise ProjectError("--diff: it prints a patch and no report. Leave --output out.")
    if args.fix and "-" in args.paths:
        raise ProjectError("--fix: standard input cannot be written. Ask for --diff, or name the file.")


def _lacks_profile(args: argparse.Namespace) -> bool:
    """Whether the project's device profile is a file that is not there."""
    found = Path(args.config) if args.config else find_config(Path(args.paths[0]) if args.paths else Path())
    settings = load_settings(found, Path())
    return ".toml" in settings.device and not Path(settings.root, settings.device).exists()


def _missing(engine: Engine, args: argparse.Namespace) -> bool:
    """Whether files are missing that need not be there. Raises ProjectError if they need to be."""
    missing = missing_files(engine) if args.allow_missing else []
    if not missing:
        check_files(engine)
    for one in missing:
        complain(one)
    # What a file list names and is not there is a finding, not a failed run.
    return bool(missing or engine.files().problems)


def _write_baseline(args: argparse.Namespace, judgement: Judgement) -> int:
    common.emit(write_baseline(judgement, judgement.findings), args.baseline)
    count = len(judgement.findings)
    complain(f"{args.baseline}: wrote {count} finding{'' if count == 1 else 's'}")
    return 0


def _report(args: argparse.Namespace, engine: Engine, wanted: Selection, judgement: Judgement) -> None:
    findings, known = wanted.findings(judgement), wanted.known_count(judgement)
    accepted = tuple(one for one in judgement.accepted if wanted.in_paths(one.span.file))
    judgement = replace(judgement, accepted=accepted)
    is_given = engine.settings.device_given

    def report(format: str, file: str | None) -> str:
        match format:
            case "json":
                from memlint.reports.json_output import check_json

                return check_json(judgement, findings, device_given=is_given, known=known)
            case "sarif":
                from memlint.reports.sarif import check_sarif

                return check_sarif(judgement, findings, judgement.accepted)
            case "junit":
                from memlint.reports.junit import check_junit

                return check_junit(judgement, findings, _LEVELS[args.fail_on])
            case "lines":
                from memlint.reports.lines import check_lines

                return check_lines(judgement, findings, common.page(engine, file))
            case _:
                from memlint.reports.text import check_text

                assumed = "" if is_given else ", the demo device: no `device` is set"
                return check_text(judgement, findings, assumed, common.page(engine, file), known)

    outputs.write(outputs.targets(args.output, args.format, FORMATS), report)


def _fails(finding: Finding, args: argparse.Namespace, judgement: Judgement, files_missing: bool) -> bool:
    level = _LEVELS[args.fail_on]
    if level is None or finding.severity < level:
        return False
    return not (args.allow_missing and may_be_of_missing_source(finding, judgement, files_missing))
