"""Positions as editors count them. Sources are named beside the checks."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memlint.text.encodings import Encoding, column_at, offset_at, protocol_position, units_in
from memlint.text.source import SourceText

# Characters that some text libraries take for line ends, and ones of every length in each encoding.
SPECIAL = "\f\v\x1c\x1d\x1e\x85\u2028\u2029\ufeff\x00é€😀𐐀e\u0301\t"
TEXTS = st.text(st.sampled_from("ab ;\r\n" + SPECIAL), max_size=40)
CODECS = {Encoding.UTF_8: ("utf-8", 1), Encoding.UTF_16: ("utf-16-le", 2), Encoding.UTF_32: ("utf-32-le", 4)}
ENCODINGS = st.sampled_from(Encoding)


@pytest.mark.parametrize(
    ("encoding", "before_b"), [(Encoding.UTF_8, 5), (Encoding.UTF_16, 3), (Encoding.UTF_32, 2)]
)
def test_the_example_of_the_protocol(encoding: Encoding, before_b: int) -> None:
    # Language Server Protocol 3.17, "Text Documents": in a𐐀b the b has offset 3 in UTF-16. The code
    # point takes four bytes in UTF-8 (RFC 3629, section 3) and one unit in UTF-32. All from memory.
    source = SourceText("line_store.sv", "a𐐀b")
    assert offset_at(source, 0, before_b, encoding) == 2
    assert protocol_position(source, 2, encoding) == (0, before_b)


@given(TEXTS, ENCODINGS)
def test_units_are_those_of_the_standard_codecs(text: str, encoding: Encoding) -> None:
    codec, size = CODECS[encoding]
    assert units_in(text, encoding) == len(text.encode(codec)) // size


def test_a_lone_surrogate_does_not_stop_an_editor() -> None:
    assert units_in("a\ud83d", Encoding.UTF_16) == 2
    assert units_in("a\ud83d", Encoding.UTF_8) == 4


@pytest.mark.parametrize("encoding", list(Encoding))
@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r", ""])
def test_past_the_end_of_a_line_is_its_end(encoding: Encoding, ending: str) -> None:
    # LSP 3.17, Position: a character value beyond the line length defaults back to the line length.
    source = SourceText("line_store.sv", f"wörd{ending}")
    assert offset_at(source, 0, 99, encoding) == 4


def test_past_the_end_of_the_text_is_its_end() -> None:
    source = SourceText("line_store.sv", "one\ntwo")
    assert offset_at(source, 1, 3, Encoding.UTF_16) == 7
    assert offset_at(source, 1, 4, Encoding.UTF_16) == 7
    assert offset_at(source, 2, 0, Encoding.UTF_16) == 7
    assert offset_at(source, -1, 5, Encoding.UTF_16) == 0
    assert offset_at(source, 1, -1, Encoding.UTF_16) == 4


def test_inside_a_code_point_is_its_start() -> None:
    assert column_at("a😀b", 2, Encoding.UTF_16) == 1
    assert [column_at("a😀b", unit, Encoding.UTF_8) for unit in range(7)] == [0, 1, 1, 1, 1, 2, 3]


def test_inside_cr_lf_is_the_end_of_the_line() -> None:
    source = SourceText("line_store.sv", "ab\r\ncd")
    assert protocol_position(source, 3, Encoding.UTF_16) == (0, 2)
    assert protocol_position(source, 4, Encoding.UTF_16) == (1, 0)


@pytest.mark.parametrize("char", "\f\v\x1c\x1d\x1e\x85\u2028\u2029")
def test_only_lf_cr_lf_and_cr_end_a_line(char: str) -> None:
    # LSP 3.17, "Text Documents": the line ends are \n, \r\n and \r.
    source = SourceText("line_store.sv", f"a{char}b\nc")
    assert protocol_position(source, 2, Encoding.UTF_32) == (0, 2)
    assert offset_at(source, 1, 0, Encoding.UTF_32) == 4


@given(TEXTS, st.data(), ENCODINGS)
def test_a_position_leads_back_to_its_offset(text: str, data: st.DataObject, encoding: Encoding) -> None:
    source = SourceText("line_store.sv", text)
    offset = data.draw(st.integers(0, len(text)))
    back = offset_at(source, *protocol_position(source, offset, encoding), encoding)
    inside_cr_lf = text[offset - 1 : offset + 1] == "\r\n" and offset > 0
    assert back == offset - inside_cr_lf
