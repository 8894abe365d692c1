"""The excerpt of a source: what is marked stands below what is meant."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memlint.reports.excerpt import excerpt
from memlint.text.source import SourceText, Span


def shown(text: str, start: int, end: int, width: int = 80) -> tuple[str, str]:
    """The line and its marks."""
    found = excerpt(SourceText("rtl/belt.sv", text), Span("rtl/belt.sv", start, end), width)
    assert found is not None
    return found.line, found.marks


def of(text: str, words: str, width: int = 80) -> tuple[str, str]:
    start = text.index(words)
    return shown(text, start, start + len(words), width)


def test_the_words_are_marked_and_indentation_is_left_out() -> None:
    assert of("module belt;\n    logic [7:0] due [0:63];\n", "due") == (
        "logic [7:0] due [0:63];",
        "            ===",
    )


def test_a_tab_before_the_words_takes_its_columns() -> None:
    assert of("\tlogic\tdue\t[0:63];", "due") == ("logic   due [0:63];", "        ===")


def test_a_tab_within_the_words_is_marked_whole() -> None:
    assert of("logic\tdue;", "logic\tdue") == ("logic   due;", "===========")


def test_wide_characters_take_two_columns_and_are_marked_so() -> None:
    # East Asian Width W: Unicode Standard Annex #11.
    assert of('x = "粒粒"; due[wa] <= d;', "due[wa]") == ('x = "粒粒"; due[wa] <= d;', "            =======")
    assert of("a 粒 b", "粒") == ("a 粒 b", "  ==")


def test_combining_characters_take_no_column() -> None:
    assert of("e\u0301 due", "due") == ("e\u0301 due", "  ===")


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r", ""])
def test_line_ends_are_never_shown(end: str) -> None:
    text = f"first{end or chr(10)}logic due;{end}"
    assert of(text, "due;") == ("logic due;", "      ====")


def test_a_span_at_the_end_of_a_file_is_marked_behind_its_text() -> None:
    assert shown("endmodule", 9, 9) == ("endmodule", "         =")


def test_a_span_behind_the_end_counts_as_the_end() -> None:
    assert shown("endmodule", 900, 950) == ("endmodule", "         =")


def test_a_blank_line_has_no_excerpt() -> None:
    assert excerpt(SourceText("a.sv", "x\n   \n"), Span("a.sv", 3, 4), 80) is None
    assert excerpt(SourceText("a.sv", "x\n"), Span("a.sv", 2, 2), 80) is None
    assert excerpt(SourceText("a.sv", ""), Span("a.sv", 0, 0), 80) is None


def test_an_empty_span_marks_the_place() -> None:
    assert shown("logic due;", 6, 6) == ("logic due;", "      =")


def test_a_span_over_several_lines_tells_where_it_ends() -> None:
    found = excerpt(SourceText("a.sv", "begin // x\n  due;\nend\n"), Span("a.sv", 0, 21), 80)
    assert found is not None
    assert (found.line, found.marks, found.last_line) == ("begin // x", "=" * 10, 3)


def test_a_long_line_is_cut_on_both_sides_of_the_words() -> None:
    line, marks = of("a" * 300 + " due " + "b" * 300, " due ", 60)
    assert len(line) == 60
    assert line.startswith("...a")
    assert line.endswith("b...")
    assert line[marks.index("=") : marks.rindex("=") + 1] == " due "


def test_the_start_of_a_long_line_stays_when_the_words_are_there() -> None:
    line, marks = of("due" + "b" * 300, "due", 60)
    assert line.startswith("dueb")
    assert line.endswith("...")
    assert marks == "==="


def test_words_longer_than_the_page_show_their_beginning() -> None:
    line, marks = of("x " + "d" * 300, "d" * 300, 60)
    assert "d" * 40 in line
    assert len(line) <= 60
    assert len(marks) <= 60


def test_a_line_of_a_million_characters_is_still_shown_around_the_words() -> None:
    text = "a" * 1_000_000 + "due" + "b" * 1_000_000
    line, marks = of(text, "due", 60)
    assert line[marks.index("=") :][:3] == "due"
    assert line.startswith("...")
    assert line.endswith("...")


def test_what_steers_a_terminal_is_not_passed_on() -> None:
    line, _ = of("due \x1b[31m \u202e x\x07", "due")
    assert line == "due ?[31m ? x?"


def columns(text: str) -> int:
    """Columns a terminal gives to a text (Unicode Standard Annex #11; marks take none)."""
    marks = ("Mn", "Me")
    return sum(
        0 if unicodedata.category(one) in marks else 2 if unicodedata.east_asian_width(one) in "WF" else 1
        for one in text
    )


@given(
    st.text(alphabet=st.sampled_from("ab \t粒é\u0301\u200f\r\n;"), max_size=200),
    st.integers(0, 210),
    st.integers(0, 40),
    st.sampled_from([40, 80]),
)
def test_no_excerpt_is_wider_than_asked_or_holds_what_cannot_be_seen(
    text: str, start: int, length: int, width: int
) -> None:
    found = excerpt(SourceText("a.sv", text), Span("a.sv", start, start + length), width)
    if found is None:
        return
    assert columns(found.line) <= width
    assert len(found.marks) <= width
    assert "=" in found.marks
    assert not set("\t\r\n\u200f") & set(found.line)


@given(st.text(alphabet="abc粒\t ", min_size=1, max_size=60), st.data())
def test_the_marks_begin_below_the_first_marked_character(text: str, data: st.DataObject) -> None:
    solid = [at for at, one in enumerate(text) if one not in "\t "]
    if not solid:
        return
    at = data.draw(st.sampled_from(solid))
    line, marks = shown(text, at, at + 1, 500)
    begin = marks.index("=")
    reached = 0
    for one in line:
        if reached == begin:
            assert one == text[at]
            return
        reached += columns(one)
    raise AssertionError("the marks begin where no character does")
