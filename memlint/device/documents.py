"""Profile files: finding them by name or path, reading them, laying one over another."""

from __future__ import annotations

import difflib
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path as FilePath
from pathlib import PurePath
from typing import Any

from memlint.device.checks import agreement_mistakes, repeated_names
from memlint.device.errors import Problem, ProfileError
from memlint.device.lines import line_map
from memlint.device.merge import Table, member_facts, merge, select_member, stated_keys
from memlint.device.places import Layer, problems
from memlint.device.toml_text import parse_toml
from memlint.text.files import read_file

BUILTINS = FilePath(__file__).parent / "profiles"
_PATH = re.compile(r"(?P<path>.+\.toml)(?:/(?P<member>.+))?", re.DOTALL)


@dataclass(frozen=True, slots=True)
class Document:
    """A finished profile: its files (own first) and their merged tables.

    `documented_as` tells the facts that sources document under another key, or under none ("").
    """

    layers: tuple[Layer, ...]
    data: Table
    documented_as: Mapping[str, str] = field(default_factory=dict)
    family: str = ""


@dataclass(frozen=True, slots=True)
class Asker:
    """Who named a profile: the file and line of an `extend`, or nobody."""

    file: str = ""
    line: int | None = None
    key: str = ""

    def refuse(self, message: str, remedy: str) -> ProfileError:
        """An error at the place where the profile was named."""
        return ProfileError(Problem(self.file, self.line, self.key, message, remedy))


NOBODY = Asker()
HERE = PurePath()
Load = Callable[[FilePath], bytes]


def builtin_names() -> tuple[str, ...]:
    """Names of the built-in profiles, sorted."""
    return tuple(sorted(file.stem for file in BUILTINS.glob("*.toml")))


def read_document(
    reference: str,
    base_dir: FilePath,
    *,
    shown_dir: PurePath = HERE,
    asker: Asker = NOBODY,
    above: tuple[FilePath, ...] = (),
    load: Load = read_file,
) -> Document:
    """The profile that `reference` names, validated, with what it extends merged in.

    `shown_dir` leads from where messages are read to `base_dir`; `above` are the files whose `extend`
    led here; `load` reads files that are not built in. Raises ProfileError.
    """
    file, shown, member, is_builtin = _locate(reference, base_dir, shown_dir, asker)
    if file in above:
        raise asker.refuse(f"{shown} extends itself, by way of this.", "Extend another profile here.")
    layer = _read_layer(file, shown, is_builtin, asker, FilePath.read_bytes if is_builtin else load)
    if repeated := list(repeated_names(layer.data)):
        raise problems(repeated, [layer], layer.data)
    document = _extended(layer, (*above, file), load)
    if not all(one.is_builtin for one in document.layers):
        _validate(document)
    return document if member is None else _member(document, member, asker)


def _locate(
    reference: str, base_dir: FilePath, shown_dir: PurePath, asker: Asker
) -> tuple[FilePath, str, str | None, bool]:
    if given := _PATH.fullmatch(reference):
        shown = (shown_dir / given["path"]).as_posix()
        return (base_dir / given["path"]).resolve(), shown, given["member"], False
    name, _, member = reference.partition("/")
    names = builtin_names()
    if name not in names:
        nearest = difflib.get_close_matches(name.lower(), names, n=len(names), cutoff=0.0)
        raise asker.refuse(
            f'There is no device profile "{reference}".',
            f"Built in, nearest first: {', '.join(nearest)}. Or give the path of a .toml file.",
        )
    return BUILTINS / f"{name}.toml", f"{name}.toml", member or None, True


def _read_layer(file: FilePath, shown: str, is_builtin: bool, asker: Asker, load: Load) -> Layer:
    try:
        raw = load(file)
    except OSError as failed:
        raise asker.refuse(
            f"The device profile {shown} cannot be read: {failed.strerror or failed}.",
            "Correct the path, or name a built-in profile.",
        ) from failed
    text, data = parse_toml(raw, shown)
    return Layer(file, shown, text, data, is_builtin)


def _extended(layer: Layer, above: tuple[FilePath, ...], load: Load) -> Document:
    path, base_name = _extend(layer.data)
    if base_name is None:
        return Document((layer,), layer.data)
    line = line_map(layer.text).get(path)
    base = read_document(
        base_name,
        layer.file.parent,
        shown_dir=PurePath(layer.shown).parent,
        asker=Asker(layer.shown, line, ".".join(path)),
        above=above,
        load=load,
    )
    own = _without_extend(layer.data)
    # Whoever names sources of their own has replaced the list and speaks for every fact again.
    changed = dict.fromkeys(stated_keys(own), "")
    documented_as = {} if "source" in own else {**base.documented_as, **changed}
    return Document((layer, *base.layers), merge(base.data, own), documented_as)


def _extend(data: Table) -> tuple[tuple[str, ...], str | None]:
    """Where `extend` stands, at the top or under [device], and what it says; the models judge its kind."""
    device = data.get("device")
    inner: Any = device.get("extend") if isinstance(device, dict) else None
    if isinstance(data.get("extend"), str):
        return ("extend",), data["extend"]
    return ("device", "extend"), inner if isinstance(inner, str) else None


def _without_extend(data: Table) -> Table:
    own = {key: value for key, value in data.items() if key != "extend"}
    if isinstance(own.get("device"), dict):
        own["device"] = {key: value for key, value in own["device"].items() if key != "extend"}
    return own


def _validate(document: Document) -> None:
    # Imported here: built-in profiles are validated by the test suite, and only a user's own file
    # should pay for loading the models.
    from memlint.device.profile_validation import structure_mistakes

    mistakes = structure_mistakes(document.data) or list(agreement_mistakes(document.data))
    if mistakes:
        raise problems(mistakes, document.layers, document.data)


def _member(document: Document, name: str, asker: Asker) -> Document:
    members = {member["name"]: member for member in document.data.get("member", [])}
    family = document.data["device"]["name"]
    if name not in members:
        nearest = difflib.get_close_matches(name, members, n=max(1, len(members)), cutoff=0.0)
        listed = f"Its members, nearest first: {', '.join(nearest)}." if members else "It lists no members."
        raise asker.refuse(f'The family {family} has no member "{name}".', listed)
    before = document.documented_as
    facts = {key: before.get(own_key, own_key) for key, own_key in member_facts(members[name])}
    return Document(document.layers, select_member(document.data, members[name]), {**before, **facts}, family)
