"""What is said on the standard streams."""

from __future__ import annotations

import sys
from contextlib import contextmanager

from memlint.cli.recording import STANDARD_ERROR, note_said

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Iterator


class OutputLost(Exception):
    """Standard output takes nothing more, for the reason in its text; a reader that left is no such case."""


@contextmanager
def telling_loss() -> Iterator[None]:
    """Turns what goes wrong in writing to standard output into OutputLost."""
    try:
        yield
    except BrokenPipeError:
        raise
    except OSError as failed:
        raise OutputLost(failed.strerror or str(failed)) from failed


def say(text: str) -> None:
    """Write to standard output, at once. Raises OutputLost."""
    with telling_loss():
        print(text, end="", flush=True)


def complain(text: str) -> None:
    """Say something, each line of it as ours."""
    for line in text.splitlines():
        said = f"memlint: {line}"
        print(said, file=sys.stderr)
        note_said(STANDARD_ERROR, said)
