"""The two states of a project that are compared: each judged with the settings it has itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path

from memlint.design.design import Design
from memlint.device.errors import ProfileError
from memlint.engine.config import find_config, load_settings, shown_path
from memlint.engine.engine import Engine
from memlint.engine.judgement import Judgement
from memlint.engine.revision import Revision, open_revision
from memlint.engine.settings import ProjectError, Settings, UnknownTopError
from memlint.reading.facts.items import FileFacts

WORKING_TREE = "working tree"
_MOST_FILES = 3


@dataclass(frozen=True, slots=True)
class Side:
    """One state of a project. `name` is what the user calls it, `commit` its full hash, empty for the
    working tree. `notes` are sentences on what a reader of the comparison must know of it."""

    name: str
    judgement: Judgement
    settings: Settings
    commit: str = ""
    notes: tuple[str, ...] = ()
    design: Design | None = field(default=None, repr=False)
    facts: tuple[FileFacts, ...] = field(default=(), repr=False)


def working_side(engine: Engine) -> Side:
    """The project as it is now, unsaved texts included."""
    judgement = engine.judge()
    design, facts = engine.elaborated
    return Side(WORKING_TREE, judgement, engine.settings, design=design, facts=facts)


def revision_side(
    root: Path,
    name: str,
    *,
    config: Path | None = None,
    overrides: Mapping[str, object] | None = None,
    instead: Engine | None = None,
) -> tuple[Side, Engine]:
    """The project in `root` as a git revision has it, and the engine that judged it.

    `config` is the memlint.toml to read; without one the nearest above `root`. Where the revision has none,
    `instead`, the other side, lends its settings and device; its extra files belong to this side too.
    `overrides` replace settings by name. Raises ProjectError, which names the revision.
    """
    with open_revision(root, name) as tree:
        try:
            return _side(tree, config, overrides or {}, instead)
        except (ProjectError, ProfileError) as wrong:
            raise ProjectError("\n".join(f"{name}: {line}" for line in str(wrong).splitlines())) from wrong


def _side(
    tree: Revision, config: Path | None, overrides: Mapping[str, object], instead: Engine | None
) -> tuple[Side, Engine]:
    if config is not None and instead is None and not tree.is_file(config):
        raise ProjectError(f"{shown_path(config)}: the revision has no such file. Correct the path.")
    found = config if config is not None and tree.is_file(config) else find_config(tree.root, tree.is_file)
    notes: list[str] = []
    device = None
    if found is None and instead is not None:
        settings = instead.settings
        if settings.file:
            device = instead.device
            notes.append(f"{tree.name} has no {settings.file}: read with the settings of the other side")
    else:
        settings = replace(load_settings(found, tree.root, tree.load), **overrides)  # type: ignore[arg-type]
    extra = instead.extra if instead is not None else ()
    engine = Engine(settings, files=extra, device=device, tree=tree)
    judgement, top_note = _judged(engine, tree.name)
    notes += [*top_note, *_from_disk(tree)]
    design, facts = engine.elaborated if not top_note else (None, ())
    return Side(tree.name, judgement, settings, tree.commit, tuple(notes), design, facts), engine


def _judged(engine: Engine, name: str) -> tuple[Judgement, list[str]]:
    """The judgement; an empty one, and a note, where the top is not there yet, or no longer."""
    try:
        return engine.judge(), []
    except UnknownTopError:
        tops = ", ".join(f"`{top}`" for top in engine.settings.top)
        nothing = Judgement(engine.device, (), (), (), (), (), (), (), {})
        return nothing, [f"{name} has no unit {tops} for a top: nothing of it is compared"]


def _from_disk(tree: Revision) -> Iterator[str]:
    files = sorted(tree.from_disk)
    if files:
        more = f" and {len(files) - _MOST_FILES} more" if len(files) > _MOST_FILES else ""
        listed = ", ".join(files[:_MOST_FILES]) + more
        yield f"git does not keep {listed}: read for {tree.name} as on the disk"
