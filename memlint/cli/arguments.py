"""The parser of the whole command line."""

from __future__ import annotations

import argparse
from importlib import import_module
from typing import NoReturn

from memlint import __version__
from memlint.cli import cached
from memlint.cli.main import CACHED, COMMANDS, FAILED, Command

NOTICE = """\
Counts are estimates, made from the device profile alone: confirm them with the device's own documents
and tools. Safety-related designs (DO-254, IEC 61508, ISO 26262) need their own qualified flow; nothing
printed here is evidence in one."""

_EXITS = """\
Exit codes: 0 no finding at or above the failing level, 1 there are some, 2 the run itself failed."""


class Parser(argparse.ArgumentParser):
    """Says what is wrong as every other message of memlint does."""

    def error(self, message: str) -> NoReturn:
        self.exit(FAILED, f"memlint: {message}\nmemlint: `{self.prog} --help` lists what it takes\n")


def no_command(name: str, parser: Parser) -> NoReturn:
    """Says that there is no such command, and which is near."""
    from difflib import get_close_matches

    near = get_close_matches(name, [one.name for one in COMMANDS], 1)
    parser.error(f"there is no command `{name}`" + (f": did you mean `{near[0]}`?" if near else ""))


def parser_for(command: Command | None) -> Parser:
    """The parser; only the command that runs is imported."""
    parser = Parser(
        prog="memlint",
        description="Memory intent in FPGA projects: checks what the HDL says against what was meant\n"
        "and what the device can do.",
        epilog=f"{_EXITS}\n\n{NOTICE}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"memlint {__version__}")
    commands = parser.add_subparsers(title="commands", metavar="COMMAND", parser_class=Parser)
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
            if one.name in CACHED:
                cached.add_arguments(sub)
    return parser
