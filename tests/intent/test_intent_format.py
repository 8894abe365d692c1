"""One spelling for each intent, and reading it back; texts of any kind never stop the reader."""

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from intent_text import FILE, read

from memlint.reading.intent.clauses import (
    Accept,
    Budget,
    Clause,
    Clocks,
    Ecc,
    Fifo,
    Holds,
    In,
    InitialContents,
    Intent,
    Plan,
    Ports,
    ReadWithin,
    SameAddress,
    Shape,
    Times,
    Why,
    WriteLanes,
)
from memlint.reading.intent.comments import Piece
from memlint.reading.intent.format import format_clause, format_intent
from memlint.reading.intent.reader import LONGEST, parse_holds, parse_shape, read_intents
from memlint.text.source import SourceText, Span

AT = Span(FILE, 0, 0)
NAMES = st.from_regex(r"[a-z][a-z0-9_]{0,8}", fullmatch=True)
TIERS = NAMES.filter(lambda name: name != "or")
RULES = st.from_regex(r"[a-z]{1,6}(-[a-z]{1,6}){0,2}", fullmatch=True).filter(lambda name: name != "because")
NETS = st.from_regex(r"[a-z][a-z0-9_]{0,4}(\[[0-9]\])?(\.[a-z]{1,4}(\[[0-9]\])?){0,2}", fullmatch=True)
PATHS = st.from_regex(r"[a-z][a-z0-9_]{0,4}(\[\*\])?(\.[a-z]{1,4}(\[[0-9]\])?){0,2}", fullmatch=True)
COUNTS = st.integers(1, 2**40)
TEXTS = (
    st.text(st.characters(exclude_characters='"', exclude_categories=["Cc", "Cs"]), min_size=1, max_size=30)
    .map(lambda text: " ".join(text.split()))
    .filter(bool)
)


@st.composite
def amounts(draw: st.DrawFn) -> Holds:
    count, size = draw(st.integers(1, 999)), draw(st.integers(1, 99999))
    unit, bits = draw(st.sampled_from([("bit", 1), ("byte", 8), ("kbit", 1000), ("KiB", 8192)]))
    noun = draw(st.sampled_from(["", " lines", " cycles"]))
    return Holds(count * size * bits, f"{count}{noun} x {size} {unit}", span=AT)


@st.composite
def ports(draw: st.DrawFn) -> Ports:
    if draw(st.booleans()):
        return Ports(0, 0, 0, rom=True, span=AT)
    w, r, rw = draw(st.tuples(st.integers(0, 9), st.integers(0, 9), st.integers(0, 9)).filter(any))
    widths = st.none() | st.integers(1, 999)
    write, read_width = draw(widths) if w else None, draw(widths) if r else None
    return Ports(w, r, rw, write_width=write, read_width=read_width, span=AT)


@st.composite
def intents(draw: st.DrawFn) -> Intent:
    """Any intent without a mistake in it."""
    tenths = st.integers(0, 9999).map(lambda tenth: Fraction(tenth, 10))
    kinds: list[st.SearchStrategy[Clause]] = [
        st.lists(TIERS, min_size=1, max_size=3).map(lambda tiers: In(tuple(tiers), tier_spans=(), span=AT)),
        st.builds(Shape, COUNTS, COUNTS, span=st.just(AT)),
        ports(),
        st.lists(NETS, max_size=3).map(lambda nets: Clocks(tuple(nets), one=not nets, span=AT)),
        st.builds(ReadWithin, st.integers(0, 99), span=st.just(AT)),
        st.integers(1, 99).map(lambda each: WriteLanes((), each, span=AT))
        | st.lists(st.integers(1, 99), min_size=2).map(lambda lanes: WriteLanes(tuple(lanes), span=AT)),
        st.builds(Ecc, st.booleans(), span=st.just(AT)),
        st.sampled_from(["before", "after", "any", "never"]).map(lambda gives: SameAddress(gives, span=AT)),
        st.just(Fifo(span=AT)),
        st.just(InitialContents(span=AT)),
        amounts(),
        st.builds(Why, TEXTS, span=st.just(AT)),
    ]
    unit: list[st.SearchStrategy[Clause]] = [
        st.builds(Accept, RULES, TEXTS, rule_span=st.just(AT), span=st.just(AT)),
        st.lists(st.tuples(TIERS, tenths), min_size=1, max_size=3).map(
            lambda limits: Budget(tuple(limits), tier_spans=(), span=AT)
        ),
    ]
    chosen = draw(st.lists(st.sampled_from(kinds), unique_by=id, min_size=1))
    clauses = [draw(kind) for kind in chosen]
    on = draw(st.just("") | PATHS)
    if not on:
        clauses += [draw(kind) for kind in draw(st.lists(st.sampled_from(unit), max_size=3))]
        if any(isinstance(clause, Shape | Holds) for clause in clauses) and draw(st.booleans()):
            clauses += [Plan(draw(NAMES), span=AT), Times(draw(st.integers(1, 99)), span=AT)]
    return Intent(tuple(draw(st.permutations(clauses))), on, span=AT)


@given(intents())
def test_what_is_written_reads_back_the_same(intent: Intent) -> None:
    found = read(format_intent(intent))
    assert found.problems == ()
    assert found.intents == (intent,)


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("shape 32768 x 40 ;fifo", "shape 32K x 40; fifo"),
        ("shape 2*1024*1024 x 1024", "shape 2M x 1024"),
        ("ports 3r 1w", "ports 1w 3r"),
        ("ports 1r(8) 1w(32)", "ports 1w(32) 1r(8)"),
        ("read within 1 cycles", "read within 1 cycle"),
        ("write lanes 10", "write lanes 10"),
        ("budget bulk<=10.50,block<=3", "budget bulk <= 10.5, block <= 3"),
        ("holds  12 lines x  30bit", "holds 12 lines x 30bit"),
        ("on u_a.mem[*]:in bulk", "on u_a.mem[*]: in bulk"),
    ],
)
def test_the_canonical_spelling(text: str, canonical: str) -> None:
    assert format_intent(read(text).intents[0]) == canonical


def test_a_reason_from_outside_is_made_to_fit_its_quotes() -> None:
    accept = Accept("shallow-wide", 'the "short"\nline', rule_span=AT, span=AT)
    assert format_clause(accept) == "accept shallow-wide because \"the 'short' line\""


def test_a_third_of_a_block_is_rounded_up() -> None:
    budget = Budget((("block", Fraction(1, 3)),), tier_spans=(AT,), span=AT)
    assert format_clause(budget) == "budget block <= 0.334"


@settings(max_examples=60)
@given(intents())
def test_no_prefix_stops_the_reader(intent: Intent) -> None:
    text = format_intent(intent)
    for end in range(len(text)):
        read(text[:end])


WORDS = """in on or shape 32K x 40 ports 1w 1r(8) rom holds ms at Gbit/s byte 2.5 budget <= , ( ) + - * ; :
    " "a" because accept one clock clocks cycles read within times plan _ $ . \\ µ ٣ 😀 @mem \x00"""
TOKENS = st.sampled_from([*WORDS.split(), "\n"])


@settings(max_examples=400)
@given(st.lists(TOKENS, max_size=12), st.sampled_from(["", " "]))
def test_no_muddle_stops_the_reader(tokens: list[str], joint: str) -> None:
    text = joint.join(tokens)
    found = read(text)
    for problem in found.problems:
        assert 0 <= problem.span.start <= problem.span.end <= len(found.text)
        assert problem.message
    for parse in (parse_shape, parse_holds):
        try:
            parse(text)
        except ValueError as refused:
            assert str(refused)


@pytest.mark.parametrize(
    "text",
    [
        f"shape {'(' * 4900}1{')' * 4900} x 2",
        f"shape {'+'.join(['1'] * 4900)} x 2",
        f"holds {' x '.join(['1'] * 2400)} bit",
        f"in {' or '.join(['bulk'] * 1200)}",
    ],
    ids=["deep", "long sum", "many factors", "many tiers"],
)
def test_a_long_clause_is_read(text: str) -> None:
    found = read(text)
    assert found.problems == ()
    assert len(found.intents[0].clauses) == 1


@pytest.mark.parametrize("text", ["(" * 9000, "shape " + "(" * 9000, "x" * 9000, '"' * 8999, "a." * 4500])
def test_a_long_muddle_gives_a_problem(text: str) -> None:
    (problem,) = read(text).problems
    assert len(problem.message) < 300


def test_a_comment_beyond_all_measure_is_refused_unread() -> None:
    text = "in bulk;" * LONGEST
    intents, problems = read_intents([Piece(7, text, (0, 7 + len(text)))], SourceText(FILE, f"// @mem{text}"))
    assert intents == ()
    (problem,) = problems
    assert problem.rule == "intent-syntax"
    assert "80,000 characters" in problem.message
