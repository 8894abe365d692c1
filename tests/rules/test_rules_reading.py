"""Rules on what could not be read or resolved."""

from factory import at, design, memory, only, texts, view

from memlint.design.memory import Note
from memlint.rules.base import Severity
from memlint.rules.reading.shape_unresolved import RULE as SHAPE_UNRESOLVED
from memlint.rules.reading.unit_not_found import RULE as UNIT_NOT_FOUND
from memlint.rules.view import MissingUnit


def test_shape_unresolved_gives_the_reason_and_what_is_known() -> None:
    subject = memory(
        None, 40, unresolved="`WORDS` has no value", unresolved_span=at(7), sources=(Note("WORDS", at(3)),)
    )
    found = only(SHAPE_UNRESOLVED.check(view(subject)))
    assert found.message == "the shape of `line` is not known (width 40 is known): `WORDS` has no value"
    assert found.severity == Severity.WARNING
    assert texts(found) == ["this cannot be resolved", "WORDS"]
    assert any("[parameters]" in text for text in found.help)
    assert not list(SHAPE_UNRESOLVED.check(view(memory())))


def test_shape_unresolved_without_a_place() -> None:
    found = only(SHAPE_UNRESOLVED.check(view(memory(None, None, unresolved="`f(x)` is not understood"))))
    assert found.message == "the shape of `line` is not known: `f(x)` is not understood"
    assert found.related == ()


def test_a_unit_without_source_is_one_note() -> None:
    unit = MissingUnit("serdes", ("sorter.b", "sorter.a"), at(10), (at(10), at(30)))
    found = only(UNIT_NOT_FOUND.check_design(design(missing=(unit,))))
    assert found.severity == Severity.NOTE
    assert found.message.startswith("unit `serdes` (2 instances) has no source here")
    assert found.paths == ("sorter.a", "sorter.b")
    assert [related.span for related in found.related] == [at(30)]
    assert any("[[black_box]]" in text for text in found.help)
    assert not list(UNIT_NOT_FOUND.check_design(design()))
