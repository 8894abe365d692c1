"""After any edits the server says what an analysis from nothing says.

`python tests/benchmarks/server_edits.py` does the same with 20,000 edits of the demo project.
"""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest
from belt_design import write_design
from random_edits import Edits
from raw_server import serving

BURSTS, EDITS = 12, 15


@pytest.mark.parametrize("seed", [1, 2])
def test_incremental_equals_scratch(belt: Path, tmp_path_factory: pytest.TempPathFactory, seed: int) -> None:
    write_design(belt)
    copy = tmp_path_factory.mktemp("copy")
    shutil.copytree(belt, copy, dirs_exist_ok=True)
    with serving() as server:
        edits = Edits(server, belt / "memlint.toml", random.Random(seed))
        edits.begin(sorted((belt / "rtl").iterdir()))
        for _ in range(BURSTS):
            for _ in range(EDITS):
                edits.edit()
            assert not list(edits.differences())
        assert edits.judged == BURSTS
        assert not list(edits.differences_from_a_process(copy))
