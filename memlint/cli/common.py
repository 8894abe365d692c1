"""What the commands share: opening the project, the page they write on, where output goes."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from memlint.cli.files import check_files
from memlint.cli.messages import complain, say
from memlint.cli.recording import STANDARD_OUTPUT, disk, environment, note_said, witness
from memlint.device.errors import ProfileError
from memlint.engine import Engine, open_project
from memlint.engine.cache.witness import Witness
from memlint.engine.config import find_config, place_of, shown_path
from memlint.engine.config_tiers import tier_mistakes
from memlint.engine.settings import ProjectError
from memlint.reports.page import COLOURS, WIDTH, Page

_NARROW = 80


def add_project_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares which project a command is about."""
    parser.add_argument("--config", metavar="FILE", help="use this file instead of the nearest memlint.toml")
    parser.add_argument("--top", metavar="UNIT", action="append", help="the design's root; may be repeated")
    parser.add_argument("--device", metavar="NAME", help="a device profile, family/member, or a .toml file")


def add_paths(parser: argparse.ArgumentParser, what: str) -> None:
    """Declares PATH…, which limit what is shown."""
    parser.add_argument(
        "paths",
        metavar="PATH",
        nargs="*",
        help=f"show {what} of these files and folders only; without memlint.toml they are the project",
    )


def project(args: argparse.Namespace, paths: Sequence[str] = ()) -> Engine:
    """The engine of the project that the arguments name, its files all there.

    Raises ProjectError or ProfileError, in the user's words, for whatever stands in the way.
    """
    engine = opened(args, paths)
    check_files(engine)
    return engine


def opened(args: argparse.Namespace, paths: Sequence[str] = ()) -> Engine:
    """As `project`, without a look at its files."""
    changed = overrides(args)
    start = Path(paths[0]) if paths else Path.cwd()
    if args.config is None and find_config(start, disk(Path()).is_file) is None:
        # Without memlint.toml, findings name files as they are seen from here.
        changed["root"] = os.getcwd()
    engine = open_project(paths, config=args.config, overrides=changed, disk=disk)
    engine.texts.environ = environment()
    seen = witness()
    if seen is not None:
        # Profiles are read where the links to them lead.
        seen.real(Path(engine.settings.root, engine.settings.device))
    _check_device(engine, args)
    return engine


def overrides(args: argparse.Namespace) -> dict[str, object]:
    """The settings that the arguments replace, by name."""
    changed: dict[str, object] = {}
    if args.top:
        changed["top"] = tuple(args.top)
        changed["top_given"] = True
    if args.device:
        changed["device"] = _from_here(args.device)
        changed["device_given"] = True
    return changed


def _from_here(device: str) -> str:
    """A profile's name as it is, the path of one as seen from everywhere."""
    return os.path.abspath(device) if ".toml" in device else device


def _check_device(engine: Engine, args: argparse.Namespace) -> None:
    settings = engine.settings
    try:
        device = engine.device
    except ProfileError as wrong:
        if wrong.file or args.device or not settings.file:
            raise
        place = place_of(settings, "device")
        raise ProjectError(f"{place}: device: {wrong.message} {wrong.remedy}") from wrong
    mistakes = tier_mistakes(settings, device)
    if mistakes and not args.device:
        raise ProjectError("\n".join(mistakes))
    # Asking about another device for once must not need another memlint.toml.
    for mistake in mistakes:
        complain(f"{mistake} Left out for this run.")


def is_shown(engine: Engine, paths: Sequence[str]) -> Callable[[str], bool]:
    """Whether a file of the project lies in one of the paths; without paths every file does."""
    seen = witness()
    root = _real(engine.settings.root, seen)
    wanted = [_real(path, seen) for path in paths]

    def decide(file: str) -> bool:
        absolute = _real(os.path.join(root, file), seen)
        return any(absolute == one or absolute.startswith(os.path.join(one, "")) for one in wanted)

    return decide if wanted else lambda file: True


def _real(path: str, seen: Witness | None) -> str:
    if seen is not None:
        seen.real(os.path.abspath(path))
    return os.path.realpath(path)


def page(engine: Engine | None = None, output: str | None = None) -> Page:
    """The page for standard output, or for a file."""
    is_terminal = output is None and bool(sys.stdout) and sys.stdout.isatty()
    width = min(WIDTH, max(_NARROW, _columns())) if is_terminal else WIDTH
    colours = COLOURS if is_terminal and _wants_colour(os.environ) else {}
    return Page(width, colours) if engine is None else Page(width, colours, _shown(engine))


def _columns() -> int:
    try:
        return os.get_terminal_size(sys.stdout.fileno()).columns
    except (OSError, ValueError):
        return WIDTH


def _wants_colour(environ: Mapping[str, str]) -> bool:
    return not environ.get("NO_COLOR") and environ.get("TERM") != "dumb"


def _shown(engine: Engine) -> Callable[[str], str]:
    """Files named as one opens them from the working folder."""
    root = engine.settings.root
    return lambda file: shown_path(Path(root, file))


def emit(text: str, output: str | None = None) -> None:
    """Write a report to standard output, or to a file in UTF-8; raises ProjectError if that cannot be."""
    note_said(output or STANDARD_OUTPUT, text)
    if output is None:
        say(text)
        return
    try:
        Path(output).write_text(text, "utf-8", errors="replace", newline="\n")
    except OSError as failed:
        raise ProjectError(
            f"{output}: the report cannot be written: {failed.strerror or failed}. Name another file."
        ) from failed
