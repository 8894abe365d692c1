"""`memlint serve`: the language server on standard input and output, from start to exit."""

from __future__ import annotations

import argparse
import sys


def run(args: argparse.Namespace) -> int:
    """Serves one editor. `args` holds `stdio` and `clientProcessId` (a number, or None).

    Returns 0 after `shutdown` and `exit`, 1 when the editor left without, 130 after an interrupt, 143
    after a request to terminate, 2 where there are no standard streams to serve on.
    """
    if sys.stdin is None or sys.stdout is None or sys.stderr is None:
        return 2
    if sys.stdin.isatty():
        print("memlint: this speaks to an editor, on standard input and output", file=sys.stderr)
    # Imported here: the protocol's types take a fifth of a second, and no other command needs them.
    from memlint.server.lifecycle import serve

    return serve(args.clientProcessId)
