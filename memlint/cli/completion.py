"""`memlint completion`: the script by which a shell completes the command line."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from importlib import import_module

from memlint.cli import common
from memlint.reports.completion import SHELLS, CommandWords, OptionWords


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint completion`."""
    parser.add_argument("shell", choices=tuple(SHELLS), help='bash: eval "$(memlint completion bash)"')


def run(args: argparse.Namespace) -> int:
    """Prints the script and returns 0."""
    common.emit(SHELLS[args.shell](list(_commands())))
    return 0


def _commands() -> Iterator[CommandWords]:
    # Imported here: main imports the commands by name, and this one by turns reads its list.
    from memlint.cli.main import COMMANDS

    for command in COMMANDS:
        parser = argparse.ArgumentParser(add_help=True)
        import_module(command.module).add_arguments(parser)
        options = tuple(_options(parser))
        yield CommandWords(command.name, command.help, options, _arguments(command.name, parser))


def _options(parser: argparse.ArgumentParser) -> Iterator[OptionWords]:
    for action in parser._actions:
        name = next((one for one in action.option_strings if one.startswith("--")), None)
        if name is not None:
            words = tuple(str(one) for one in action.choices or ())
            yield OptionWords(name, (action.help or "").replace("%%", "%"), action.nargs != 0, words)


def _arguments(command: str, parser: argparse.ArgumentParser) -> tuple[str, ...]:
    match command:
        case "explain":
            from memlint.rules.base import all_rules

            return tuple(rule.name for rule in all_rules())
        case "devices":
            from memlint.device.profile import builtin_names

            return tuple(builtin_names())
        case _:
            return tuple(
                str(one)
                for action in parser._actions
                if not action.option_strings
                for one in action.choices or ()
            )
