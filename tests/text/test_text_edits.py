"""Incremental edits against a model that shares nothing with the code: encoded lines, cut as bytes."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from memlint.text.edits import RangeChange, WholeChange, apply_changes
from memlint.text.encodings import Encoding
from memlint.text.source import SourceText

# Form feed, vertical tab, the separators FS, GS, RS, NEL, LINE and PARAGRAPH SEPARATOR end no line.
ALPHABET = "ab;\r\n" + "\f\v\x1c\x1d\x1e\x85\u2028\u2029" + "\ufeffé€😀𐐀"
TEXTS = st.text(st.sampled_from(ALPHABET), max_size=30)
PLACES = st.tuples(st.integers(0, 8), st.integers(0, 12))
CHANGES = st.lists(st.builds(RangeChange, PLACES, PLACES, TEXTS), min_size=1, max_size=4)
CODECS = {Encoding.UTF_8: ("utf-8", 1), Encoding.UTF_16: ("utf-16-le", 2), Encoding.UTF_32: ("utf-32-le", 4)}


def naive_offset(text: str, line: int, character: int, encoding: Encoding) -> int:
    """Line ends of LSP 3.17; the column is cut from the encoded line, half a code point dropped."""
    lines = re.split(r"(\r\n|\r|\n)", text)
    if line >= (len(lines) + 1) // 2:
        return len(text)
    codec, size = CODECS[encoding]
    cut = lines[2 * line].encode(codec)[: character * size].decode(codec, errors="ignore")
    return len("".join(lines[: 2 * line])) + len(cut)


def naive_edit(text: str, change: RangeChange, encoding: Encoding) -> str:
    start = naive_offset(text, *change.start, encoding)
    end = naive_offset(text, *change.end, encoding)
    return text[: min(start, end)] + change.text + text[max(start, end) :]


@settings(max_examples=400)
@given(TEXTS, CHANGES, st.sampled_from(Encoding))
def test_edits_equal_naive_slicing(text: str, changes: list[RangeChange], encoding: Encoding) -> None:
    expected = text
    for change in changes:
        expected = naive_edit(expected, change, encoding)
    before = SourceText("valve_delay.vhd", text)
    assert apply_changes(before, changes, encoding).text == expected
    assert before.text == text


@pytest.mark.parametrize("encoding", list(Encoding))
def test_every_change_sees_what_the_one_before_left(encoding: Encoding) -> None:
    source = SourceText("valve_delay.vhd", "signal a;\n")
    changes = [
        RangeChange((0, 7), (0, 8), "delay"),
        RangeChange((0, 12), (0, 12), "_line"),
        RangeChange((1, 0), (1, 0), "--\n"),
    ]
    assert apply_changes(source, changes, encoding).text == "signal delay_line;\n--\n"


def test_a_line_feed_put_after_a_carriage_return_makes_one_line_end() -> None:
    source = SourceText("valve_delay.vhd", "a\rb")
    joined = apply_changes(source, [RangeChange((1, 0), (1, 0), "\n")], Encoding.UTF_16)
    assert joined.text == "a\r\nb"
    assert joined.line_starts == [0, 3]


def test_a_whole_change_replaces_everything() -> None:
    source = SourceText("valve_delay.vhd", "old")
    changes: list[RangeChange | WholeChange] = [WholeChange("new\n"), RangeChange((0, 99), (0, 99), "er")]
    after = apply_changes(source, changes, Encoding.UTF_8)
    assert (after.file, after.text) == ("valve_delay.vhd", "newer\n")


def test_typing_at_the_end_of_an_unterminated_last_line() -> None:
    source = SourceText("valve_delay.vhd", "a\nbc")
    assert apply_changes(source, [RangeChange((1, 3), (1, 3), "d")], Encoding.UTF_16).text == "a\nbcd"
