"""`memlint serve`: the language server."""

from __future__ import annotations

import argparse
from importlib import import_module


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint serve`."""
    parser.add_argument("--stdio", action="store_true", help="speak over standard input and output (always)")
    parser.add_argument("--clientProcessId", metavar="N", type=int, help="end when this process does")


def run(args: argparse.Namespace) -> int:
    """Serves until the client says goodbye."""
    # By its name, as every command is: the fronts do not depend on each other.
    code: int = import_module("memlint.server.main").run(args)
    return code
