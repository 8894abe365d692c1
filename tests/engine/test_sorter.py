"""The demo project: every memory as worked out by hand, and exactly the mistakes that were planted."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from memlint.engine import open_project
from memlint.engine.judgement import Judgement
from memlint.rules.finding import Severity

EXPECTED = json.loads((Path(__file__).parent / "sorter_expected.json").read_text())
SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"


@pytest.fixture(scope="module")
def judged() -> Judgement:
    return open_project([str(SORTER)]).judge()


def test_every_memory_is_as_worked_out_by_hand(judged: Judgement) -> None:
    found = [
        {
            "path": view.memory.path,
            "depth": view.memory.depth,
            "width": view.memory.width,
            "banks": view.memory.banks,
            "ports": {
                "w": view.memory.count(writes=True, reads=False),
                "r": view.memory.count(writes=False, reads=True),
                "rw": view.memory.count(writes=True, reads=True),
            },
            "clocks": sorted(clock.net for clock in view.memory.clocks),
            "read": view.memory.read,
            "tier": view.tier.name if view.tier else None,
            "tier_from": view.tier_from,
        }
        for view in judged.memories
    ]
    assert found == sorted(EXPECTED["memories"], key=lambda one: one["path"])


def test_look_alikes_are_no_memories(judged: Judgement) -> None:
    assert set(EXPECTED["not_memories"]) <= {one.path for one in judged.not_memories}


def test_the_planted_mistakes_are_found_and_nothing_else(judged: Judgement) -> None:
    found = {
        (one.rule, one.span.file) for one in judged.findings if one.severity >= Severity.WARNING
    }
    # The acceptance and the shape stand where their intent stands, the others at the declaration.
    planted = {(one["rule"], one["file"]) for one in EXPECTED["planted"]}
    assert found == planted


@pytest.mark.parametrize("mistake", EXPECTED["planted"], ids=lambda one: one["rule"])
def test_a_planted_mistake_names_its_memories(judged: Judgement, mistake: dict[str, object]) -> None:
    (finding,) = [one for one in judged.findings if one.rule == mistake["rule"]]
    if mistake["rule"] != "unknown-tier":
        assert list(finding.paths) == mistake["paths"]
    assert finding.help


def test_the_acceptance_that_is_needed_silences_its_finding(judged: Judgement) -> None:
    assert [one.rule for one in judged.accepted] == ["just-over-boundary"]
    assert not any(one.rule == "just-over-boundary" for one in judged.findings)


def test_a_second_judgement_of_unchanged_files_is_the_same_object() -> None:
    engine = open_project([str(SORTER)])
    assert engine.judge() is engine.judge()


def test_unsaved_text_counts() -> None:
    engine = open_project([str(SORTER)])
    file = "rtl/histogram.sv"
    text = (SORTER / file).read_text()
    engine.set_text(file, text.replace("shape 256 x 24", "shape 1K x 24"))
    rules = [one.rule for one in engine.judge().findings]
    assert "shape-drift" not in rules
    assert "port-drift" in rules
    engine.set_text(file, None)
    assert "shape-drift" in [one.rule for one in engine.judge().findings]
