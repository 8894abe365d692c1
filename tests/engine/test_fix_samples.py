"""Fixes over every sample: no new finding, a second run changes nothing, only comments are changed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from samples import SAMPLES, rule_samples, sample_files, without_intents

from memlint.engine import Engine
from memlint.engine.fixing import Fixed, fix_all
from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings

WRONG = (
    "shape 3 x 5",
    "shap 16 x 8",
    'in bulk; accept shallow-wide because "it was; once"',
    'accept too-many-ports because "old"; accept large-on-fabric because "older"',
    'accept unit-not-found because "alone"',
    "in block; prots 1w 1r",
    'on u_none.mem: accept shape-drift because "gone"',
    "reed within 1 cycle; same adress any",
    "in",
    "on x[*].y: in bulk; shape 1 x 1",
    'why "unclosed',
)


def judged(name: str, text: str, root: Path) -> tuple[Judgement, Fixed, Fixed]:
    """The judgement of one text as a project, the fixes made, and those a second run would make."""

    def judge(changed: Mapping[str, str]) -> Judgement:
        engine = Engine(Settings(root=str(root), sources=(name,)), {name: text, **changed})
        return engine.judge()

    before = judge({})
    fixed = fix_all(before, judge, lambda _: True)
    return before, fixed, fix_all(judge(fixed.texts), judge, lambda _: True)


def holds(name: str, text: str, root: Path = SAMPLES) -> Fixed:
    before, fixed, again = judged(name, text, root)
    assert not again.texts and not again.applied
    for file, changed in fixed.texts.items():
        assert without_intents(changed) == without_intents(before.sources[file].text)
    engine = Engine(Settings(root=str(root), sources=(name,)), {name: text, **fixed.texts})
    known = {(one.rule, one.paths) for one in before.findings}
    assert {(one.rule, one.paths) for one in engine.judge().findings} <= known
    return fixed


@pytest.mark.parametrize("path", sample_files(), ids=lambda path: path.name)
def test_every_sample(path: Path) -> None:
    holds(path.name, path.read_text(encoding="utf-8"), path.parent)


@pytest.mark.parametrize(("name", "text"), list(rule_samples()), ids=lambda one: one[:40])
def test_every_rule_example(name: str, text: str) -> None:
    holds(name, text)


@given(st.sampled_from(sample_files()), st.data())
@settings(max_examples=150, deadline=None)
def test_wrong_intents_anywhere_in_a_sample(path: Path, data: st.DataObject) -> None:
    text = path.read_text(encoding="utf-8")
    opener = "--" if path.suffix == ".vhd" else "//"
    ends = [match.end() for match in re.finditer(r"\n", text)]
    places = data.draw(st.lists(st.sampled_from(ends), min_size=1, max_size=6))
    line_end = data.draw(st.sampled_from(["\n", "\r\n"]))
    for place in sorted(places, reverse=True):
        written = data.draw(st.sampled_from(WRONG))
        is_block = opener == "//" and data.draw(st.booleans())
        comment = f"/* @mem {written} */" if is_block else f"{opener}@mem {written}"
        text = f"{text[:place]}  {comment}\n{text[place:]}"
    holds(path.name, text.replace("\n", line_end), path.parent)


def test_the_property_is_not_empty() -> None:
    fixed = holds("shape.sv", dict(rule_samples())["shape-drift-example.sv"])
    assert [one.finding.rule for one in fixed.applied] == ["shape-drift"]
