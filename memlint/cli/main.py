"""`memlint`: picks the command and turns what goes wrong into a message and an exit code."""

from __future__ import annotations

import os
import sys

from memlint.cli.messages import OutputLost, complain, say

TYPE_CHECKING = False
if TYPE_CHECKING:
    # Everything else is imported where it is used: an answer out of the cache takes no more than this.
    import argparse
    from collections.abc import Sequence
    from typing import TextIO

FAILED = 2
INTERRUPTED = 130
PIPE_CLOSED = 141
"""What a shell reports for a process that SIGINT or SIGPIPE ended: 128 and the signal's number."""


class Command:
    """A command's name, the module with its `add_arguments` and `run`, and what it does."""

    __slots__ = ("help", "module", "name")

    def __init__(self, name: str, module: str, help: str) -> None:
        self.name = name
        self.module = module
        self.help = help


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
CACHED = frozenset(("check", "list", "explain"))
"""The commands whose outcome follows from what they read, so that the cache may answer for them."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs the command line and returns the exit code."""
    is_command_line = arguments is None
    given = list(sys.argv[1:] if arguments is None else arguments)
    try:
        code = _run(given, is_command_line)
        say("")
        return code
    except SystemExit as leave:
        return leave.code if isinstance(leave.code, int) else 0
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        _abandon_output()
        return PIPE_CLOSED
    except OutputLost as lost:
        _abandon_output()
        complain(f"standard output cannot be written: {lost}. Make room, or name a file.")
        return FAILED


def _run(given: list[str], is_command_line: bool) -> int:
    name = next((one for one in given if not one.startswith("-")), None)
    if name != "serve":
        _open_closed()
    _lenient(sys.stdout)
    _lenient(sys.stderr)
    command = next((one for one in COMMANDS if one.name == name), None)
    # A caller in this process may have changed what a run does; its outcome is not one to keep.
    may_be_cached = is_command_line and name in CACHED and "--help" not in given
    key = None
    if may_be_cached:
        from memlint.cli import cached

        key = cached.key_of(given)
        code = cached.answer(key, given)
        if code is not None:
            return code
    return _parsed(given, name, command, key)


def _parsed(given: list[str], name: str | None, command: Command | None, key: bytes | None) -> int:
    from memlint.cli.arguments import no_command, parser_for

    parser = parser_for(command)
    if command is None and name is not None:
        no_command(name, parser)
    args = parser.parse_args(given)
    if command is None:
        parser.print_help(sys.stderr)
        return FAILED
    if getattr(args, "format", "text") != "text" or getattr(args, "schema", False):
        _as_utf8(sys.stdout)
    if key is None:
        return _guarded(command, args)
    from memlint.cli.cached import recorded

    return recorded(key, args, lambda: _guarded(command, args))


def _guarded(command: Command, args: argparse.Namespace) -> int:
    from importlib import import_module

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


def _open_closed() -> None:
    """What goes to a stream that the caller closed is dropped: the exit code still tells the outcome."""
    if sys.stdout is None:
        sys.stdout = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115 (open until the process ends)
    if sys.stderr is None:
        sys.stderr = open(os.devnull, "w", encoding="utf-8")  # noqa: SIM115


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
