"""Where the registry packages that carry open-source cores keep their HDL, without importing them."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

import pytest


def folder(package: str) -> Path:
    """The folder of an installed package; skips the test, naming the package, where it is missing."""
    spec = find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        pytest.skip(f"{package} is not installed: pip install '.[test]'")
    return Path(next(iter(spec.submodule_search_locations)))


def sources(package: str, *patterns: str) -> list[Path]:
    """Files of a package by glob, each pattern's sorted, in the order of the patterns."""
    base = folder(package)
    found: list[Path] = []
    for pattern in patterns:
        matching = sorted(base.glob(pattern))
        assert matching, f"{package} has no {pattern}"
        found.extend(one for one in matching if one not in found)
    return found
