"""After any edits the engine says what one says that sees the project for the first time."""

from __future__ import annotations

import os
import random
from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import pytest
from edited_project import FILES, ONE_FILE, EditedProject, in_one_file

from memlint.engine.config import load_settings
from memlint.engine.engine import Engine
from memlint.engine.judgement import Judgement
from memlint.engine.settings import BlackBox, IntentEntry, ProjectError, Settings

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"
EXAMPLES = int(os.environ.get("MEMLINT_EDITS", "40"))
FIRST = int(os.environ.get("MEMLINT_FIRST", random.randrange(10**9) if os.environ.get("MEMLINT_EXAMPLES") == "random" else 0))

PLAIN = Settings(root="/nonexistent", device="sorter-m", sources=("rtl/*.sv", "rtl/*.vhd"))
CHOSEN = replace(
    PLAIN,
    top=("top",),
    parameters={"WIDE": 30},
    assume={"store.WORDS": 32},
    same_clocks=(("top.clk", "top.rst"),),
    black_boxes=(BlackBox("vendor_ram", "D", "W", "1rw", ("clk",), "bulk"),),
    file="memlint.toml",
    intents=(IntentEntry("top.u_mid.lane[*].u_store.mem", "in block", 1),),
)
TWICE = replace(PLAIN, top=("spy", "top"))
CONFIG = {"memlint.toml": 'intent = [{memory = "top.u_mid.lane[*].u_store.mem", intent = "in block"}]'}


def differences(one: object, other: object, at: str = "") -> Iterator[str]:
    """The places where two answers differ, spans included."""
    if type(one) is not type(other):
        yield f"{at}: {one!r} is not {other!r}"
    elif isinstance(one, tuple | list) and isinstance(other, tuple | list):
        if len(one) != len(other):
            yield f"{at}: {len(one)} are not {len(other)}: {one!r} {other!r}"[:2000]
        for number, pair in enumerate(zip(one, other, strict=False)):
            yield from differences(*pair, f"{at}[{number}]")
    elif isinstance(one, dict) and isinstance(other, dict):
        yield from differences(list(one.items()), list(other.items()), at)
    elif is_dataclass(one):
        for part in fields(one):
            if part.name not in ("place", "device", "line_starts"):
                mine, others = getattr(one, part.name), getattr(other, part.name)
                yield from differences(mine, others, f"{at}.{part.name}")
    elif one != other:
        yield f"{at}: {one!r} is not {other!r}"


def said(engine: Engine) -> Judgement | str:
    try:
        return engine.judge()
    except ProjectError as error:
        return str(error)


def run(engine: Engine, project: EditedProject, edits: int) -> None:
    done: list[str] = []
    for file, text in project.texts.items():
        engine.set_text(file, text)
    said(engine)
    for _ in range(edits):
        done.append(project.edit())
        if project.random.random() < 0.2:
            done.append(project.edit())
        for file in [file for file in engine.texts.overlay if file not in {**project.texts, **CONFIG}]:
            engine.set_text(file, None)
        for file, text in project.texts.items():
            engine.set_text(file, text)
        fresh = Engine(engine.settings, dict(engine.texts.overlay), engine.extra, engine.device)
        found = list(differences(said(engine), said(fresh)))
        assert not found, "\n".join((*done[-6:], *found[:5]))


@pytest.mark.parametrize("settings", [PLAIN, CHOSEN], ids=["no top", "top"])
@pytest.mark.parametrize("seed", range(FIRST, FIRST + EXAMPLES // 10))
def test_small_project(settings: Settings, seed: int) -> None:
    engine = Engine(settings, CONFIG)
    if seed % 2:
        engine.keep_files()
    run(engine, EditedProject(random.Random(seed), dict(FILES)), 10)


@pytest.mark.parametrize("settings", [PLAIN, CHOSEN, TWICE], ids=["no top", "top", "two tops"])
@pytest.mark.parametrize("seed", range(FIRST, FIRST + EXAMPLES // 10))
def test_units_of_one_file(settings: Settings, seed: int) -> None:
    engine = Engine(settings, CONFIG)
    engine.keep_files()
    texts = in_one_file(random.Random(seed))
    run(engine, EditedProject(random.Random(seed), texts, often=ONE_FILE), 10)


@pytest.mark.parametrize("seed", range(FIRST, FIRST + max(1, EXAMPLES // 40)))
def test_the_demo(seed: int) -> None:
    settings = load_settings(SORTER / "memlint.toml", SORTER)
    texts = {
        path.relative_to(SORTER).as_posix(): path.read_text()
        for path in sorted(SORTER.rglob("*"))
        if path.suffix in (".sv", ".svh", ".vh", ".vhd")
    }
    engine = Engine(replace(settings, root="/nonexistent"), CONFIG)
    engine.keep_files()
    run(engine, EditedProject(random.Random(seed), texts), 8)


def test_a_second_architecture_of_one_entity() -> None:
    # The architecture read last is the one an instance gets (IEEE Std 1076-2008, 7.3.3).
    name = "rtl/j_counted.vhd"
    deeper = FILES[name].replace("0 to DEPTH - 1", "0 to 2 * DEPTH - 1")
    engine = Engine(PLAIN, {**FILES, **CONFIG})
    engine.judge()
    engine.set_text("rtl/z_moved.vhd", deeper)
    depths = {view.memory.path: view.memory.depth for view in engine.judge().memories}
    assert depths["top.u_count.bins"] == 512
    engine.set_text("rtl/z_moved.vhd", None)
    depths = {view.memory.path: view.memory.depth for view in engine.judge().memories}
    assert depths["top.u_count.bins"] == 256
