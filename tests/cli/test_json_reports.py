"""The JSON reports, field by field as design.md lays them down in section 6."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from judgements import (
    CLK,
    DEVICE,
    FILE,
    PIXEL,
    array,
    finding,
    judgement,
    memory,
    missing,
    placement,
    port,
    view,
)
from sorter_samples import BELT, DRIFTED, Memlint, project

from memlint.design.memory import Clock
from memlint.reports.json_output import check_json, list_json, number
from memlint.rules.finding import Severity
from memlint.rules.view import MemoryView
from memlint.text.source import Span

# design.md, section 6.
MEMORY_FIELDS = (
    "path unit name file line column depth width banks copies bits ports clocks read language tier tier_from "
    "blocks uniform_blocks fill chain chains split read_latency unresolved"
).split()
FINDING_FIELDS = (
    "rule severity message path paths file line column end_line end_column related numbers help"
).split()


def memories(*views: MemoryView) -> list[dict[str, Any]]:
    found: list[dict[str, Any]] = json.loads(list_json(judgement(*views), views))["memories"]
    return found


def findings(*given: Any) -> list[dict[str, Any]]:
    judged = judgement(findings=given)
    found: list[dict[str, Any]] = json.loads(check_json(judged, given, device_given=True))["findings"]
    return found


def test_a_memory_has_exactly_the_fields_of_the_design_in_its_order() -> None:
    (one,) = memories(view(here=placement()))
    assert list(one) == MEMORY_FIELDS
    assert list(one["ports"]) == ["w", "r", "rw"]


def test_the_values_of_a_memory() -> None:
    here = placement(blocks=Fraction(15, 2), uniform_blocks=Fraction(8), fill=Fraction(1, 3), copies=2)
    (one,) = memories(view(memory(banks=3), here=here))
    assert one == {
        "path": "sorter_top.u_ejector.due",
        "unit": "ejector",
        "name": "due",
        "file": FILE,
        "line": 3,
        "column": 24,
        "depth": 64,
        "width": 128,
        "banks": 3,
        "copies": 2,
        "bits": 24_576,  # 3 * 64 * 128
        "ports": {"w": 1, "r": 1, "rw": 0},
        "clocks": ["sorter_top.clk"],
        "read": "synchronous",
        "language": "systemverilog",
        "tier": "bulk",
        "tier_from": "intent",
        "blocks": 7.5,
        "uniform_blocks": 8,
        "fill": 0.3333,
        "chain": 1,
        "chains": 0,
        "split": 1,
        "read_latency": 1,
        "unresolved": None,
    }


def test_what_is_unknown_is_null() -> None:
    one = memory(depth=None, read=None, clocks_known=False, unresolved="`DEPTH` has no value")
    (found,) = memories(view(one, None, None, tier_from=None))
    null = {key for key, value in found.items() if value is None}
    assert null == {
        "depth", "copies", "bits", "clocks", "read", "tier", "tier_from", "blocks", "uniform_blocks", "fill",
        "chain", "chains", "split", "read_latency",
    }  # fmt: skip
    assert found["unresolved"] == "`DEPTH` has no value"


def test_clocks_are_nets_sorted_and_each_once() -> None:
    clocks = (Clock(CLK.net, "falling"), CLK, PIXEL)
    (found,) = memories(view(memory(clocks=clocks), here=placement()))
    assert found["clocks"] == ["sorter_top.cam_clk[0]", "sorter_top.clk"]


def test_read_write_ports_are_neither_reads_nor_writes() -> None:
    (found,) = memories(view(memory(ports=(port(writes=True, reads=True),)), here=placement()))
    assert found["ports"] == {"w": 0, "r": 0, "rw": 1}


def test_arrays_stand_in_the_list_only_when_asked_for() -> None:
    judged = judgement()
    assert "arrays" not in json.loads(list_json(judged, []))
    (one,) = json.loads(list_json(judged, [], [array()]))["arrays"]
    assert one["path"] == "sorter_top.u_ejector.pulses"
    assert one["reason"] == "it is an array of wires"


def test_a_finding_has_exactly_the_fields_of_the_design_in_its_order() -> None:
    (one,) = findings(finding())
    assert list(one) == FINDING_FIELDS


def test_the_values_of_a_finding() -> None:
    (one,) = findings(finding(Severity.ERROR, paths=("a.mem", "b.mem")))
    assert one == {
        "rule": "shallow-wide",
        "severity": "error",
        "message": "`due` (64 x 128) takes 4 blocks of `bulk`",
        "path": "a.mem",
        "paths": ["a.mem", "b.mem"],
        "file": FILE,
        "line": 3,
        "column": 24,
        "end_line": 3,
        "end_column": 27,
        "related": [
            {
                "message": "`VALVES` is 128",
                "file": FILE,
                "line": 2,
                "column": 16,
                "end_line": 2,
                "end_column": 28,
            }
        ],
        "numbers": {"depth": 64, "blocks": 4, "fill": 0.0063, "tier": "bulk"},
        "help": ["in block: 2 blocks", "or make it deeper"],
    }


def test_a_finding_about_text_only_has_no_path() -> None:
    (one,) = findings(finding(paths=()))
    assert one["path"] is None
    assert one["paths"] == []


def test_columns_count_code_points() -> None:
    text = '\t"粒\U0001f33e" due\n'
    given = finding(span=Span(FILE, 6, 9), related=())
    report = check_json(judgement(text=text), [given], device_given=True)
    (one,) = json.loads(report)["findings"]
    assert (one["line"], one["column"], one["end_column"]) == (1, 7, 10)


def test_a_place_in_a_file_nobody_read_has_no_line() -> None:
    (one,) = findings(finding(span=Span("memlint.toml", 3, 9)))
    assert (one["file"], one["line"], one["end_column"]) == ("memlint.toml", None, None)


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        (Fraction(8, 2), "4"),
        (Fraction(15, 2), "7.5"),
        (Fraction(2, 3), "0.6667"),
        (3, "3"),
        (0.25, "0.25"),
        ("bulk", '"bulk"'),
        (None, "null"),
    ],
)
def test_numbers_are_whole_where_they_can_be(value: Any, shown: str) -> None:
    assert json.dumps(number(value)) == shown


def test_the_summary_counts_and_names_what_is_missing() -> None:
    given = [finding(), finding(Severity.NOTE)]
    judged = judgement(view(here=placement()), findings=given, accepted=(finding(),), missing=(missing(),))
    summary = json.loads(check_json(judged, given, device_given=False))["summary"]
    counted = {key: summary[key] for key in ("errors", "warnings", "notes", "accepted", "memories")}
    assert counted == {"errors": 0, "warnings": 1, "notes": 1, "accepted": 1, "memories": 1}
    assert (summary["device"], summary["device_given"]) == (DEVICE.name, False)
    assert {
        "root": "sorter_top",
        "tier": "bulk",
        "blocks": 4.5,
        "available": 96,
        "memories": 1,
        "unknown": 0,
    } in (summary["totals"])
    assert summary["units_without_source"] == [
        {"unit": "jet_driver", "instances": ["sorter_top.u_a", "sorter_top.u_b"]}
    ]


def test_a_design_of_ours_from_end_to_end(memlint: Memlint, tmp_path: Path) -> None:
    project(tmp_path)
    assert memlint("list", "--format", "json") == 0
    (one,) = json.loads(memlint.out)["memories"]
    assert list(one) == MEMORY_FIELDS
    assert (one["path"], one["file"], one["line"], one["column"]) == ("belt.delay", "rtl/belt.sv", 8, 18)
    # One block of 8,192 x 40, filled: design.md, section 3.
    assert (one["tier"], one["blocks"], one["fill"]) == ("bulk", 1, 1.0)


def test_the_bytes_do_not_depend_on_the_order_of_files(memlint: Memlint, tmp_path: Path) -> None:
    (tmp_path / "a.sv").write_text(DRIFTED)
    (tmp_path / "b.sv").write_text(BELT.replace("belt", "replay"))
    (tmp_path / "c.sv").write_text("module top; replay u_r (); belt u_b (); gone u_g (); endmodule\n")
    said = set()
    for order in (("a.sv", "b.sv", "c.sv"), ("c.sv", "b.sv", "a.sv"), ("b.sv", "c.sv", "a.sv")):
        names = ", ".join(f'"{name}"' for name in order)
        (tmp_path / "memlint.toml").write_text(f"sources = [{names}]\n")
        memlint("check", "--format", "json")
        check = memlint.out
        memlint("list", "--format", "json", "--all")
        said.add((check, memlint.out))
    assert len(said) == 1
