"""A baseline knows findings by rule, memory path and shape: it survives moved lines, not changed memories."""

from __future__ import annotations

from pathlib import Path

import pytest

from memlint.engine import check_text
from memlint.engine.baseline import read_baseline, sift, write_baseline
from memlint.engine.settings import ProjectError

TRAYS = """{before}
module trays (input logic clk, we, input logic [5:0] a, input logic [{msb}:0] d, output logic [{msb}:0] q);
    //@mem in bulk
    logic [{msb}:0] held [64];
    always_ff @(posedge clk) begin
        if (we) held[a] <= d;
        q <= held[a];
    end
endmodule
"""


def test_a_known_finding_is_silent_also_when_its_line_moved(tmp_path: Path) -> None:
    old = check_text(TRAYS.format(before="", msb=511))
    assert [one.rule for one in old.findings] == ["shallow-wide"]
    file = tmp_path / "baseline.json"
    file.write_text(write_baseline(old, old.findings))
    moved = check_text(TRAYS.format(before="// one more line\n\n", msb=511))
    sifted = sift(moved, moved.findings, read_baseline(file))
    assert sifted.findings == () and sifted.known == 1 and sifted.stale == ()


def test_another_shape_is_a_new_finding_and_the_entry_is_stale(tmp_path: Path) -> None:
    old = check_text(TRAYS.format(before="", msb=511))
    file = tmp_path / "baseline.json"
    file.write_text(write_baseline(old, old.findings))
    wider = check_text(TRAYS.format(before="", msb=639))
    sifted = sift(wider, wider.findings, read_baseline(file))
    assert [one.rule for one in sifted.findings] == ["shallow-wide"]
    assert [entry[0] for entry in sifted.stale] == ["shallow-wide"]


@pytest.mark.parametrize(
    ("text", "says"),
    [("", "not a baseline"), ("[]", "not a baseline"), ('{"version": 9, "findings": []}', "version 9")],
)
def test_a_damaged_baseline_is_a_clear_error(tmp_path: Path, text: str, says: str) -> None:
    file = tmp_path / "baseline.json"
    file.write_text(text)
    with pytest.raises(ProjectError, match=says):
        read_baseline(file)


def test_a_missing_baseline_is_a_clear_error(tmp_path: Path) -> None:
    with pytest.raises(ProjectError, match="no such baseline"):
        read_baseline(tmp_path / "none.json")
