"""The disk and the environment, with a witness to everything that is asked of them."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from pathlib import Path

from memlint.engine.cache.witness import Witness
from memlint.engine.trees import Disk


class WitnessedDisk(Disk):
    """As `Disk`."""

    def __init__(self, root: Path, witness: Witness) -> None:
        super().__init__(root)
        self._witness = witness

    def load(self, file: str | Path) -> bytes:
        path = self._absolute(file)
        self._witness.kind(path)
        data = super().load(file)
        self._witness.bytes_of(path, data)
        return data

    def stamp(self, file: str) -> object | None:
        self._witness.kind(self._absolute(file))
        return super().stamp(file)

    def is_file(self, file: str | Path) -> bool:
        self._witness.kind(self._absolute(file))
        return super().is_file(file)

    def is_folder(self, file: str | Path) -> bool:
        self._witness.kind(self._absolute(file))
        return super().is_folder(file)

    def names(self, folder: str) -> list[str]:
        self._witness.folder(self._absolute(folder))
        return super().names(folder)

    def own_folders(self, folder: str) -> list[str]:
        self._witness.folder(self._absolute(folder))
        return super().own_folders(folder)

    def _absolute(self, file: str | Path) -> str:
        return os.path.abspath(self.root / file)


class WitnessedEnvironment(Mapping[str, str]):
    """The environment, each variable that is asked for noted."""

    def __init__(self, witness: Witness) -> None:
        self._witness = witness

    def __getitem__(self, name: str) -> str:
        self._witness.variable(name)
        return os.environ[name]

    def __iter__(self) -> Iterator[str]:
        raise TypeError("the environment is asked by name")

    def __len__(self) -> int:
        raise TypeError("the environment is asked by name")
