"""A part of what `tests/fuzz/run.py` does, the same part each time: nothing that a user writes may raise."""

from __future__ import annotations

from pathlib import Path

import pytest
from inputs import Case, case, seeds
from run import edited
from trying import tried

INPUTS = 1500
"""About ten seconds of them."""


@pytest.mark.parametrize("part", range(10))
def test_changed_samples_never_raise(part: int) -> None:
    for number in range(part * INPUTS // 10, (part + 1) * INPUTS // 10):
        tried(case(7, number))


def test_every_tenth_edit_of_some_samples_never_raises() -> None:
    for number, one in enumerate(edited(60)):
        if number % 10 == 0:
            tried(one)


def test_the_same_seed_gives_the_same_inputs() -> None:
    assert [case(7, number) for number in range(50)] == [case(7, number) for number in range(50)]
    assert case(7, 0) != case(8, 0)


def test_every_kind_of_file_has_seeds() -> None:
    assert {one.kind for one in seeds()} == {"sv", "vhd", "intent", "toml", "profile", "list"}


KEPT = sorted((Path(__file__).parent / "found").glob("*.*"))


@pytest.mark.parametrize("file", KEPT, ids=lambda file: file.name)
def test_inputs_that_once_failed(file: Path) -> None:
    tried(Case(file.suffix[1:], file.read_bytes().decode("utf-8", "replace")))
