"""`memlint check --fix` and `--diff`: the fixes of the findings, made or shown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path

from memlint.cli.messages import complain
from memlint.engine import Engine
from memlint.engine.fixing import Fixed, Tried, fix_all
from memlint.engine.judgement import Judgement
from memlint.engine.rewriting import encoded, rewrite
from memlint.reports.diff import file_diff
from memlint.reports.page import Page
from memlint.rules.finding import Finding

_BOM = "\ufeff"


def find_fixes(engine: Engine, judgement: Judgement, wanted: Callable[[Finding], bool]) -> Fixed:
    """The safe fixes of the wanted findings, tried on the project in memory."""
    return fix_all(judgement, judging(engine), wanted)


def judging(engine: Engine) -> Callable[[Mapping[str, str]], Judgement]:
    """What judges the engine's project with some texts replaced, and leaves it as it was."""

    def judge(texts: Mapping[str, str]) -> Judgement:
        before = {file: engine.texts.overlay.get(file) for file in texts}
        for file, text in texts.items():
            engine.set_text(file, text)
        judged = engine.judge()
        for file, old in before.items():
            engine.set_text(file, old)
        return judged

    return judge


def write_fixes(engine: Engine, judgement: Judgement, fixed: Fixed) -> None:
    """Write the changed files. Raises ProjectError for one that cannot be written."""
    for file, text in sorted(fixed.texts.items()):
        rewrite(Path(engine.settings.root, file), judgement.sources[file].text, text)


def fixes_as_diff(engine: Engine, judgement: Judgement, texts: Mapping[str, str]) -> bytes:
    """Changed texts as a unified diff, each file's lines in its own encoding."""
    parts: list[bytes] = []
    for file, text in sorted(texts.items()):
        path = Path(engine.settings.root, file)
        data = path.read_bytes() if file not in engine.texts.overlay and path.is_file() else b""
        mark = _BOM if data.startswith(_BOM.encode()) else ""
        diff = file_diff(file, mark + judgement.sources[file].text, mark + text)
        parts.append(encoded(diff, b"" if mark else data))
    return b"".join(parts)


def say_what_was_done(fixed: Fixed, page: Page, *, made: bool) -> None:
    """One line on standard error for each fix that was made (or would be) or left out."""
    done = "fixed" if made else "would fix"
    for one in fixed.applied:
        complain(f"{_place(one, page)}: {done} {one.finding.rule}: {one.title}")
    for one in fixed.refused:
        complain(f"{_place(one, page)}: left {one.finding.rule} alone: to {one.title} brings another finding")
    if not fixed.applied and not fixed.refused:
        complain("no finding has a fix that is safe to make unasked")


def _place(one: Tried, page: Page) -> str:
    return page.place(one.finding.span, {one.source.file: one.source})
