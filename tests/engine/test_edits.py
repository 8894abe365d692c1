"""What a rule wants to edit, worked out on the text: clauses with their separators, comments, lines."""

from __future__ import annotations

import pytest

from memlint.engine import check_text
from memlint.engine.edits import line_above, marked_comment, stays_in_intent
from memlint.engine.fixing import apply_edits
from memlint.rules.finding import Edit
from memlint.text.source import SourceText, Span

HEAD = """\
module delay (input logic clk, we, input logic [12:0] a, input logic [39:0] d, output logic [39:0] q);
"""
TAIL = """\
  always_ff @(posedge clk) begin
    if (we) line[a] <= d;
    q <= line[a];
  end
endmodule
"""
OLD = 'accept shallow-wide because "it was; once"'


def fixed(declaration: str) -> str:
    """The declaration once the first fix of the only finding, an unused acceptance, is made."""
    text = HEAD + declaration + TAIL
    (found,) = check_text(text).findings
    assert found.rule == "acceptance-unused"
    (fix,) = found.fixes
    assert fix.safe
    changed = apply_edits(text, fix.edits)
    assert changed.startswith(HEAD) and changed.endswith(TAIL)
    return changed[len(HEAD) : -len(TAIL)]


LINE = "  logic [39:0] line [8192];\n"


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (f"  //@mem in bulk; {OLD}\n{LINE}", f"  //@mem in bulk\n{LINE}"),
        (f"  //@mem {OLD}; in bulk\n{LINE}", f"  //@mem in bulk\n{LINE}"),
        (f"  //@mem in bulk;{OLD} ;one clock\n{LINE}", f"  //@mem in bulk;one clock\n{LINE}"),
        (f"  //@mem {OLD}\n{LINE}", LINE),
        (f"  //@mem in bulk\n  //@mem {OLD}\n{LINE}", f"  //@mem in bulk\n{LINE}"),
        (f"  /* @mem {OLD} */\n{LINE}", LINE),
        (f"  /* @mem in bulk;\n     {OLD} */\n{LINE}", f"  /* @mem in bulk */\n{LINE}"),
        (f"  /* @mem {OLD} */ logic [39:0] line [8192];\n", "   logic [39:0] line [8192];\n"),
        (f"  logic [39:0] line [8192]; //@mem {OLD}\n", LINE),
        (f"  logic [39:0] line [8192]; //@mem {OLD}; in bulk\n", LINE[:-1] + " //@mem in bulk\n"),
        (f"  //@mem {OLD}\r\n  logic [39:0] line [8192];\r\n", "  logic [39:0] line [8192];\r\n"),
    ],
)
def test_an_unused_acceptance_goes_with_its_separator_or_comment(before: str, after: str) -> None:
    assert fixed(before) == after


def test_a_missing_intent_is_written_above_in_the_indentation_of_its_declaration() -> None:
    text = "module m;\r\n\t  logic x;\r\nendmodule\r\n"
    source = SourceText("a.sv", text)
    edit = line_above(source, text.index("logic"), "// @mem in block")
    assert edit is not None
    assert apply_edits(text, [edit]) == "module m;\r\n\t  // @mem in block\r\n\t  logic x;\r\nendmodule\r\n"
    assert line_above(source, text.index("x;"), "// @mem in block") is None


@pytest.mark.parametrize(
    ("text", "marked", "inside"),
    [
        ("wire x; //@mem in bulk\n", "bulk", True),
        ("wire x; // about @mem in bulk\n", "bulk", False),
        ("wire x; /* @mem in\n bulk */ wire bulks;\n", "bulk ", True),
        ("wire x; /* @mem in bulk */ wire y;\n", "y", False),
        ("wire x; //@mem in bulk\nwire y;\n", "y", False),
        ("-- @mem in bulk\nsignal y : bit;\n", "bulk", True),
    ],
)
def test_an_edit_stays_inside_a_comment_with_the_marker(text: str, marked: str, inside: bool) -> None:
    source = SourceText("a.sv", text)
    start = text.index(marked)
    span = Span("a.sv", start, start + len(marked))
    assert stays_in_intent(Edit(span, "block"), source) == inside
    assert not stays_in_intent(Edit(span, "block\nwire z;"), source)
    assert not stays_in_intent(Edit(span, "block */ wire z;"), source)


def test_only_whole_comments_with_the_marker_are_taken_out() -> None:
    text = "wire x; //@mem in bulk\nwire y; // @memory\n"
    source = SourceText("a.sv", text)
    start, end = text.index(" //@mem"), text.index("\n")
    assert stays_in_intent(Edit(Span("a.sv", start, end), ""), source)
    assert not stays_in_intent(Edit(Span("a.sv", start - 1, end), ""), source)
    assert not stays_in_intent(Edit(Span("a.sv", start, end + 1), ""), source)
    assert marked_comment(source, Span("a.sv", text.index("@memory") + 7, len(text))) is None


@pytest.mark.parametrize(
    ("written", "repaired"),
    [
        ("shap 8K x 40", "shape 8K x 40"),
        ("in bulk; prots 1w 1r", "in bulk; ports 1w 1r"),
        ("same address befor", "same address before"),
        ("read withn 2 cycles", "read within 2 cycles"),
        ('acept shape-drift because "x"', 'accept shape-drift because "x"'),
    ],
)
def test_a_misspelt_word_of_a_clause_is_repaired(written: str, repaired: str) -> None:
    text = f"{HEAD}  //@mem {written}\n{LINE}{TAIL}"
    (found,) = [one for one in check_text(text).findings if one.rule == "intent-syntax"]
    (fix,) = found.fixes
    assert apply_edits(text, fix.edits) == text.replace(written, repaired)


@pytest.mark.parametrize("written", ["shap 8K by 40", "xyzzy", "shape 32k x 40", "holds 4 Kbit", "in"])
def test_what_may_mean_several_things_or_stays_wrong_is_not_repaired(written: str) -> None:
    text = f"{HEAD}  //@mem {written}\n{LINE}{TAIL}"
    (found,) = [one for one in check_text(text).findings if one.rule == "intent-syntax"]
    assert found.fixes == ()
