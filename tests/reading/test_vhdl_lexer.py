"""Tokens of VHDL: what IEEE Std 1076-2008 clause 15 says about literals, comments and identifiers.

The literals marked LRM are examples of clauses 15.5.3 and 15.8 of that standard, quoted from memory.
"""

import pytest
from vhdl_shown import in_architecture, of_expression, read, shown

from memlint.reading.facts.expressions import Name, Number, Real, String, Unsupported
from memlint.reading.vhdl.lexer import lex
from memlint.text.source import SourceText


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("1_000", 1000),
        ("1e3", 1000),
        ("12E+2", 1200),
        ("16#FF#", 255),  # LRM
        ("016#0FF#", 255),  # LRM
        ("2#1111_1111#", 255),  # LRM
        ("16#E#E1", 224),  # LRM
        ("2#1110_0000#", 224),  # LRM
    ],
)
def test_integer_literals(text: str, value: int) -> None:
    assert of_expression(text) == Number(value, None, True, span=of_expression(text).span)


@pytest.mark.parametrize(
    ("text", "value"),
    [("12.0", 12.0), ("1.5e-3", 0.0015), ("16#F.FF#E+2", 4095.0), ("2#1.1111_1111_111#E11", 4095.0)],  # LRM
)
def test_real_literals(text: str, value: float) -> None:
    assert of_expression(text) == Real(value, span=of_expression(text).span)


@pytest.mark.parametrize(
    ("text", "bits"),
    [
        ('B"1111_1111_1111"', "111111111111"),  # LRM
        ('X"FFF"', "111111111111"),  # LRM
        ('O"777"', "111111111"),  # LRM
        ('X"777"', "011101110111"),  # LRM
        ('uo"27"', "010111"),  # LRM
        ('D"35"', "100011"),  # LRM
        ('12UX"F1"', "000011110001"),  # LRM
        ('12SX"F1"', "111111110001"),  # LRM
        ('12UX"000F1"', "000011110001"),  # LRM
        ('12D"13"', "000000001101"),  # LRM
        ('4sb"1"', "1111"),
    ],
)
def test_bit_strings_are_numbers_as_wide_as_their_bits(text: str, bits: str) -> None:
    found = of_expression(text)
    assert isinstance(found, Number)
    assert (found.value, found.width) == (int(bits, 2), len(bits))


@pytest.mark.parametrize(("text", "width"), [('X"Z"', 4), ('12UX"F-"', 12), ('b"0X"', 2)])
def test_bit_strings_with_metavalues_have_a_width_and_no_value(text: str, width: int) -> None:
    found = of_expression(text)
    assert isinstance(found, Number)
    assert (found.value, found.width) == (None, width)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("std_logic'('1')", "std_logic'('1')"),
        ("character'(''')", "character'(''')"),
        ("a'length", "a'length"),
        ("a(1)'length", "a(1)'length"),
        ("a 'length", "a'length"),
        ("b and '1'", "(b & '1')"),
        ("pkg.'1'", "pkg.'1'"),
        ("'(' & ')'", "{'(', ')'}"),
    ],
)
def test_a_quote_is_a_tick_after_a_name_and_opens_a_character_elsewhere(text: str, expected: str) -> None:
    assert shown(of_expression(text)) == expected


def test_a_character_may_follow_a_reserved_word_without_blank() -> None:
    (found,) = in_architecture("begin q <= '1'when'0'=x else'Z';")
    assert shown(found) == "assign q <= (('0' == x) ? '1' : 'Z')"


def test_identifiers_are_lower_case_and_extended_ones_as_written() -> None:
    found = in_architecture("SIGNAL Hue, \\Hue\\, \\two words\\, \\a\\\\b\\ : Hue_T;")
    assert [each.name for each in found] == ["hue", "\\Hue\\", "\\two words\\", "\\a\\\\b\\"]


def test_attribute_and_member_names_may_be_reserved_words() -> None:
    assert shown(of_expression("a'range")) == "a'range"
    assert shown(of_expression("buffer_pointer.all(3)")) == "buffer_pointer.all(3)"


def test_two_quotes_in_a_string_are_one() -> None:
    found = of_expression('"say ""no"" now"')
    assert found == String('say "no" now', span=found.span)


def test_comments_end_at_their_line_or_their_closer() -> None:
    text = "a /* b -- c */ + -- d /* e\n f /* g /* h */ - 1"
    assert shown(of_expression(text)) == "((a + f) - 1)"


@pytest.mark.parametrize("word", ["synthesis", "pragma", "SYNTHESIS"])
def test_text_between_translate_off_and_on_is_not_there(word: str) -> None:
    text = f"signal a : t;\n-- {word} translate_off\nsignal b : t; '\" \n--{word} translate_on\nsignal c : t;"
    assert [each.name for each in in_architecture(text)] == ["a", "c"]


def test_translate_off_without_on_hides_the_rest() -> None:
    facts = read("entity a is end;\n-- pragma translate_off\nentity b is end;")
    assert [unit.name for unit in facts.units] == ["a"]


def test_an_external_name_is_named_with_its_identifiers() -> None:
    found = of_expression("<< signal .bench.sorter.line : line_t >>")
    assert found == Unsupported("external name", ("bench", "sorter", "line", "line_t"), span=found.span)


def test_a_tool_directive_is_named_and_its_line_dropped() -> None:
    facts = read('`if TOOL = "sim" then\nentity a is end;\n`end\n')
    assert [unit.name for unit in facts.units] == ["a"]
    assert [shown(each) for each in facts.items] == ["<tool directive: >", "<tool directive: >"]


def test_physical_literals_are_products_with_their_unit() -> None:
    assert shown(of_expression("-1.5 ns + 10 us")) == "((- (1.5 * ns)) + (10 * us))"


@pytest.mark.parametrize(
    "text", ["16#FG#", "17#0#", "1e-1", "0#0#", "9" * 5000, "1e5000", 'b"2' + "1" * 5000 + '"']
)
def test_a_malformed_or_endless_number_is_no_value(text: str) -> None:
    (found,) = in_architecture(f"begin x <= {text};")
    assert "Number(value=0" not in repr(found)
    assert "Unsupported" in repr(found) or "Skipped" in repr(found)


def test_positions_count_code_points() -> None:
    text = "entity öl is -- ∞ 𝕊\nend; entity b is end;"
    units = read(text).units
    assert [text[unit.span.start : unit.span.end] for unit in units] == ["öl", "b"]


def test_mem_comments_are_found_and_others_are_not() -> None:
    source = "-- @mem a\n--@mem b\n/* @mem c */ -- about @mem\n--@memory\n"
    lexed = lex(SourceText("sorter.vhd", source))
    assert [source[each.start : each.end] for each in lexed.comments] == [
        "-- @mem a",
        "--@mem b",
        "/* @mem c */",
    ]


def test_names_of_later_revisions_are_identifiers() -> None:
    words = [
        "context",
        "force",
        "release",
        "property",
        "sequence",
        "parameter",
        "protected",
        "view",
        "default",
    ]
    for word in words:
        assert of_expression(word) == Name(word, span=of_expression(word).span)
