"""`--since REV`: only the findings that the project did not have at a git revision."""

from __future__ import annotations

import argparse
from collections.abc import Callable
from pathlib import Path

from memlint.cli import common
from memlint.cli.messages import complain
from memlint.engine import Engine
from memlint.engine.brought import difference
from memlint.engine.judgement import Judgement
from memlint.engine.matching import match
from memlint.engine.sides import revision_side
from memlint.rules.finding import Finding


def since(args: argparse.Namespace, engine: Engine) -> Callable[[Judgement], tuple[Finding, ...]]:
    """What tells a judgement's new findings, each with the paths alone for which it is new.

    Raises ProjectError: no git, no repository, no such revision, or a project that cannot be read there.
    """
    settings = engine.settings
    config = Path(settings.root, settings.file) if settings.file else None
    side, _ = revision_side(
        Path(settings.root),
        args.since,
        config=config,
        overrides=common.overrides(args),
        instead=engine,
    )
    for note in side.notes:
        complain(note)
    old = side.judgement

    def new_findings(judgement: Judgement) -> tuple[Finding, ...]:
        return difference(old, judgement, match(old.memories, judgement.memories)).new

    return new_findings
