"""SARIF 2.1.0: valid, complete, and the same findings keep their fingerprints.

`pydantic_sarif` is generated from the OASIS schema (sarif-schema-2.1.0.json, named in its model.py): each
object forbids unknown properties and has the schema's types, enumerations, patterns and minima. What the
generation leaves out (`minItems`, `anyOf`) is checked here by hand, after sections of the standard.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from judgements import finding, judgement, memory, view
from pydantic_sarif.model import StaticAnalysisResultsFormatSarifVersion210JsonSchema as Log

from memlint.engine import check_text, open_project
from memlint.engine.fixing import apply_edits
from memlint.reports.sarif import check_sarif
from memlint.rules.base import all_rules
from memlint.rules.docs import documentation
from memlint.rules.finding import Edit
from memlint.text.source import SourceText, Span

FIXTURE = Path(__file__).parents[2] / "fixtures" / "sorter"
ACCEPTED = """\
module trays (input logic clk, we, input logic [5:0] a, input logic [511:0] d, output logic [511:0] q);
    //@mem in bulk; accept shallow-wide because "the host reads a tray at once"
    logic [511:0] held [64];
    always_ff @(posedge clk) begin
        if (we) held[a] <= d;
        q <= held[a];
    end
endmodule
"""


def run_of(text: str) -> Any:
    log = json.loads(text)
    Log.model_validate(log)
    (run,) = log["runs"]
    for result in run["results"]:
        # 3.11.8 and 3.27.12: a message has a text (or id); a result has a location where it has a place.
        assert result["message"]["text"]
        assert result["locations"]
        for fix in result.get("fixes", ()):
            # 3.55.3, 3.56.3: at least one change, each of at least one replacement.
            assert fix["artifactChanges"] and all(one["replacements"] for one in fix["artifactChanges"])
    return run


def sarif_of(text: str) -> Any:
    judged = check_text(text)
    return run_of(check_sarif(judged, judged.findings, judged.accepted))


@pytest.mark.parametrize("rule", all_rules(), ids=lambda rule: rule.name)
def test_the_example_of_every_rule_gives_a_valid_log(rule: Any) -> None:
    run = sarif_of(documentation(rule).example)
    if rule.on_by_default:
        assert {one["ruleId"] for one in run["results"]} == {rule.name}


def test_every_rule_is_described(tmp_path: Path) -> None:
    rules = sarif_of("module m; endmodule\n")["tool"]["driver"]["rules"]
    assert [one["id"] for one in rules] == [rule.name for rule in all_rules()]
    for one in rules:
        assert one["help"]["text"] and "```systemverilog\nmodule " in one["help"]["markdown"]
        assert "helpUri" not in one
    missing = next(one for one in rules if one["id"] == "intent-missing")
    assert missing["defaultConfiguration"] == {"enabled": False, "level": "note"}


def test_a_result_says_where_in_columns_of_code_points() -> None:
    judged = judgement(view(), findings=[finding()])
    run = run_of(check_sarif(judged, judged.findings, ()))
    (result,) = run["results"]
    assert run["columnKind"] == "unicodeCodePoints"
    assert result["level"] == "warning"
    place = result["locations"][0]
    assert place["physicalLocation"] == {
        "artifactLocation": {"uri": "rtl/ejector.sv", "uriBaseId": "PROJECTROOT"},
        "region": {"startLine": 3, "startColumn": 24, "endLine": 3, "endColumn": 27},
    }
    assert place["logicalLocations"] == [{"fullyQualifiedName": "sorter_top.u_ejector.due"}]
    assert result["message"]["text"].endswith("\n- in block: 2 blocks\n- or make it deeper")
    (related,) = result["relatedLocations"]
    assert related["message"]["text"] == "`VALVES` is 128"
    assert related["physicalLocation"]["region"]["startLine"] == 2
    assert run["tool"]["driver"]["rules"][result["ruleIndex"]]["id"] == "shallow-wide"


@pytest.mark.parametrize(
    ("file", "location"),
    [
        ("rtl/été #1.sv", {"uri": "rtl/%C3%A9t%C3%A9%20%231.sv", "uriBaseId": "PROJECTROOT"}),
        ("../shared/a.sv", {"uri": "../shared/a.sv", "uriBaseId": "PROJECTROOT"}),
        ("/lib/a b.sv", {"uri": "file:///lib/a%20b.sv"}),
        ("C:/lib/a.sv", {"uri": "file:///C:/lib/a.sv"}),
    ],
)
def test_files_are_uris(file: str, location: dict[str, str]) -> None:
    judged = judgement(
        view(memory(span=Span(file, 0, 1))),
        findings=[finding(span=Span(file, 0, 1), related=())],
        sources={file: SourceText(file, "x\n")},
    )
    (result,) = run_of(check_sarif(judged, judged.findings, ()))["results"]
    assert result["locations"][0]["physicalLocation"]["artifactLocation"] == location


def test_a_fix_applied_from_the_log_alone_is_the_fix() -> None:
    rule = next(one for one in all_rules() if one.name == "shape-drift")
    text = documentation(rule).example
    (result,) = sarif_of(text)["results"]
    (fix,) = result["fixes"]
    assert fix["properties"] == {"safe": True}
    source = SourceText("a", text)
    edits = []
    for one in fix["artifactChanges"][0]["replacements"]:
        region = one["deletedRegion"]
        start, end = (
            source.line_starts[region[f"{end}Line"] - 1] + region[f"{end}Column"] - 1
            for end in ("start", "end")
        )
        edits.append(Edit(Span("a", start, end), one["insertedContent"]["text"]))
    assert apply_edits(text, edits) == documentation(rule).mended


def test_an_accepted_finding_is_suppressed_with_its_reason() -> None:
    (result,) = sarif_of(ACCEPTED)["results"]
    assert result["ruleId"] == "shallow-wide"
    assert result["suppressions"] == [{"kind": "inSource", "justification": "the host reads a tray at once"}]


def test_fingerprints_survive_moved_lines_and_tell_findings_apart() -> None:
    def marks(text: str) -> list[str]:
        return [one["partialFingerprints"]["memlintFinding/v1"] for one in sarif_of(text)["results"]]

    bare = ACCEPTED.replace('; accept shallow-wide because "the host reads a tray at once"', "")
    two = bare.replace("endmodule\n", "  //@mem shap 1 x 1\n  //@mem shap 1 x 1\nendmodule\n")
    found = marks(two)
    assert len(found) == len(set(found)) >= 3
    assert marks("// one more line\n\n" + two) == found
    assert marks(bare.replace("511", "639")) != marks(bare)


def test_the_demo_project_gives_a_valid_log() -> None:
    judged = open_project([str(FIXTURE)]).judge()
    run = run_of(check_sarif(judged, judged.findings, judged.accepted))
    assert len(run["results"]) == len(judged.findings) + len(judged.accepted)
