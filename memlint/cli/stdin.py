"""A source on standard input, in the place of the file whose name is given."""

from __future__ import annotations

import argparse
import os
import sys
from pathlib import Path

from memlint.cli import common
from memlint.engine import Engine
from memlint.engine.config import find_config
from memlint.engine.files import VERILOG, VHDL, relative
from memlint.engine.settings import ProjectError
from memlint.text.source import decode


def is_meant(args: argparse.Namespace) -> bool:
    """Whether the paths ask for standard input. Raises ProjectError where the rest does not go with that."""
    if "-" not in args.paths:
        if args.stdin_name is not None:
            raise ProjectError("--stdin-name: the name of what PATH `-` reads. Give `-` as the PATH.")
        return False
    if len(args.paths) > 1:
        raise ProjectError("PATH `-` stands alone: standard input is one file. Leave the others out.")
    endings = (*VERILOG, *VHDL)
    if args.stdin_name is None or not args.stdin_name.endswith(endings):
        raise ProjectError(
            f"PATH `-` needs --stdin-name NAME, with the ending of its language: {', '.join(endings)}."
        )
    return True


def opened(args: argparse.Namespace) -> Engine:
    """The project that the named file belongs to, its text taken from standard input.

    Without memlint.toml the file is the project.
    """
    text = decode(sys.stdin.buffer.read())
    name = Path(args.stdin_name)
    found = args.config or find_config(name.parent)
    args = argparse.Namespace(**{**vars(args), "config": None if found is None else str(found)})
    engine = common.opened(args)
    root = engine.settings.root if found else os.getcwd()
    file = relative(name, Path(root))
    return Engine(engine.settings, {file: text}, [file])
