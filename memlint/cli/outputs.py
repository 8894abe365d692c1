"""Where reports go: one on standard output or in a file, and others beside it in the same run."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from memlint.cli import common
from memlint.cli.messages import telling_loss
from memlint.engine.settings import ProjectError
from memlint.rules.wording import listed


@dataclass(frozen=True, slots=True)
class Target:
    """A report to write: its format, and its file (None: standard output)."""

    format: str
    file: str | None


def add_arguments(parser: argparse.ArgumentParser, formats: Sequence[str], what: str) -> None:
    """Declares `--format` and `--output`, and `--schema` for the JSON."""
    parser.add_argument("--format", choices=tuple(formats), default="text")
    parser.add_argument(
        "--output",
        metavar="[FORMAT=]FILE",
        action="append",
        default=[],
        help=f"write the {what} to a file; with FORMAT= beside what is printed, may be repeated",
    )
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of --format json")


def targets(given: Sequence[str], format: str, formats: Sequence[str]) -> list[Target]:
    """What to write. A FILE without its own format takes `format` away from standard output.

    Raises ProjectError for a format that is none.
    """
    found: list[Target] = []
    is_printed = True
    for one in given:
        name, equals, file = one.partition("=")
        if equals and name in formats:
            found.append(Target(name, file))
        elif equals and name.isalpha():
            raise ProjectError(
                f"--output `{one}`: there is no format `{name}`: they are {listed(formats)}. "
                f"Write `./{one}` for a file of that name."
            )
        else:
            found.append(Target(format, one))
            is_printed = False
    return [Target(format, None), *found] if is_printed else found


def write(chosen: Sequence[Target], report: Callable[[str, str | None], str]) -> None:
    """Write each report; `report` makes it from its format and file. Raises ProjectError."""
    for one in chosen:
        common.emit(report(one.format, one.file), one.file)


def emit_bytes(data: bytes) -> None:
    """Write bytes to standard output as they are. Raises OutputLost."""
    with telling_loss():
        sys.stdout.flush()
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
