"""Device profiles for everyone else: load one by name, list them, publish their schema."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from memlint.device.convert import to_device
from memlint.device.documents import builtin_names, read_document
from memlint.device.errors import Problem, ProfileError
from memlint.device.facts import Device
from memlint.text.files import read_file

__all__ = ["Problem", "ProfileError", "builtin_names", "load_profile", "schema", "starter"]

_STARTER = Path(__file__).parent / "starter.toml"


def load_profile(
    name_or_path: str, base_dir: Path | str = ".", load: Callable[[Path], bytes] = read_file
) -> Device:
    """The device that memlint.toml's `device` names.

    `name_or_path` is a built-in profile (`sorter-m`), a member of a family (`sorter-m/sorter-l`), the path
    of a .toml file, relative to `base_dir`, or such a path followed by `/member`. `load` gives the bytes of
    a file that is not built in, or raises OSError. Every fact the profile leaves out is None. Raises
    ProfileError with every mistake found.
    """
    document = read_document(name_or_path, Path(base_dir), load=load)
    return to_device(
        document.data,
        family=document.family,
        files=tuple(str(layer.file) for layer in document.layers),
        documented_as=document.documented_as,
    )


def schema() -> dict[str, Any]:
    """The JSON Schema of a profile file."""
    from memlint.device.profile_models import json_schema

    return json_schema()


def starter() -> str:
    """A commented profile that loads as it is: where to begin one's own."""
    return _STARTER.read_text(encoding="utf-8")
