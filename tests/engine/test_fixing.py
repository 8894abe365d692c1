"""Fixes: applied once, never overlapping, only in comments, and never with a new finding."""

from __future__ import annotations

from collections.abc import Mapping

from hypothesis import given
from hypothesis import strategies as st

from memlint.engine import Engine
from memlint.engine.fixing import apply_edits, fix_all
from memlint.engine.judgement import Judgement
from memlint.engine.settings import Settings
from memlint.rules.finding import Edit
from memlint.text.source import Span

DELAY = """
module delay (
    input  logic        clk, we,
    input  logic [12:0] a,
    input  logic [39:0] d,
    output logic [39:0] q
);
    {intent}
    logic [39:0] line [8192];
    always_ff @(posedge clk) begin
        if (we) line[a] <= d;
        q <= line[a];
    end
endmodule
"""


def project(**texts: str) -> tuple[Judgement, object]:
    def judge(changed: Mapping[str, str]) -> Judgement:
        settings = Settings(root="/nonexistent", sources=tuple(texts))
        return Engine(settings, {**texts, **changed}).judge()

    return judge({}), judge


def test_a_drifted_shape_is_corrected_and_a_second_run_changes_nothing() -> None:
    text = DELAY.format(intent="//@mem in bulk; shape 4K x 40; one clock")
    judged, judge = project(**{"a.sv": text})
    fixed = fix_all(judged, judge, lambda _: True)
    assert fixed.texts["a.sv"] == text.replace("shape 4K x 40", "shape 8K x 40")
    again = fix_all(judge(fixed.texts), judge, lambda _: True)
    assert not again.applied and not again.texts


def test_only_wanted_findings_are_fixed() -> None:
    judged, judge = project(**{"a.sv": DELAY.format(intent="//@mem in bulk; shape 4K x 40")})
    assert not fix_all(judged, judge, lambda finding: finding.rule == "port-drift").texts


def test_code_is_never_touched() -> None:
    text = DELAY.format(intent="//@mem in bulk; shape 4K x 40")
    judged, judge = project(**{"a.sv": text})
    fixed = fix_all(judged, judge, lambda _: True).texts["a.sv"]
    code = [line for line in text.splitlines() if "@mem" not in line]
    assert [line for line in fixed.splitlines() if "@mem" not in line] == code


@given(st.text(max_size=60), st.data())
def test_edits_that_do_not_overlap_change_nothing_else(text: str, data: st.DataObject) -> None:
    cuts = sorted(data.draw(st.lists(st.integers(0, len(text)), max_size=8, unique=True)))
    pairs = list(zip(cuts[::2], cuts[1::2], strict=False))
    new = [data.draw(st.text(max_size=5)) for _ in pairs]
    edits = [Edit(Span("f", a, b), one) for (a, b), one in zip(pairs, new, strict=True)]
    expected, at = "", 0
    for (a, b), one in zip(pairs, new, strict=True):
        expected += text[at:a] + one
        at = b
    assert apply_edits(text, edits) == expected + text[at:]
