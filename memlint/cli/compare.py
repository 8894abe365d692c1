"""`memlint compare`: what a change does to the memories, and why."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TextIO

from memlint.cli import common, outputs
from memlint.cli.files import missing_files
from memlint.cli.messages import complain
from memlint.cli.progress import progress
from memlint.engine import Engine
from memlint.engine.compare import compare
from memlint.engine.config import shown_path
from memlint.engine.differences.changes import Comparison
from memlint.engine.settings import ProjectError
from memlint.engine.sides import Side, revision_side, working_side
from memlint.rules.finding import Severity

FORMATS = ("text", "markdown", "json")
_LEVELS = {"note": Severity.NOTE, "warning": Severity.WARNING, "error": Severity.ERROR, "never": None}


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint compare`."""
    parser.add_argument(
        "old",
        metavar="OLD",
        nargs="?",
        help="a git revision: for a branch, that which it left its target at (git merge-base)",
    )
    parser.add_argument(
        "new", metavar="NEW", nargs="?", help="another revision (default: the working tree, as it is)"
    )
    parser.add_argument(
        "--fail-on-new",
        choices=tuple(_LEVELS),
        default="never",
        help="exit with 1 for new findings from this severity on (default: never; the report is for "
        "reviewers, and `memlint check --since` is what holds a change up)",
    )
    outputs.add_arguments(parser, FORMATS, "report")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints what differs: 1 if a new finding is at or above the failing level, else 0.

    Raises ProjectError or ProfileError, in the user's words, for whatever stands in the way.
    """
    if args.schema:
        from memlint.reports.schemas import schema_text

        common.emit(schema_text("compare"))
        return 0
    if args.old is None:
        raise ProjectError("compare: with what? Give a git revision, such as HEAD or main, as OLD.")
    with progress("comparing"):
        comparison, engine = compared(args, args.old, args.new)
    _report(args, comparison, engine)
    level = _LEVELS[args.fail_on_new]
    return int(level is not None and any(one.severity >= level for one in comparison.new_findings))


def compared(
    args: argparse.Namespace, revision: str, other: str | None, paths: Sequence[str] = ()
) -> tuple[Comparison, Engine]:
    """The working tree, or another revision, compared with a revision; and the engine that judged it.

    `paths` are the project where there is no memlint.toml. Raises ProjectError or ProfileError.
    """
    new, engine = new_side(args, other, paths)
    settings = new.settings
    config = Path(settings.root, settings.file) if settings.file else _given_config(args)
    old, _ = revision_side(
        Path(settings.root), revision, config=config, overrides=common.overrides(args), instead=engine
    )
    if old.design is None and new.design is None:
        raise ProjectError("\n".join((*old.notes, *new.notes, "Correct `top`.")))
    if not old.judgement.sources and not new.judgement.sources:
        raise ProjectError(f"{shown_path(Path(settings.root))}: There is no HDL source on either side.")
    return compare(old, new), engine


def new_side(
    args: argparse.Namespace, revision: str | None, paths: Sequence[str] = ()
) -> tuple[Side, Engine]:
    """A revision, or the working tree, judged."""
    if revision is not None:
        config = _given_config(args)
        root = config.parent if config is not None else _folder(paths)
        return revision_side(root, revision, config=config, overrides=common.overrides(args))
    engine = common.opened(args, paths)
    # A reviewer wants to see what there is: what is missing is said, and ends nothing.
    for missing in missing_files(engine):
        complain(missing)
    return working_side(engine), engine


def _folder(paths: Sequence[str]) -> Path:
    """Where to look for the project: at the first path, else here."""
    first = Path(os.path.abspath(paths[0])) if paths else Path.cwd()
    return first if first.is_dir() else first.parent


def _given_config(args: argparse.Namespace) -> Path | None:
    return Path(os.path.abspath(args.config)) if args.config else None


def _report(args: argparse.Namespace, comparison: Comparison, engine: Engine) -> None:
    def report(format: str, file: str | None) -> str:
        match format:
            case "json":
                from memlint.reports.compare_json import compare_json

                return compare_json(comparison)
            case "markdown":
                from memlint.reports.compare_markdown import compare_markdown

                return compare_markdown(comparison)
            case _:
                from memlint.reports.compare_text import compare_text

                text = compare_text(comparison, common.page(engine, file))
                return text if file is not None or _has_arrows(sys.stdout) else text.replace("→", "->")

    outputs.write(outputs.targets(args.output, args.format, FORMATS), report)


def _has_arrows(stream: TextIO) -> bool:
    """Whether what reads a stream can show the arrow between before and after."""
    try:
        "→".encode(getattr(stream, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True
