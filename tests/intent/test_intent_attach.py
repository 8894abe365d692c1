"""Where an intent belongs."""

import pytest
from intent_text import FILE, attached, comments_of

from memlint.reading.intent.attach import StatementPlace, attach, outside_units, read_comments
from memlint.reading.intent.format import format_intent
from memlint.text.source import SourceText


def belongs(source: str) -> dict[str, str]:
    shown, answer = attached(source)
    assert answer.problems == ()
    return shown


def unattached(source: str) -> tuple[str, str]:
    """The comment a finding points at, and its message."""
    shown, answer = attached(source)
    (problem,) = answer.problems
    assert (problem.rule, shown) == ("intent-unattached", {})
    assert any("on a line of its own" in line for line in problem.help)
    return source[problem.span.start : problem.span.end], problem.message


@pytest.mark.parametrize(
    "between",
    ["", "\n\n", "// the store\n", "/* two\nlines */\n", '(* keep, ram_block = "x" *)\n', "(* a *)\n// b\n"],
)
def test_a_comment_on_its_own_line_belongs_to_the_next_statement(between: str) -> None:
    source = f"reg a;\n// @mem in bulk\n{between}reg [7:0] mem_a [0:3];\nreg [7:0] mem_b [0:3];\n"
    assert belongs(source) == {"reg [7:0] mem_a [0:3];": "in bulk"}


def test_it_may_stand_between_the_attribute_and_the_declaration() -> None:
    assert belongs("(* a *)\n// @mem in bulk\nreg mem [0:3];\n") == {"reg mem [0:3];": "in bulk"}


def test_a_block_comment_before_code_on_its_line() -> None:
    assert belongs("/* @mem in bulk */ reg mem [0:3];\nreg mem_b [0:3];") == {"reg mem [0:3];": "in bulk"}


@pytest.mark.parametrize("comment", ["// @mem in bulk", "/* @mem in bulk */", "/* x */ // @mem in bulk"])
def test_a_comment_at_the_end_of_a_line_belongs_to_what_ends_there(comment: str) -> None:
    source = f"reg mem_a [0:3];\nreg mem_b\n   [0:3]; reg mem_c [0:1]; {comment}\nreg mem_d [0:3];\n"
    assert belongs(source) == {"reg mem_c [0:1];": "in bulk"}


def test_the_line_after_an_end_of_line_comment_belongs_to_the_next_statement() -> None:
    source = "reg mem_a [0:3]; // @mem in bulk\n// @mem fifo\nreg mem_b [0:3];\n"
    assert belongs(source) == {"reg mem_a [0:3];": "in bulk", "reg mem_b [0:3];": "fifo"}


def test_comments_parted_by_others_all_belong_to_the_statement() -> None:
    source = "// @mem in bulk\n// note\n// @mem fifo\nreg mem [0:3]; // @mem ecc\n"
    assert belongs(source) == {"reg mem [0:3];": "in bulk | fifo | ecc"}


def test_a_repetition_across_the_comments_of_a_statement() -> None:
    source = "// @mem in bulk\nreg mem [0:3]; // @mem in block; fifo\n"
    shown, answer = attached(source)
    assert shown == {"reg mem [0:3];": "in bulk | fifo"}
    (problem,) = answer.problems
    assert problem.rule == "intent-repeats-clause"
    assert source[problem.span.start : problem.span.end] == "in block"
    assert "`in bulk` on line 1" in problem.message


def test_several_memories_of_one_instance() -> None:
    source = "// @mem on u_x.mem: in bulk\n// @mem on u_y.mem: in block\nstore u_store ();\n"
    assert belongs(source) == {"store u_store ();": "on u_x.mem: in bulk | on u_y.mem: in block"}


@pytest.mark.parametrize(
    ("source", "reason"),
    [
        ("// @mem in bulk\nassign y = a;\nreg mem [0:3];", "`assign y = a;` on line 2, declares no array"),
        ("// @mem in bulk\nendmodule\nreg mem [0:3];", "`endmodule` on line 2, declares no array"),
        ("reg mem [0:3];\n// @mem in bulk\n", "no statement follows it"),
        ("assign y = a; // @mem in bulk\nreg mem [0:3];", "`assign y = a;` on line 1, declares no array"),
        ("reg a; // @mem in bulk\nreg mem [0:3];", "`reg a;` on line 1, declares no array"),
        ("begin // @mem in bulk\nreg mem [0:3];", "`begin` on line 1, declares no array"),
        ("store u_a ( // @mem in bulk\n  clk);\n", "no statement ends on this line before it: it stands"),
        ("reg a; /* @mem in bulk */ reg mem [0:3];", "between two pieces of code on one line"),
        ("store u_a (\n  // @mem in bulk\n  clk);\nreg mem [0:3];", "inside a statement, `store u_a ("),
    ],
)  # fmt: skip
def test_an_intent_that_belongs_to_nothing(source: str, reason: str) -> None:
    place, message = unattached(source)
    assert place.strip("/* ") == "@mem in bulk"
    assert reason in message


def test_a_declaration_inside_a_process_takes_its_intent() -> None:
    source = "process (clk)\n  -- @mem in bulk\n  variable mem : t;\nbegin\n  -- @mem fifo\nend process;\n"
    text = SourceText(FILE, source)
    groups, _ = read_comments(comments_of(source), text)
    declaration = source.index("variable")
    places = [
        StatementPlace(0, len(source) - 1, "other"),
        StatementPlace(declaration, source.index("\nbegin"), "memory-or-instance"),
    ]
    answer = attach(groups, places, text)
    assert list(answer.statements) == [1]
    assert format_intent(answer.statements[1][0]) == "in bulk"
    (problem,) = answer.problems
    assert "inside a statement, `process (clk)" in problem.message


@pytest.mark.parametrize(
    "clauses",
    ["budget bulk <= 4", "plan valves; shape 4K x 12; in bulk; times 4", "holds 3 bit; plan a",
     'budget bulk <= 4; why "half the board"', 'accept unit-over-budget because "a"; budget bulk <= 4'],
)  # fmt: skip
@pytest.mark.parametrize(
    "source",
    [
        "// @mem {}\nassign y = a;\n",
        "// @mem {}\nreg mem [0:3];\n",
        "reg mem [0:3]; // @mem {}\n",
        "// @mem {}",
    ],
)
def test_what_speaks_for_the_unit_needs_no_statement(clauses: str, source: str) -> None:
    text = source.format(clauses)
    shown, answer = attached(text)
    assert (shown, answer.problems) == ({}, ())
    ((offset, intent),) = answer.units
    assert offset == text.index("// @mem")
    assert format_intent(intent) == clauses


def test_a_budget_among_a_memorys_clauses_still_speaks_for_the_unit() -> None:
    shown, answer = attached('reg a;\n// @mem in bulk; budget bulk <= 4; why "b"\nreg mem [0:3];\n')
    assert shown == {"reg mem [0:3];": 'in bulk; why "b"'}
    assert [(offset, format_intent(intent)) for offset, intent in answer.units] == [(7, "budget bulk <= 4")]


def test_a_budget_outside_any_unit() -> None:
    _, answer = attached("// @mem budget bulk <= 4\n")
    problem = outside_units(answer.units[0][1])
    assert (problem.rule, problem.span.start) == ("intent-unattached", 0)


def test_an_intent_without_a_readable_clause_is_not_called_unattached_too() -> None:
    source = SourceText(FILE, "// @mem shap\n")
    groups, problems = read_comments(comments_of(source.text), source)
    assert [problem.rule for problem in problems] == ["intent-syntax"]
    assert attach(groups, [], source).problems == ()
