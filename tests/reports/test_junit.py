"""JUnit XML, read back by a library of its own (`junitparser`)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from judgements import finding, judgement, memory, placement, view
from junitparser import Failure, JUnitXml

from memlint.reports.junit import check_junit
from memlint.rules.finding import Severity


def read(text: str) -> JUnitXml:
    return JUnitXml.fromstring(text.encode("utf-8"))


def both() -> object:
    quiet = memory(path="sorter_top.u_ejector.log", name="log")
    views = (view(here=placement()), view(quiet, here=placement(blocks=Fraction(1))))
    return judgement(*views, findings=[finding(), finding(Severity.NOTE, rule="unit-not-found", paths=())])


def test_a_failing_finding_is_a_failure_and_a_quiet_memory_passes() -> None:
    judged = both()
    xml = read(check_junit(judged, judged.findings, Severity.WARNING))  # type: ignore[arg-type, attr-defined]
    (suite,) = list(xml)
    assert (suite.tests, suite.failures, suite.errors, suite.skipped) == (3, 1, 0, 0)
    cases = {case.name: case for case in suite}
    failed = cases["shallow-wide sorter_top.u_ejector.due"]
    (result,) = failed.result
    assert isinstance(result, Failure)
    assert result.message == "`due` (64 x 128) takes 4 blocks of `bulk`"
    assert "rtl/ejector.sv:3:24: warning: " in result.text
    assert "see rtl/ejector.sv:2:16: `VALVES` is 128" in result.text
    assert "help: or make it deeper" in result.text
    assert not cases["unit-not-found"].result
    assert "note: " in cases["unit-not-found"].system_out
    assert not cases["sorter_top.u_ejector.log"].result


@pytest.mark.parametrize(("level", "failures"), [(Severity.NOTE, 2), (Severity.ERROR, 0), (None, 0)])
def test_the_failing_level_decides_what_fails(level: Severity | None, failures: int) -> None:
    judged = both()
    (suite,) = list(read(check_junit(judged, judged.findings, level)))  # type: ignore[arg-type, attr-defined]
    assert suite.failures == failures


def test_nothing_that_a_source_holds_breaks_the_document() -> None:
    strange = "a \"<&>' \x00\x1b\ufffe 粒 ]]>"
    judged = judgement(view(), findings=[finding(message=strange, paths=(strange,), help=(strange,))])
    (suite,) = list(read(check_junit(judged, judged.findings, Severity.NOTE)))
    (case,) = [one for one in suite if one.result]
    # XML 1.0, 2.2: control characters have no form in a document.
    assert case.result[0].message == "a \"<&>' ??? 粒 ]]>"


def test_no_findings_and_no_memories_is_a_document_too() -> None:
    (suite,) = list(read(check_junit(judgement(), (), Severity.NOTE)))
    assert suite.tests == 0
