"""Which findings a change brought and took away: known by rule and memory, wherever the lines are now."""

from __future__ import annotations

from pathlib import Path

import pytest
from revisions import PROJECT, Repository, needs_git

from memlint.engine import open_project
from memlint.engine.compare import since
from memlint.rules.finding import Severity

pytestmark = needs_git
FRONT = "sorter.u_front.pixels"
Told = list[tuple[str, tuple[str, ...]]]


@pytest.fixture
def repository(tmp_path: Path) -> Repository:
    """The project with a drifted shape, committed."""
    made = Repository(tmp_path)
    made.write(PROJECT)
    made.replace("rtl/line_store.sv", "in block;", "in block; shape 1K x 24;")
    made.commit()
    return made


def findings(repository: Repository, revision: str = "HEAD") -> tuple[Told, Told]:
    """Rule and paths of new and gone findings."""
    engine = open_project([str(repository.folder)])
    brought, notes = since(engine, revision)
    assert notes == ()
    difference = brought(engine.judge())
    new, gone = ([(one.rule, one.paths) for one in every] for every in (difference.new, difference.gone))
    return new, gone


def test_moved_lines_bring_nothing(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "module", "// one line more\nmodule")
    assert findings(repository) == ([], [])


def test_other_numbers_in_the_same_finding_bring_nothing(repository: Repository) -> None:
    repository.replace("rtl/cfg_pkg.sv", "DEPTH = 2048", "DEPTH = 2000")
    assert findings(repository) == ([], [])


def test_what_is_mended_is_gone(repository: Repository) -> None:
    repository.replace("rtl/line_store.sv", "shape 1K", "shape 2K")
    assert findings(repository) == ([], [("shape-drift", (FRONT,))])


def test_an_instance_more_with_the_same_fault_is_new_alone(repository: Repository) -> None:
    more = "  line_store #(.WORDS(DEPTH), .BITS(WIDTH)) u_rear (.q(q[1]), .*);\nendmodule"
    repository.replace("rtl/sorter.sv", "endmodule", more)
    engine = open_project([str(repository.folder)])
    # One cause, one finding: it names both, and only one of them is new.
    (whole,) = [one for one in engine.judge().findings if one.rule == "shape-drift"]
    assert whole.paths == (FRONT, "sorter.u_rear.pixels")
    assert findings(repository) == ([("shape-drift", ("sorter.u_rear.pixels",))], [])


def test_an_instance_or_file_of_another_name_brings_nothing(repository: Repository) -> None:
    repository.replace("rtl/sorter.sv", "u_front", "u_first")
    (repository.folder / "rtl/line_store.sv").rename(repository.folder / "rtl/store.sv")
    assert findings(repository) == ([], [])


def test_a_finding_that_grew_worse_is_new(repository: Repository) -> None:
    repository.write({"memlint.toml": PROJECT["memlint.toml"] + '[rules]\nshape-drift = "note"\n'})
    repository.commit()
    repository.write({"memlint.toml": PROJECT["memlint.toml"]})
    assert findings(repository) == ([("shape-drift", (FRONT,))], [])
    repository.commit()
    repository.write({"memlint.toml": PROJECT["memlint.toml"] + '[rules]\nshape-drift = "note"\n'})
    assert findings(repository) == ([], [])


def test_a_finding_about_text_alone_follows_its_file(repository: Repository) -> None:
    repository.replace("rtl/sorter.sv", "  line_store", "  //@mem in\n  line_store")
    new, gone = findings(repository)
    assert ([rule for rule, _ in new], gone) == (["intent-syntax"], [])
    repository.commit()
    (repository.folder / "rtl/sorter.sv").rename(repository.folder / "rtl/top.sv")
    assert findings(repository) == ([], [])
    # The same mistake once more, in another file, is another one.
    repository.write({"rtl/other.sv": (repository.folder / "rtl/top.sv").read_text().replace("sorter", "b")})
    assert [rule for rule, _ in findings(repository)[0]].count("intent-syntax") == 1


def test_a_budget_is_known_by_its_unit_and_tier(repository: Repository) -> None:
    budget = "  //@mem budget block <= 1, bulk <= 0\n  line_store"
    repository.replace("rtl/sorter.sv", "  line_store", budget)
    repository.replace("rtl/line_store.sv", "shape 1K", "shape 2K")
    assert findings(repository)[0] == [("unit-over-budget", ("sorter",))]
    repository.commit()
    repository.replace(
        "rtl/sorter.sv", "endmodule", "  // @mem plan spare; in bulk; shape 8K x 40\nendmodule"
    )
    engine = open_project([str(repository.folder)])
    brought, _ = since(engine, "HEAD")
    (new,) = brought(engine.judge()).new
    assert (new.rule, dict(new.numbers)["tier"], new.severity) == ("unit-over-budget", "bulk", Severity.ERROR)


def test_an_acceptance_that_is_dropped_brings_its_finding(repository: Repository) -> None:
    repository.replace(
        "rtl/line_store.sv", "shape 1K x 24;", 'shape 1K x 24; accept shape-drift because "x";'
    )
    repository.commit()
    repository.replace("rtl/line_store.sv", ' accept shape-drift because "x";', "")
    assert findings(repository) == ([("shape-drift", (FRONT,))], [])
