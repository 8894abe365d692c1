"""`memlint init`: a memlint.toml to begin with, and intents for the memories there are."""

from __future__ import annotations

import argparse
from pathlib import Path

from memlint.cli import common, outputs
from memlint.cli.fix import fixes_as_diff, judging
from memlint.cli.messages import complain
from memlint.cli.progress import progress
from memlint.engine.config import CONFIG_NAME, shown_path
from memlint.engine.drafting import draft_intents, left_out, propose
from memlint.engine.files import VERILOG, VHDL, files_below
from memlint.engine.settings import ProjectError


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint init`."""
    parser.add_argument(
        "folder", metavar="FOLDER", nargs="?", default=".", help="the project's root (default: here)"
    )
    parser.add_argument(
        "--annotate",
        action="store_true",
        help="print intents for the memories that have none, as a patch, and write nothing",
    )
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the proposal and returns 0; writes it where there is no memlint.toml yet."""
    return _annotate(args) if args.annotate else _propose(args)


def _propose(args: argparse.Namespace) -> int:
    from memlint.reports.config_text import config_text

    root = Path(args.folder).absolute()
    if not root.is_dir():
        raise ProjectError(f"{args.folder}: no such folder. Name the folder that holds the sources.")
    if not files_below(root, root):
        endings = ", ".join((*VERILOG, *VHDL))
        raise ProjectError(
            f"{args.folder}: no HDL sources here ({endings}). Name the folder that holds them."
        )
    with progress("looking at the sources"):
        text = config_text(propose(root))
    common.emit(text)
    target = root / CONFIG_NAME
    try:
        with target.open("x", encoding="utf-8", newline="\n") as out:
            out.write(text)
    except FileExistsError:
        complain(f"{shown_path(target)} is there already and stays as it is")
    except OSError as failed:
        reason = failed.strerror or failed
        raise ProjectError(
            f"{shown_path(target)}: the file cannot be written: {reason}. Save what was printed."
        ) from failed
    else:
        complain(f"wrote {shown_path(target)}")
    return 0


def _annotate(args: argparse.Namespace) -> int:
    engine = common.project(args, [args.folder])
    with progress("drafting intents"):
        judgement = engine.judge()
        drafts = draft_intents(judgement, judging(engine))
    outputs.emit_bytes(fixes_as_diff(engine, judgement, drafts))
    for span, why in left_out(judgement):
        line = judgement.sources[span.file].position(span.start).line
        complain(f"{shown_path(Path(engine.settings.root, span.file))}:{line}: {why}")
    if not drafts:
        complain("nothing to draft: every memory of some size has an intent, or nothing is true of all of it")
    return 0
