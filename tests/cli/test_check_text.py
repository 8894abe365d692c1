"""`memlint check` as text: what a person finds on the page."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from judgements import DEVICE, FILE, OUTSIDE, finding, judgement, memory, missing, placement, span_of, view

from memlint.engine.judgement import Judgement, TierTotal
from memlint.reports.page import COLOURS, Page
from memlint.reports.text import check_text
from memlint.rules.finding import Finding, Related, Severity
from memlint.text.source import SourceText, Span


def report(*findings: Finding, page: Page | None = None, **changes: object) -> str:
    judged = judgement(view(here=placement()), findings=findings, **changes)  # type: ignore[arg-type]
    return check_text(judged, findings, "", page or Page())


def test_a_finding_shows_severity_message_rule_places_and_help() -> None:
    lines = report(finding()).splitlines()
    assert lines[:11] == [
        "warning  `due` (64 x 128) takes 4 blocks of `bulk` (shallow-wide)",
        "     at  rtl/ejector.sv:3:24 in sorter_top.u_ejector.due",
        "             logic [VALVES-1:0] due [0:63]; // one bit a valve",
        "                                ===",
        "    see  rtl/ejector.sv:2:16 `VALVES` is 128",
        "             parameter int VALVES = 128;",
        "                           ------------",
        "   help  - in block: 2 blocks",
        "         - or make it deeper",
        "",
        "1 warning",
    ]


def test_columns_count_code_points_though_the_excerpt_counts_columns() -> None:
    text = "\t\tlogic 粒; due\n"
    found = finding(span=Span(FILE, 11, 14), related=())
    lines = check_text(judgement(findings=[found], text=text), [found], "", Page()).splitlines()
    assert lines[1].startswith("     at  rtl/ejector.sv:1:12 ")
    assert lines[2].strip() == "logic 粒; due"


def test_a_place_in_a_file_nobody_read_is_named_without_a_line() -> None:
    found = finding(span=Span("memlint.toml", 3, 9), related=())
    assert "     at  memlint.toml in sorter_top" in report(found)


def test_a_finding_about_text_only_names_no_memory() -> None:
    assert "\n     at  rtl/ejector.sv:3:24\n" in report(finding(paths=()))


def test_many_instances_are_counted_after_the_first() -> None:
    paths = tuple(f"top.u{number}.due" for number in range(9))
    assert "in top.u0.due, top.u1.due, top.u2.due and 6 more" in report(finding(paths=paths))


def test_many_related_places_are_counted_after_the_first() -> None:
    related = tuple(Related(span_of("due"), f"place {number}") for number in range(9))
    text = report(finding(related=related))
    assert "place 5" in text
    assert "place 6" not in text
    assert "and 3 more places" in text


def test_no_line_is_wider_than_the_page() -> None:
    words = "the words of a message that goes on and on, " * 6
    found = finding(message=words, help=(words,), related=(Related(span_of("due"), words),))
    text = report(found, page=Page(80), text="x" * 500 + "\n" + "y" * 500 + "\n")
    assert max(map(len, text.splitlines())) <= 80


def test_the_counts_are_of_what_is_shown_worst_first() -> None:
    shown = [finding(Severity.NOTE), finding(Severity.ERROR), finding(Severity.NOTE)]
    assert "\n1 error and 2 notes; 1 finding accepted\n" in report(*shown, accepted=(finding(),))
    assert report().splitlines()[0] == "No findings"


def test_a_message_cannot_steer_the_terminal() -> None:
    text = report(finding(message="`\x1b[31mdue`\nsecond line"))
    assert "\x1b" not in text
    assert "`?[31mdue` second line (shallow-wide)" in text


def test_pages_without_colours_have_no_escapes_and_the_same_words() -> None:
    plain = report(finding())
    coloured = report(finding(), page=Page(colours=COLOURS))
    assert "\x1b" not in plain
    assert "\x1b" in coloured
    assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == plain


def summary(judged: Judgement) -> str:
    return check_text(judged, [], "", Page())


def test_totals_say_what_each_root_takes_of_each_tier_it_uses() -> None:
    text = summary(judgement(view(here=placement())))
    # 4.5 of 96 blocks: 4.6875 %, rounded by hand.
    table = r"\nsorter_top\n  tier +blocks +available +full +memories\n  bulk +4\.5 +96 +5 % +1\n"
    assert re.search(table, text)
    assert "\n  block" not in text


def test_what_is_in_no_total_is_named_beside_it() -> None:
    nowhere = view(memory(depth=None, path="sorter_top.u_a.mem", unresolved="`DEPTH` has no value"), None)
    outside = view(memory(path="sorter_top.u_c.frames"), OUTSIDE)
    text = summary(judgement(nowhere, outside, missing=(missing(),)))
    assert "  not counted: units without source, `jet_driver` (2 instances)\n" in text
    assert "  not counted: 1 memory whose tier is unknown (`sorter_top.u_a.mem`)\n" in text
    assert "  off chip: 1 memory in external\n" in text
    assert "2 memories on device sorter-m, 1 of unknown shape" in text


def test_units_without_source_are_named_though_the_root_has_no_memory() -> None:
    text = summary(judgement(missing=(missing(),)))
    assert "\nsorter_top\n  not counted: units without source, `jet_driver` (2 instances)\n" in text


def test_a_memory_that_could_not_be_counted_is_told_with_its_tier() -> None:
    totals = (TierTotal("sorter_top", "bulk", Fraction(3), None, 2, 1),)
    assert re.search(r"\n  bulk +3 +unknown +2, of which 1 not counted\n", summary(judgement(totals=totals)))


def test_the_estimate_is_named_as_one_every_time() -> None:
    assert summary(judgement()).endswith(
        "\nCounts are estimates: confirm them with the device's own documents and tools.\n"
    )


def test_a_device_that_was_not_asked_for_is_told() -> None:
    text = check_text(judgement(), [], ", the demo device: no `device` is set", Page())
    assert f"on device {DEVICE.name}, the demo device: no `device` is set" in text


@pytest.mark.parametrize("end", ["\r\n", "\r"])
def test_line_ends_change_nothing(end: str) -> None:
    text = "module a;\n  logic due;\nendmodule\n"
    moved = text.replace("\n", end)
    plain, other = (
        finding(span=span_of("due", text), related=()),
        finding(span=span_of("due", moved), related=()),
    )
    sources = {FILE: SourceText(FILE, moved)}
    assert report(plain, text=text) == report(other, sources=sources)
