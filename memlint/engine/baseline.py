"""Findings a project has agreed to live with for now, kept in a file so that only new ones speak.

A finding is known by its rule, the memory's path and shape (or, about no memory, by its message), so an
entry survives moved lines and goes stale when the memory changes.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from memlint.engine.judgement import Judgement
from memlint.engine.settings import ProjectError
from memlint.rules.finding import Finding
from memlint.rules.view import MemoryView
from memlint.text.files import read_file

_VERSION = 1
Entry = tuple[str, str, str]
_LINE = re.compile(r"\bline [0-9]+")


@dataclass(frozen=True, slots=True)
class Sifted:
    """Findings the baseline does not know, how many it knows, and its entries that match nothing now."""

    findings: tuple[Finding, ...]
    known: int
    stale: tuple[Entry, ...]


def entries_of(finding: Finding, views: Mapping[str, MemoryView]) -> list[Entry]:
    """(rule, path, shape) for each memory of a finding; one with the message when it names none."""
    if not finding.paths:
        return [(finding.rule, finding.span.file, _LINE.sub("line", finding.message))]
    return [(finding.rule, path, _shape(views.get(path))) for path in finding.paths]


def _shape(view: MemoryView | None) -> str:
    if view is None:
        return ""
    memory = view.memory
    shown = ("?" if size is None else str(size) for size in (memory.depth, memory.width, memory.banks))
    return " x ".join(shown)


def write_baseline(judgement: Judgement, findings: Iterable[Finding]) -> str:
    """The text of a baseline file that knows these findings."""
    views = {view.memory.path: view for view in judgement.memories}
    entries = sorted({entry for finding in findings for entry in entries_of(finding, views)})
    rows = [dict(zip(("rule", "where", "shape"), entry, strict=True)) for entry in entries]
    return json.dumps({"version": _VERSION, "findings": rows}, indent=2, ensure_ascii=False) + "\n"


def read_baseline(path: Path, load: Callable[[Path], bytes] = read_file) -> frozenset[Entry]:
    """The entries of a baseline file. Raises ProjectError naming the file and what to do."""
    remedy = f"Write it again: `memlint check --baseline {path} --write-baseline`."
    try:
        data = json.loads(load(path).decode("utf-8"))
    except FileNotFoundError:
        raise ProjectError(f"{path}: there is no such baseline. {remedy}") from None
    except (OSError, UnicodeDecodeError) as error:
        raise ProjectError(f"{path}: the baseline cannot be read: {error}. {remedy}") from None
    except RecursionError:
        raise ProjectError(f"{path}: not a baseline: it nests too deeply. {remedy}") from None
    except json.JSONDecodeError as error:
        raise ProjectError(f"{path}:{error.lineno}: not a baseline: {error.msg}. {remedy}") from None
    try:
        if data["version"] != _VERSION:
            version = data["version"]
            raise ProjectError(f"{path}: the baseline has version {version!r}, not {_VERSION}. {remedy}")
        return frozenset((one["rule"], one["where"], one["shape"]) for one in data["findings"])
    except (KeyError, TypeError):
        raise ProjectError(f"{path}: not a baseline: it lacks `version` or `findings`. {remedy}") from None


def sift(judgement: Judgement, findings: Iterable[Finding], known: frozenset[Entry]) -> Sifted:
    """What a baseline leaves of some findings; one stays while any of its memories is not known."""
    views = {view.memory.path: view for view in judgement.memories}
    left: list[Finding] = []
    used: set[Entry] = set()
    count = 0
    for finding in findings:
        entries = entries_of(finding, views)
        used.update(entry for entry in entries if entry in known)
        if all(entry in known for entry in entries):
            count += 1
        else:
            left.append(finding)
    return Sifted(tuple(left), count, tuple(sorted(known - used)))
