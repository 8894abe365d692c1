"""What a project without memlint could begin with: a memlint.toml, and intents for the memories it has."""

from __future__ import annotations

import os
import posixpath
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from memlint.engine.edits import line_above
from memlint.engine.engine import Engine
from memlint.engine.files import files_below, relative
from memlint.engine.fixing import apply_edits
from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings
from memlint.reading.file_lists import read_file_list
from memlint.rules.base import SMALL_BITS
from memlint.rules.drafts import comment, draft
from memlint.rules.finding import Edit
from memlint.rules.view import MemoryView
from memlint.text.source import Span, decode

_MOST_ROUNDS = 5
_HARMFUL = frozenset(("intent-syntax", "intent-unattached", "intent-repeats-clause"))
_MOST_NAMED = 3


@dataclass(frozen=True, slots=True)
class Proposal:
    """What a memlint.toml could say. `tops` are units with ports that nobody instantiates, `benches` those
    without; `not_found` are included files that lie nowhere in the project."""

    file_lists: tuple[str, ...]
    sources: tuple[str, ...]
    include_dirs: tuple[str, ...]
    tops: tuple[str, ...]
    benches: tuple[str, ...]
    not_found: tuple[str, ...]


def propose(root: Path) -> Proposal:
    """Look at the files below a folder; what they say decides, not how they are called."""
    file_lists, listed = _file_lists(root)
    sources = _patterns(name for name in files_below(root, root) if name not in listed)
    settings = Settings(root=str(root), sources=sources, file_lists=file_lists)
    engine, judgement = _judged(settings)
    # Each round finds what the headers of the one before include.
    for _ in range(_MOST_ROUNDS):
        found = {folder for name in judgement.missing_includes for folder in _folders_of(name, root)}
        if found <= {*settings.include_dirs}:
            break
        settings = replace(settings, include_dirs=tuple(sorted({*settings.include_dirs, *found})))
        engine, judgement = _judged(settings)
    has_ports = {unit.name: bool(unit.ports) for file in engine.facts() for unit in file.units}
    tops = tuple(sorted(one for one in judgement.roots if has_ports.get(one, True)))
    benches = tuple(sorted({*judgement.roots} - {*tops}))
    return Proposal(file_lists, sources, settings.include_dirs, tops, benches, judgement.missing_includes)


def _judged(settings: Settings) -> tuple[Engine, Judgement]:
    engine = Engine(settings)
    return engine, engine.judge()


def _file_lists(root: Path) -> tuple[tuple[str, ...], frozenset[str]]:
    """The lists that name sources, all of them there, and are named by no other list; and those sources."""

    def text_of(name: str) -> str | None:
        try:
            return decode((root / name).read_bytes())
        except OSError:
            return None

    names = sorted(relative(path, root) for path in root.rglob("*.f") if path.is_file())
    lists = {
        name: read_file_list(name, text_of, os.environ, lambda one: (root / one).is_file()) for name in names
    }
    usable = [name for name in names if lists[name].files and not lists[name].problems]
    named = {
        other
        for name in usable
        for other in names
        if other != name
        and re.search(rf"-[fF]\s+\S*{re.escape(posixpath.basename(other))}", text_of(name) or "")
    }
    kept = tuple(name for name in usable if name not in named)
    return kept, frozenset(one.text for name in kept for one in lists[name].files)


def _patterns(files: Iterable[str]) -> tuple[str, ...]:
    """A glob for each kind of source in each folder at the top."""
    found = set()
    for name in files:
        first, slash, _ = name.partition("/")
        ending = posixpath.splitext(name)[1]
        found.add(f"{first}/**/*{ending}" if slash else f"*{ending}")
    return tuple(sorted(found))


def _folders_of(include: str, root: Path) -> list[str]:
    """The folders below the root from which an include of that name is found; the only one, or none."""
    folders = []
    for path in sorted(root.rglob(posixpath.basename(include))):
        name = relative(path, root)
        if path.is_file() and f"/{name}".endswith(f"/{include}"):
            folders.append(name[: -len(include)].rstrip("/") or ".")
    return folders if len(folders) == 1 else []


def draft_intents(judgement: Judgement, judge: Callable[[Mapping[str, str]], Judgement]) -> dict[str, str]:
    """New texts by file, in which each declaration of memories without an intent has one.

    Where the instances of a declaration differ, the clauses they differ in are left out. `judge` judges
    the project with some texts replaced: a draft that does not reach its memory is taken back.
    """
    drafts = dict(_drafted(judgement))
    known = {(one.rule, one.message) for one in judgement.findings}
    # A draft taken back may be what another one hung on.
    while drafts:
        texts = _edited(drafts.values(), judgement)
        tried = judge(texts)
        lost = _unreached(drafts, judgement, tried)
        if not lost:
            harmed = {
                one.span.file
                for one in tried.findings
                if one.rule in _HARMFUL and (one.rule, one.message) not in known
            }
            return {file: text for file, text in texts.items() if file not in harmed}
        drafts = {span: edit for span, edit in drafts.items() if span not in lost}
    return {}


def left_out(judgement: Judgement) -> Iterable[tuple[Span, str]]:
    """Declarations that get no draft because some of their instances have an intent, and what to say of it.

    A comment at the declaration would speak for those too.
    """
    for statement, views in _declared(judgement).items():
        bare = [view for view in views if not view.has_intent]
        if not bare or len(bare) == len(views) or not any(map(_is_worth_it, bare)):
            continue
        paths = [view.memory.path for view in bare]
        shown = ", ".join(paths[:_MOST_NAMED])
        more = f" and {len(paths) - _MOST_NAMED} more" if len(paths) > _MOST_NAMED else ""
        stated = len(views) - len(bare)
        yield (
            statement,
            f"no draft for `{views[0].memory.name}` of `{views[0].memory.unit}`: "
            f"{stated} of its {len(views)} instances {'has' if stated == 1 else 'have'} an intent already. "
            f"Without one: {shown}{more}. Write theirs at the instances.",
        )


def _unreached(drafts: Mapping[Span, Edit], before: Judgement, after: Judgement) -> set[Span]:
    """The declarations whose memories have no intent in spite of their draft."""
    has_intent = {view.memory.path: view.has_intent for view in after.memories}
    return {
        view.memory.statement
        for view in before.memories
        if view.memory.statement in drafts and not has_intent.get(view.memory.path, False)
    }


def _drafted(judgement: Judgement) -> Iterable[tuple[Span, Edit]]:
    for statement, views in _declared(judgement).items():
        source = judgement.sources.get(statement.file)
        if source is None or any(view.has_intent for view in views) or not any(map(_is_worth_it, views)):
            continue
        clauses = draft(views)
        written = comment(views[0].memory.language, clauses)
        edit = line_above(source, statement.start, written) if clauses else None
        if edit is not None:
            yield statement, edit


def _declared(judgement: Judgement) -> dict[Span, list[MemoryView]]:
    groups: dict[Span, list[MemoryView]] = {}
    for view in judgement.memories:
        if not view.memory.planned:
            groups.setdefault(view.memory.statement, []).append(view)
    return groups


def _is_worth_it(view: MemoryView) -> bool:
    bits = view.memory.bits
    return bits is None or bits >= SMALL_BITS


def _edited(edits: Iterable[Edit], judgement: Judgement) -> dict[str, str]:
    by_file: dict[str, list[Edit]] = {}
    for edit in edits:
        by_file.setdefault(edit.span.file, []).append(edit)
    return {file: apply_edits(judgement.sources[file].text, found) for file, found in by_file.items()}
