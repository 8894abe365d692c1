"""The disk as the editor sees it: what it has open and not saved counts, for configuration too."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from memlint.engine.trees import Disk


class EditorTree(Disk):
    """The files on the disk, but for those that the editor has open: `texts` has them by path."""

    def __init__(self, root: Path) -> None:
        super().__init__(root)
        self.texts: Mapping[Path, str] = {}

    def load(self, file: str | Path) -> bytes:
        """The bytes of a file; raises OSError where it cannot be read."""
        text = self.texts.get(self.root / file)
        return super().load(file) if text is None else text.encode(errors="surrogatepass")
