"""The cache in front of the commands: the same run again is answered without running it."""

from __future__ import annotations

import os
import sys

from memlint import __version__
from memlint.cli.messages import say
from memlint.cli.recording import RECORDING, STANDARD_ERROR, STANDARD_OUTPUT, Recording
from memlint.engine.cache.outcome import Said, fingerprint, keep, recall
from memlint.engine.cache.packing import pack
from memlint.engine.cache.store import Store, user_folder

TYPE_CHECKING = False
if TYPE_CHECKING:
    import argparse
    from collections.abc import Callable

_AS_UTF_8 = "="
"""Stands among what was said where standard output was put to UTF-8."""

_FOLDER = "--cache-dir"
_NO_CACHE = "--no-cache"
_PACKAGE = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
_WITHOUT = ("no_cache", "fix", "diff", "since", "write_baseline", "allow_missing", "schema", "stdin_name")
"""Arguments of runs that are not kept: they write sources, read git, or ask for the terminal's input."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares where the cache is."""
    parser.add_argument(
        _FOLDER, metavar="DIR", help="keep outcomes in this folder instead of the user's folder for caches"
    )
    parser.add_argument(_NO_CACHE, action="store_true", help="neither use nor keep outcomes of earlier runs")


def key_of(given: list[str]) -> bytes:
    """Everything that decides about a run and that no file holds."""
    terminal = sys.stdout.isatty()
    facts = [
        __version__,
        sys.version,
        os.getcwd(),
        sys.stdout.encoding or "",
        str(_columns()) if terminal else "",
        os.environ.get("NO_COLOR", "") if terminal else "",
        os.environ.get("TERM", "") if terminal else "",
    ]
    parts = [os.fsencode(one) for one in (*facts, *given)]
    return pack([fingerprint(_PACKAGE, os.path.join(os.path.dirname(_PACKAGE), "grammar")), _lark(), *parts])


def answer(key: bytes, given: list[str]) -> int | None:
    """Say again what the same run said, and return its exit code; None where it has to run."""
    if _NO_CACHE in given:
        return None
    store = _store(_folder_in(given))
    outcome = recall(store, key) if store is not None else None
    if outcome is None:
        return None
    code, said = outcome
    try:
        _write_files(said, given)
    except (OSError, ValueError):
        # The run itself says what is wrong with the file.
        return None
    for where, text in said:
        if where == _AS_UTF_8:
            if hasattr(sys.stdout, "reconfigure"):
                sys.stdout.reconfigure(encoding="utf-8", newline="\n")
        elif where == STANDARD_OUTPUT:
            say(text)
        elif where == STANDARD_ERROR:
            print(text, file=sys.stderr)
    return code


def recorded(key: bytes, args: argparse.Namespace, run: Callable[[], int]) -> int:
    """Run a command and keep its outcome, if it is one that can be kept."""
    store = _store(getattr(args, "cache_dir", None)) if _may_be_kept(args) else None
    if store is None:
        return run()
    recording = Recording()
    if getattr(args, "format", "text") != "text":
        recording.said.append((_AS_UTF_8, ""))
    token = RECORDING.set(recording)
    try:
        code = run()
    finally:
        RECORDING.reset(token)
    if code in (0, 1):
        keep(store, key, recording.witness, code, recording.said)
    return code


def _may_be_kept(args: argparse.Namespace) -> bool:
    if any(getattr(args, name, None) for name in _WITHOUT):
        return False
    return "-" not in getattr(args, "paths", ())


def _store(folder: str | None) -> Store | None:
    chosen = folder or user_folder()
    return Store(chosen) if chosen is not None else None


def _folder_in(given: list[str]) -> str | None:
    """The folder that the arguments name, before they are parsed: that takes longer than the answer."""
    found = None
    for at, one in enumerate(given):
        if one == _FOLDER and at + 1 < len(given):
            found = given[at + 1]
        elif one.startswith(f"{_FOLDER}="):
            found = one[len(_FOLDER) + 1 :]
    return found


def _columns() -> int:
    try:
        return os.get_terminal_size(sys.stdout.fileno()).columns
    except (OSError, ValueError):
        return 0


def _lark() -> bytes:
    """Which lark there is, without importing it: it makes the parsers."""
    for folder in sys.path:
        try:
            status = os.stat(os.path.join(folder, "lark", "__init__.py"))
        except OSError:
            continue
        return b"%d %d" % (status.st_size, status.st_mtime_ns)
    return b""


def _write_files(said: list[Said], given: list[str]) -> None:
    """Write the reports that go to files, as `common.emit` does. Raises OSError, ValueError for no report."""
    for where, text in said:
        if where in (STANDARD_OUTPUT, STANDARD_ERROR, _AS_UTF_8):
            continue
        # An entry decides what is written, never where.
        if not any(one == where or one.endswith(f"={where}") for one in given):
            raise ValueError(where)
        with open(where, "w", encoding="utf-8", errors="replace", newline="\n") as file:
            file.write(text)
