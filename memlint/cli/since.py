"""`--since REV`: only the findings that the project did not have at a git revision."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from memlint.cli import common
from memlint.cli.messages import complain
from memlint.engine import Engine
from memlint.engine import compare as engine_compare
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Finding


def since(args: argparse.Namespace, engine: Engine) -> Callable[[Judgement], tuple[Finding, ...]]:
    """What tells a judgement's new findings, each with the paths alone for which it is new.

    Raises ProjectError: no git, no repository, no such revision, or a project that cannot be read there.
    """
    brought, notes = engine_compare.since(engine, args.since, common.overrides(args))
    for note in notes:
        complain(note)
    return lambda judgement: brought(judgement).new
