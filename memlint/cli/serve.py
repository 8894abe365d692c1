"""`memlint serve`: the language server."""

from __future__ import annotations

import argparse


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint serve`."""
    parser.add_argument("--stdio", action="store_true", help="speak over standard input and output (always)")
    parser.add_argument("--clientProcessId", metavar="N", type=int, help="end when this process does")


def run(args: argparse.Namespace) -> int:
    """Serves until the client says goodbye."""
    from memlint.server.main import run as serve

    return serve(args)
