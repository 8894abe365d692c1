"""Which findings a change brought and which it took away.

A finding is known by its rule and the memory it is about, whatever line that stands on now; about a place
in the hierarchy or the device as a whole, by the tier too; about text alone, by its file and message.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from memlint.engine.differences.matching import Matching
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Finding

_OF_THE_DEVICE = frozenset(("columns-do-not-fit",))
"""One finding for a whole tier, whichever memories it names."""

_LINE = re.compile(r"\bline [0-9]+")
Key = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Difference:
    """Findings of the new side that the old one has not, or only less severe, and of the old side that the
    new one has not; each in its order and with those of its paths alone for which it holds."""

    new: tuple[Finding, ...]
    gone: tuple[Finding, ...]


@dataclass(slots=True, eq=False)
class _Saying:
    """A finding for some of its paths; `answer` is the same on the other side."""

    finding: Finding
    paths: tuple[str, ...]
    key: Key
    answer: _Saying | None = None


def difference(old: Judgement, new: Judgement, matching: Matching) -> Difference:
    """New and gone findings; the paths of the old side are those that the new one has for them."""
    before = list(_sayings(old, matching.path_now))
    after = list(_sayings(new, str))
    _answer(before, after, lambda one: one.key)
    # A file of another name says the same: only where the old one is no more.
    moved = [one for one in before if not one.paths and one.finding.span.file not in new.sources]
    _answer(moved, [one for one in after if not one.paths], lambda one: one.key[2:])
    worse = [one for one in after if one.answer is None or one.answer.finding.severity < one.finding.severity]
    return Difference(
        tuple(_findings(new.findings, worse)),
        tuple(_findings(old.findings, [one for one in before if one.answer is None])),
    )


def _sayings(judgement: Judgement, path_now: Callable[[str], str]) -> Iterable[_Saying]:
    memories = {view.memory.path for view in judgement.memories}
    for finding in judgement.findings:
        tier = str(dict(finding.numbers).get("tier", ""))
        if not finding.paths:
            message = _LINE.sub("line", finding.message)
            yield _Saying(finding, (), (finding.rule, finding.span.file, finding.rule, message))
        elif finding.rule in _OF_THE_DEVICE:
            yield _Saying(finding, finding.paths, (finding.rule, tier))
        else:
            for path in finding.paths:
                about = "" if path in memories else tier
                yield _Saying(finding, (path,), (finding.rule, path_now(path), about))


def _answer(before: Sequence[_Saying], after: Sequence[_Saying], key_of: Callable[[_Saying], Key]) -> None:
    """Pairs what both sides say, the most severe with the most severe."""
    waiting: dict[Key, list[_Saying]] = {}
    for one in sorted(before, key=lambda one: one.finding.severity):
        if one.answer is None:
            waiting.setdefault(key_of(one), []).append(one)
    for one in sorted(after, key=lambda one: -one.finding.severity):
        known = waiting.get(key_of(one))
        if one.answer is None and known:
            other = known.pop()
            one.answer, other.answer = other, one


def _findings(every: Iterable[Finding], said: Iterable[_Saying]) -> Iterable[Finding]:
    paths: dict[int, list[str]] = {}
    for one in said:
        paths.setdefault(id(one.finding), []).extend(one.paths)
    for finding in every:
        if id(finding) in paths:
            left = tuple(paths[id(finding)])
            yield finding if left == finding.paths else replace(finding, paths=left)
