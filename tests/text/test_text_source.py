"""Lines, columns, spans and bytes of one file. Expected values are counted by hand."""

import pytest

from memlint.text.encodings import Encoding, units_in
from memlint.text.source import Position, SourceText, Span, decode

LANES = SourceText("lanes.vhd", "one\r\ntwo\rdrei\n\nend")


@pytest.mark.parametrize(
    ("offset", "line", "column"),
    [(-5, 1, 1), (0, 1, 1), (3, 1, 4), (5, 2, 1), (9, 3, 1), (14, 4, 1), (15, 5, 1), (18, 5, 4), (99, 5, 4)],
)
def test_lines_and_columns_count_from_one(offset: int, line: int, column: int) -> None:
    assert LANES.position(offset) == Position(line, column)


def test_a_line_is_shown_without_its_end() -> None:
    assert [LANES.line_text(line) for line in range(1, 6)] == ["one", "two", "drei", "", "end"]


def test_spans_of_one_file_join() -> None:
    assert Span("a.sv", 4, 9).to(Span("a.sv", 20, 25)) == Span("a.sv", 4, 25)
    assert Span("a.sv", 4, 30).to(Span("a.sv", 20, 25)) == Span("a.sv", 4, 30)


def test_a_span_does_not_reach_into_an_included_file() -> None:
    assert Span("a.sv", 4, 9).to(Span("a.svh", 20, 25)) == Span("a.sv", 4, 9)


def test_bytes_are_utf_8_without_its_mark_else_latin_1() -> None:
    # RFC 3629, section 6: the byte order mark is EF BB BF. ISO/IEC 8859-1: FC is u with diaeresis.
    assert decode(b"\xef\xbb\xbf-- \xc3\xbcber") == "-- über"
    assert decode(b"-- \xfcber") == "-- über"


@pytest.mark.parametrize(
    ("char", "octets"),
    [("\x7f", 1), ("\x80", 2), ("\u07ff", 2), ("\u0800", 3), ("\uffff", 3), ("\U00010000", 4)],
)
def test_octets_at_the_edges_of_utf_8(char: str, octets: int) -> None:
    # RFC 3629, section 3, the table of octet sequences.
    assert units_in(char, Encoding.UTF_8) == octets
    assert units_in(char + "é", Encoding.UTF_8) == octets + 2


@pytest.mark.parametrize(("char", "units"), [("\uffff", 1), ("\U00010000", 2), ("\U0010ffff", 2)])
def test_units_at_the_edge_of_utf_16(char: str, units: int) -> None:
    # RFC 2781, section 2.1: values below 0x10000 are one unit, those above two.
    assert units_in(char, Encoding.UTF_16) == units
