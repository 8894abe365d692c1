"""Which comments are intents, and which of them belong together."""

import pytest
from intent_text import FILE, comments_of

from memlint.reading.intent.comments import group_comments
from memlint.reading.intent.reader import read_intents
from memlint.text.source import SourceText


def texts(source: str) -> list[list[str]]:
    groups = group_comments(comments_of(source), SourceText(FILE, source))
    for group in groups:
        for piece in group.pieces:
            assert source[piece.start : piece.start + len(piece.text)] == piece.text
    return [[piece.text.strip() for piece in group.pieces] for group in groups]


@pytest.mark.parametrize(
    "comment",
    [
        "//@mem in bulk",
        "// @mem in bulk",
        "--@mem in bulk",
        "-- \t @mem in bulk",
        "/* @mem in bulk */",
        "/*@mem in bulk*/",
        "/* @mem in bulk",
    ],
)
def test_the_marker(comment: str) -> None:
    assert texts(comment) == [["in bulk"]]


@pytest.mark.parametrize("comment", ["// @memory", "// @mem_x", "// see @mem in bulk", "/// @mem", "// @MEM"])
def test_no_marker(comment: str) -> None:
    assert texts(comment) == []


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_consecutive_lines_are_one_intent(ending: str) -> None:
    source = ending.join(["  // @mem in bulk", "\t// @mem one clock", "/* @mem fifo */", "mem;"])
    assert texts(source) == [["in bulk", "one clock", "fifo"]]


@pytest.mark.parametrize(
    "between",
    ["\n", "// @note\n", "reg a;\n", "reg a; // @mem in block\n"],
    ids=["blank", "comment", "code", "tail"],
)
def test_other_lines_part_them(between: str) -> None:
    groups = texts(f"// @mem in bulk\n{between}// @mem one clock\n")
    assert groups[0] == ["in bulk"]
    assert groups[-1] == ["one clock"]


def test_code_behind_a_block_comment_parts_it_from_the_next_line() -> None:
    assert texts("/* @mem in bulk */ reg a;\n// @mem fifo\n") == [["in bulk"], ["fifo"]]


def test_a_comment_behind_code_is_never_joined_with_the_next_line() -> None:
    assert texts("mem; // @mem in bulk\n     // @mem fifo\n// @mem ecc\n") == [["in bulk"], ["fifo", "ecc"]]


def test_a_block_comment_runs_over_lines_with_or_without_stars() -> None:
    source = '/* @mem shape 32K x\n *  40; ports 1w 1r;\n    why "a long\n *  reason" */'
    (group,) = group_comments(comments_of(source), SourceText(FILE, source))
    (intent,), problems = read_intents(group.pieces, SourceText(FILE, source))
    assert problems == ()
    shape, ports, why = intent.clauses
    assert (shape.depth, shape.width, ports.w, why.text) == (32768, 40, 1, "a long reason")  # type: ignore[union-attr]
    assert source[shape.span.start : shape.span.end] == "shape 32K x\n *  40"
    assert source[ports.span.start : ports.span.end] == "ports 1w 1r"
