"""`memlint`: picks the command and turns what goes wrong into a message and an exit code."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Sequence
from dataclasses import dataclass
from importlib import import_module
from typing import NoReturn, TextIO

from memlint import __version__
from memlint.cli.messages import complain

FAILED = 2
INTERRUPTED = 130
PIPE_CLOSED = 141
"""What a shell reports for a process that SIGINT or SIGPIPE ended: 128 and the signal's number."""

NOTICE = """\
Counts are estimates, made from the device profile alone: confirm them with the device's own documents
and tools. Safety-related designs (DO-254, IEC 61508, ISO 26262) need their own qualified flow; nothing
printed here is evidence in one."""

_EXITS = """\
Exit codes: 0 no finding at or above the failing level, 1 there are some, 2 the run itself failed."""


@dataclass(frozen=True, slots=True)
class Command:
    """A command's name, the module with its `add_arguments` and `run`, and what it does."""

    name: str
    module: str
    help: str


COMMANDS = (
    Command("check", "memlint.cli.check", "findings about the memories of a design"),
    Command("list", "memlint.cli.list", "every memory: shape, ports, clocks, tier, blocks"),
    Command("explain", "memlint.cli.explain", "a rule, or how one memory's answers came about"),
    Command("size", "memlint.cli.size", "one shape on every tier of a device, without HDL"),
    Command("compare", "memlint.cli.compare", "memories between two git revisions: what changed, and why"),
    Command("plan", "memlint.cli.plan", "an assignment of memories to tiers that fits the device"),
    Command("reconcile", "memlint.cli.reconcile", "the counts of a build, compared with memlint's"),
    Command("devices", "memlint.cli.devices", "device profiles and their facts"),
    Command("report", "memlint.cli.report", "the whole design on one HTML page"),
    Command("init", "memlint.cli.init", "a memlint.toml to begin with, and intents for existing memories"),
    Command("completion", "memlint.cli.completion", "what a shell completes memlint's arguments by"),
    Command("serve", "memlint.cli.serve", "the language server"),
)


class _Parser(argparse.ArgumentParser):
    """Says what is wrong as every other message of memlint does."""

    def error(self, message: str) -> NoReturn:
        self.exit(FAILED, f"memlint: {message}\nmemlint: `{self.prog} --help` lists what it takes\n")


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs the command line and returns the exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        code = _run(given)
        print(end="", flush=True)
        return code
    except SystemExit as leave:
        return leave.code if isinstance(leave.code, int) else 0
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        _abandon_output()
        return PIPE_CLOSED


def _run(given: list[str]) -> int:
    _lenient(sys.stdout)
    _lenient(sys.stderr)
    name = next((one for one in given if not one.startswith("-")), None)
    command = next((one for one in COMMANDS if one.name == name), None)
    parser = _parser(command)
    if command is None and name is not None:
        _no_command(name, parser)
    args = parser.parse_args(given)
    if command is None:
        parser.print_help(sys.stderr)
        return FAILED
    if getattr(args, "format", "text") != "text" or getattr(args, "schema", False):
        _as_utf8(sys.stdout)
    return _guarded(command, args)


def _no_command(name: str, parser: argparse.ArgumentParser) -> NoReturn:
    from difflib import get_close_matches

    near = get_close_matches(name, [one.name for one in COMMANDS], 1)
    parser.error(f"there is no command `{name}`" + (f": did you mean `{near[0]}`?" if near else ""))


def _parser(command: Command | None) -> argparse.ArgumentParser:
    """The parser of the whole line; only the command that runs is imported."""
    parser = _Parser(
        prog="memlint",
        description="Memory intent in FPGA projects: checks what the HDL says against what was meant\n"
        "and what the device can do.",
        epilog=f"{_EXITS}\n\n{NOTICE}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"memlint {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=_Parser)
    for one in COMMANDS:
        sub = commands.add_parser(
            one.name,
            help=one.help,
            description=f"{one.help[0].upper()}{one.help[1:]}.",
            epilog=NOTICE,
            formatter_class=argparse.RawDescriptionHelpFormatter,
        )
        if one is command:
            import_module(one.module).add_arguments(sub)
    return parser


def _guarded(command: Command, args: argparse.Namespace) -> int:
    try:
        code: int = import_module(command.module).run(args)
    except Exception as wrong:
        if not _is_users(wrong):
            raise
        complain(str(wrong))
        return FAILED
    return code


def _is_users(wrong: Exception) -> bool:
    """Whether it is an error that its user can mend, and whose text says how."""
    # Imported here: a command that needs no engine must not wait for one only to go well.
    from memlint.device.errors import ProfileError
    from memlint.engine.settings import ProjectError

    return isinstance(wrong, ProjectError | ProfileError)


def _lenient(stream: TextIO) -> None:
    """What the terminal's encoding lacks is shown as `?`: a strange name must not end the run."""
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(errors="replace")


def _as_utf8(stream: TextIO) -> None:
    """What programs read is UTF-8 with line ends as written, whatever the locale says (RFC 8259, 8.1)."""
    if hasattr(stream, "reconfigure"):
        stream.reconfigure(encoding="utf-8", newline="\n")


def _abandon_output() -> None:
    """Nobody reads any more: the flush at exit must not complain about it."""
    try:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except (OSError, ValueError):
        return
