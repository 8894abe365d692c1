"""Which findings a run is about: those of its paths, not in the baseline, brought since a revision."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path

from memlint.cli import common
from memlint.cli.messages import complain
from memlint.cli.recording import disk
from memlint.engine import Engine
from memlint.engine.baseline import Entry, read_baseline, sift
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Finding

_MOST_STALE = 5


@dataclass(frozen=True, slots=True)
class Selection:
    """`brought` gives the new findings of a judgement, None where all are asked for; `is_asked_otherwise`
    when the run is about another device or top than the project's own."""

    in_paths: Callable[[str], bool]
    known: frozenset[Entry]
    brought: Callable[[Judgement], tuple[Finding, ...]] | None
    is_asked_otherwise: bool

    def findings(self, judgement: Judgement) -> list[Finding]:
        """The findings to show, in their order."""
        return [one for one in sift(judgement, self._new(judgement), self.known).findings if self._here(one)]

    def known_count(self, judgement: Judgement) -> int:
        """How many findings the baseline leaves out."""
        shown = [one for one in self._new(judgement) if self._here(one)]
        return sift(judgement, shown, self.known).known

    def fixable(self, judgement: Judgement) -> Callable[[Finding], bool]:
        """Whether a finding is to be fixed, also once other fixes have moved it."""
        new = {(one.rule, path) for one in self._new(judgement) for path in (one.paths or (one.message,))}

        def decide(finding: Finding) -> bool:
            if not self._here(finding) or sift(judgement, [finding], self.known).known:
                return False
            if not any((finding.rule, path) in new for path in (finding.paths or (finding.message,))):
                return False
            # On another device, or below another top, an acceptance may only seem unused.
            return finding.rule != "acceptance-unused" or not self.is_asked_otherwise

        return decide

    def complain_of_stale(self, judgement: Judgement, file: str) -> None:
        """Say which entries of the baseline match nothing in the whole project."""
        stale = sift(judgement, judgement.findings, self.known).stale
        if not stale:
            return
        shown = "; ".join(" ".join(part for part in entry if part) for entry in stale[:_MOST_STALE])
        more = f"; and {len(stale) - _MOST_STALE} more" if len(stale) > _MOST_STALE else ""
        count = "1 entry finds" if len(stale) == 1 else f"{len(stale)} entries find"
        complain(f"{file}: {count} nothing any more: {shown}{more}. Write it again with --write-baseline.")

    def _here(self, finding: Finding) -> bool:
        return self.in_paths(finding.span.file)

    def _new(self, judgement: Judgement) -> Iterable[Finding]:
        return judgement.findings if self.brought is None else self.brought(judgement)


def selection(args: argparse.Namespace, engine: Engine) -> Selection:
    """What the arguments ask for. Raises ProjectError for a baseline or revision that cannot be read."""
    brought = None
    if args.since is not None:
        # Imported here: a plain check needs no revisions.
        from memlint.cli.since import since

        brought = since(args, engine)
    return Selection(
        common.is_shown(engine, [args.stdin_name] if "-" in args.paths else args.paths),
        read_baseline(Path(args.baseline), disk(Path()).load) if args.baseline else frozenset(),
        brought,
        bool(args.device or args.top),
    )
