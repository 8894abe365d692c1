"""What a run says and reads, noted while it runs, where the cache may answer the next one like it."""

from __future__ import annotations

from contextvars import ContextVar

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

    from memlint.engine.cache.outcome import Said
    from memlint.engine.cache.witness import Witness
    from memlint.engine.trees import Tree

STANDARD_OUTPUT = ""
STANDARD_ERROR = "!"


class Recording:
    """`said` are the texts in order, `witness` what was read."""

    def __init__(self) -> None:
        from memlint.engine.cache.witness import Witness

        self.said: list[Said] = []
        self.witness: Witness = Witness()


RECORDING: ContextVar[Recording | None] = ContextVar("RECORDING", default=None)


def note_said(where: str, text: str) -> None:
    """Note a text that was written to standard output, standard error or a file."""
    recording = RECORDING.get()
    if recording is not None:
        recording.said.append((where, text))


def witness() -> Witness | None:
    """The witness of this run, None where nothing is noted."""
    recording = RECORDING.get()
    return recording.witness if recording is not None else None


def disk(root: Path) -> Tree:
    """The disk as this run is to see it."""
    from memlint.engine.trees import Disk

    seen = witness()
    if seen is None:
        return Disk(root)
    from memlint.engine.cache.witnessed import WitnessedDisk

    return WitnessedDisk(root, seen)


def environment() -> Mapping[str, str]:
    """The environment as this run is to see it."""
    import os

    seen = witness()
    if seen is None:
        return os.environ
    from memlint.engine.cache.witnessed import WitnessedEnvironment

    return WitnessedEnvironment(seen)
