"""Any text at all can be read: prefixes, random edits, endless nesting."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lark.exceptions import UnexpectedInput
from lark_parser import lark_parser
from vhdl_shown import in_architecture, in_process, of_expression, read, shown

from memlint.reading.facts.expressions import Binary, Concat, Expr
from memlint.reading.facts.items import FileFacts
from memlint.reading.starts import STARTS
from memlint.reading.vhdl.lexer import lex
from memlint.reading.vhdl.parse import Failure, parse
from memlint.text.source import SourceText

SAMPLES = sorted((Path(__file__).parent.parent / "samples" / "vhdl").glob("*.vhd"))
TEXTS = [path.read_text(encoding="utf-8") for path in SAMPLES]
WORDS = [
    *"( ) ; : , . ' \" & <= := => -- /* */ @mem end begin is if then elsif else case when loop for".split(),
    *"while generate process signal constant type record array of function return procedure entity".split(),
    *"architecture package body port map generic with select component use library block protected".split(),
    *("units", "wait", "new", "attribute", "alias", "all", "-- @mem ", "\n"),
]


def check(text: str) -> FileFacts:
    """Reads a text and checks what is true of any: spans lie in it, units do not overlap."""
    facts = read(text)
    end = 0
    for unit in facts.units:
        assert end <= unit.whole.start < unit.whole.end <= len(text)
        assert unit.whole.start <= unit.span.start < unit.span.end <= unit.whole.end
        assert text[unit.span.start : unit.span.end].lower() in (unit.name, unit.name.lower())
        end = unit.whole.end
    for problem in facts.problems:
        assert 0 <= problem.span.start <= problem.span.end <= len(text)
    return facts


@pytest.mark.parametrize("text", TEXTS, ids=[path.stem for path in SAMPLES])
def test_every_prefix_at_a_line_end_is_read(text: str) -> None:
    lines = text.splitlines(keepends=True)
    known: set[tuple[str, str]] = set()
    for count in range(len(lines) + 1):
        units = {(unit.kind, unit.name) for unit in check("".join(lines[:count])).units}
        assert known <= units, f"a unit is lost at line {count}"
        known = units


@pytest.mark.parametrize("text", TEXTS, ids=[path.stem for path in SAMPLES])
def test_leaving_out_any_one_line_loses_no_other_unit(text: str) -> None:
    lines = text.splitlines(keepends=True)
    whole = {(unit.kind, unit.name) for unit in read(text).units}
    for count, line in enumerate(lines):
        if "*/" in line or "translate_" in line:
            continue  # without it, what follows is a comment
        units = {(unit.kind, unit.name) for unit in check("".join(lines[:count] + lines[count + 1 :])).units}
        assert len(whole - units) <= 1, line


@pytest.mark.parametrize("end", ["\r\n", "\r"])
@pytest.mark.parametrize("text", TEXTS, ids=[path.stem for path in SAMPLES])
def test_line_ends_make_no_difference(text: str, end: str) -> None:
    assert read(text.replace("\n", end)).units == read(text).units


@given(st.text())
def test_any_text(text: str) -> None:
    check(text)


@given(st.lists(st.sampled_from([*WORDS, "x", "y", "1", "'1'", '"s"', "clk"]), max_size=120))
@settings(max_examples=300)
def test_any_words(words: list[str]) -> None:
    check(" ".join(words))


@given(
    st.sampled_from(TEXTS),
    st.lists(
        st.tuples(st.integers(0, 10_000), st.integers(0, 30), st.sampled_from(["", *WORDS])), max_size=8
    ),
)
@settings(max_examples=300)
def test_any_edits_of_a_sample(text: str, edits: list[tuple[int, int, str]]) -> None:
    for place, removed, inserted in edits:
        at = place % (len(text) + 1)
        text = f"{text[:at]} {inserted} {text[at + removed :]}"
    check(text)


MANY = 20_000


@pytest.mark.parametrize(
    "text",
    [
        "(" * MANY,
        "x <= " + "(" * MANY + "a" + ")" * MANY + ";",
        "x <= a" + "(1)" * MANY + ";",
        "x <= a" + "(1, 1)" * MANY + ";",
        "x <= a" + ".b" * MANY + ";",
        "x <= a" + "'b" * MANY + ";",
        "x <= " + "not " * MANY + "a;",
        "x <= " + "-(" * MANY + "a" + ")" * MANY + ";",
        "x <= a" + " - a" * MANY + ";",
        "x <= a" + " ** a" * MANY + ";",
        "x <= a" + " + a - a" * MANY + ";",
        "x <= a" + " when b else a" * MANY + ";",
        "x <= a" + ", a after 1 ns" * MANY + ";",
        "with s select x <= a when 0" + ", a when 1" * MANY + ";",
        "if a then " * MANY,
        "if a then " * MANY + "end if; " * MANY,
        "case a is when b => " * MANY + "end case; " * MANY,
        "for i in a loop " * MANY,
        "if a then x;" + " elsif a then x;" * MANY + " end if;",
        "procedure p is " * MANY,
        "begin " * MANY,
        "end " * MANY,
        "end if; " * MANY,
        "l : " * MANY,
        "l :\n" * MANY,
        "a b\n" * MANY,
        "a <= b c\n" * MANY,
        "signal a : b c\n" * MANY,
        "case a is " + "when b " * MANY,
        "case a is " + "when b =>\n" * MANY,
        "u : x port map (a => " * MANY,
        "u : x port map (" + "a => b c => d\n" * MANY + ");",
        "g : if a generate else " * MANY,
        "with a select " * MANY,
        "with a select b <=\n" * MANY,
        "wait until a\n" * MANY,
        "return a b\n" * MANY,
        "alias a is [" * MANY,
        "component c is port (" * MANY,
        "for all : " * MANY,
        "group " * MANY,
        "type t is " * MANY,
        "type t is record a : " * MANY,
        "type t is protected body " * MANY,
        "function f(" * MANY,
        "generic (" * MANY,
        "signal a : t" + "(1)" * MANY + ";",
        "signal a : t(" * MANY,
        "attribute a of " + "b, " * MANY,
        "use a" + ".b" * MANY + ";",
        " " * MANY * 10,
        "<< signal " * MANY,
        '"' * MANY,
        "'" * MANY,
        "/*" * MANY,
        "\\" * MANY,
        "-- @mem in block\n" * 2_000,
    ],
    ids=lambda text: text[:24],
)
@pytest.mark.parametrize(
    "around",
    [
        "architecture rtl of e is {} end; entity last is end;",
        "architecture rtl of e is begin process begin {} end process; end; entity last is end;",
        "architecture rtl of e is begin {} end; entity last is end;",
        "package p is {} end; entity last is end;",
        "{}",
    ],
    ids=["declarations", "process", "statements", "package", "alone"],
)
def test_endless_repetition_is_read(text: str, around: str) -> None:
    check(around.format(text))


@pytest.mark.parametrize(
    ("open_text", "close_text"),
    [
        ("g : for i in 0 to 1 generate ", "end generate; "),
        (
            "g : if a generate x <= y; elsif b generate p : process begin end process; else generate ",
            "end generate; ",
        ),
        ("g : case a generate when b => signal s : bit; begin ", "end; end generate; "),
        ("b : block begin ", "end block; "),
        ("p : process begin " + "if a then " * 100, "end if; " * 100 + "end process; "),
    ],
)
def test_nesting_too_deep_costs_only_itself(open_text: str, close_text: str) -> None:
    nested = open_text * 300 + close_text * 300
    facts = check(f"architecture rtl of e is begin {nested} done <= 1; end architecture; entity last is end;")
    first, last = facts.units
    assert (shown(first.items[-1]), last.name) == ("assign done <= 1", "last")


@pytest.mark.parametrize(
    ("open_text", "close_text"), [("package p is ", "end; "), ("procedure p is ", "begin end; ")]
)
def test_declarations_nested_too_deep_lose_no_unit(open_text: str, close_text: str) -> None:
    facts = check(f"package q is {open_text * 300}{close_text * 300} end; entity last is end;")
    assert [facts.units[0].name, facts.units[-1].name] == ["q", "last"]


def depth(node: Expr) -> int:
    return 1 + max(depth(node.left), depth(node.right)) if isinstance(node, Binary) else 1


def test_facts_never_nest_deeper_than_a_walker_with_pythons_stack_can_follow() -> None:
    assert depth(of_expression(" or ".join(["a"] * 5_000))) < 100
    (statement,) = in_process("if a then " * 90 + "b <= c; " + "end if; " * 90)
    assert "b <= c" in shown(statement)
    (statement,) = in_process("if a then " * 500 + "line(x) <= c; " + "end if; " * 500)
    assert "<statements nested more than" in shown(statement) and "line x" in shown(statement)
    assert "too deep" in shown(of_expression("(" * 150 + "line" + ")" * 150))
    assert "too many operators" in shown(of_expression("line" + " - line" * 500))


def test_a_long_concatenation_is_flat_and_a_long_chain_of_alternatives_is_read() -> None:
    found = of_expression(" & ".join(["a"] * 5_000))
    assert isinstance(found, Concat) and len(found.parts) == 5_000
    arms = ", ".join(f"x{n} when {n}" for n in range(300))
    (item,) = in_architecture(f"begin with s select y <= {arms}, z when others;")
    assert "299: y <= x299;" in shown(item)


LEAF_WORDS = (
    "a b . ( ) , => | <= := + - and not 1 '1' \"s\" ' to downto range when else open others <> after".split()
)


@pytest.mark.parametrize("start", STARTS["vhdl"])
@given(words=st.lists(st.sampled_from(LEAF_WORDS), max_size=14))
@settings(max_examples=60)
def test_the_loop_over_the_table_gives_what_lark_gives(start: str, words: list[str]) -> None:
    tokens = [token for token in lex(SourceText("sorter.vhd", " ".join(words))).tokens if token.type != "EOF"]
    for token in tokens:
        if token.type == "LE" and start == "assignment":
            token.type = "GETS"
            break
    ours = parse(start, tokens)
    try:
        theirs = lark_parser("vhdl").parse(tokens, start=start)
    except UnexpectedInput:
        assert isinstance(ours, Failure)
    else:
        assert repr(ours) == repr(theirs)
