"""Every clause of the intent language, and what it means."""

from fractions import Fraction

import pytest
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
    Plan,
    Ports,
    ReadWithin,
    SameAddress,
    Shape,
    Times,
    Why,
    WriteLanes,
)
from memlint.reading.intent.reader import parse_holds, parse_shape
from memlint.text.source import Span

AT = Span(FILE, 0, 0)  # spans take no part in the equality of clauses


def only(text: str) -> Clause:
    found = read(text)
    assert found.problems == ()
    (intent,) = found.intents
    (clause,) = intent.clauses
    assert found.text[clause.span.start : clause.span.end] == text.strip(" ;")
    return clause


@pytest.mark.parametrize(
    ("text", "clause"),
    [
        ("in bulk", In(("bulk",), tier_spans=(AT,), span=AT)),
        ("in block or bulk or registers", In(("block", "bulk", "registers"), tier_spans=(), span=AT)),
        ("shape 32K x 40", Shape(32768, 40, span=AT)),
        ("shape 32Kx40", Shape(32768, 40, span=AT)),
        ("shape 2M x 8", Shape(2097152, 8, span=AT)),
        ("shape (2K + 2 * 3) x (8+1)", Shape(2054, 9, span=AT)),
        ("shape 10 - 3 - 2 x 4*2", Shape(5, 8, span=AT)),
        ("shape 8_193 x 1", Shape(8193, 1, span=AT)),
        ("ports 1w 1r", Ports(1, 1, 0, span=AT)),
        ("ports 3r 1w", Ports(1, 3, 0, span=AT)),
        ("ports 1rw", Ports(0, 0, 1, span=AT)),
        ("ports 2rw", Ports(0, 0, 2, span=AT)),
        ("ports rom", Ports(0, 0, 0, rom=True, span=AT)),
        ("ports 1w(32) 1r(8)", Ports(1, 1, 0, write_width=32, read_width=8, span=AT)),
        ("one clock", Clocks((), one=True, span=AT)),
        ("clocks pixel_clk", Clocks(("pixel_clk",), span=AT)),
        ("clocks wr_clk, u_cam.gen[0].clk", Clocks(("wr_clk", "u_cam.gen[0].clk"), span=AT)),
        ("read within 3 cycles", ReadWithin(3, span=AT)),
        ("read within 1 cycle", ReadWithin(1, span=AT)),
        ("read within 0 cycles", ReadWithin(0, span=AT)),
        ("write lanes 10", WriteLanes((), each=10, span=AT)),
        ("write lanes 1 + 20 + 11", WriteLanes((1, 20, 11), span=AT)),
        ("ecc", Ecc(False, span=AT)),
        ("ecc in word", Ecc(True, span=AT)),
        ("same address before", SameAddress("before", span=AT)),
        ("same address after", SameAddress("after", span=AT)),
        ("same address any", SameAddress("any", span=AT)),
        ("same address never", SameAddress("never", span=AT)),
        ("fifo", Fifo(span=AT)),
        ("initial contents", InitialContents(span=AT)),
        ("holds 64 x 1522 byte", Holds(64 * 1522 * 8, "64 x 1522 byte", span=AT)),
        ("budget bulk <= 24, block <= 10.5", Budget((("bulk", Fraction(24)), ("block", Fraction(21, 2))),
                                                    tier_spans=(), span=AT)),
        ("budget block<=0", Budget((("block", Fraction(0)),), tier_spans=(), span=AT)),
        ('accept shallow-wide because "two lines only; see the note"',
         Accept("shallow-wide", "two lines only; see the note", span=AT, rule_span=AT)),
        ('why "the classifier reads it each pixel"', Why("the classifier reads it each pixel", span=AT)),
    ],
)  # fmt: skip
def test_a_clause_and_its_meaning(text: str, clause: Clause) -> None:
    found = only(text)
    if isinstance(clause, In | Budget):
        assert isinstance(found, In | Budget)
        names = clause.tiers if isinstance(clause, In) else [tier for tier, _ in clause.limits]
        assert [(f"// @mem {text}")[span.start : span.end] for span in found.tier_spans] == list(names)
    assert found == clause


def test_plan_and_times() -> None:
    found = read("plan valve_delay; times 4; shape 4K x 12")
    assert found.problems == ()
    assert found.intents[0].clauses == (
        Plan("valve_delay", span=AT),
        Times(4, span=AT),
        Shape(4096, 12, span=AT),
    )


def test_a_rule_of_an_acceptance_has_its_own_place() -> None:
    found = read('accept shallow-wide because "x"')
    (clause,) = found.intents[0].clauses
    assert isinstance(clause, Accept)
    assert found.text[clause.rule_span.start : clause.rule_span.end] == "shallow-wide"


# Decimal prefixes as in the SI brochure, binary ones and the byte of 8 bits as in IEC 80000-13 (both from
# memory). Times at rates: seconds x bits per second, worked out by hand.
@pytest.mark.parametrize(
    ("text", "bits"),
    [
        ("12 lines x 3840 x 30 bit", 1_382_400),
        ("64 x 1522 byte", 779_264),
        ("2 ms at 10 Gbit/s", 20_000_000),
        ("1 bit", 1),
        ("1 byte", 8),
        ("1 kbit", 1_000),
        ("1 Mbit", 1_000_000),
        ("1 Gbit", 1_000_000_000),
        ("1 kbyte", 8_000),
        ("1 Mbyte", 8_000_000),
        ("1 Kibit", 1_024),
        ("1 Mibit", 1_048_576),
        ("1 KiB", 8_192),
        ("1 MiB", 8_388_608),
        ("2K x 30 bit", 61_440),
        ("2Kx30bit", 61_440),
        ("2Mbit", 2_000_000),
        ("1.5 Mbit", 1_500_000),
        ("(3840 + 16) pixels x 10 bit", 38_560),
        ("30 bit x 12 lines", 360),
        ("3 cycles x 8 bit", 24),
        ("5 us at 1 Gbit/s", 5_000),
        ("7 ns at 1 Mbyte/s", 1),  # 0.056 bit, rounded up
        ("3 ns at 2.5 Gbit/s", 8),  # 7.5 bit, rounded up
        ("1 s at 1 kbit/s", 1_000),
        ("2 cameras x 2 ms at 10 Gbit/s", 40_000_000),
        ("3 ns at 2.5 Gbit/s x 2", 15),  # rounded once, at the end
        ("0.3 byte", 3),  # 2.4 bit, rounded up
    ],
)
def test_how_much_it_holds(text: str, bits: int) -> None:
    assert only(f"holds {text}") == Holds(bits, text, span=AT)
    assert parse_holds(f"  {text} ") == Holds(bits, text, span=AT)


@pytest.mark.parametrize("text", ["32Kx40", "32K x 40", " 32768 x 40 ", "(1K*32)x(4*10)"])
def test_a_shape_for_the_command_line(text: str) -> None:
    assert parse_shape(text) == Shape(32768, 40, span=AT)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("32K 40", "expected `x` instead of `40`; write it like `32K x 40`"),
        ("32K x", "expected a number after `x`, where the text ends; write it like `32K x 40`"),
        ("", "nothing is written here; write it like `32K x 40`"),
        ("0x40", "a depth in words must be at least 1, and this is 0; write 1 or more"),
        (
            "32k x 4",
            "expected `x` instead of `32k`; did you mean `32K`? K is 2^10 and M is 2^20, both in capitals; "
            "write it like `32K x 40`",
        ),
    ],
)
def test_a_shape_that_cannot_be_read(text: str, message: str) -> None:
    with pytest.raises(ValueError) as refused:
        parse_shape(text)
    assert str(refused.value) == message


def test_an_amount_that_cannot_be_read() -> None:
    with pytest.raises(ValueError) as refused:
        parse_holds("64 Kbit")
    assert str(refused.value) == (
        "`Kbit` can be read in more than one way; write `kbit` for 1,000 bits; write `Kibit` for 1,024 bits"
    )


def test_clauses_of_several_lines_are_one_intent() -> None:
    found = read("in bulk; shape 32K x 40;", "ports 1w 1r", ";one clock")
    assert found.problems == ()
    (intent,) = found.intents
    assert [type(clause) for clause in intent.clauses] == [In, Shape, Ports, Clocks]
    assert (intent.span.start, intent.span.end) == (0, len(found.text) - 1)


def test_a_clause_does_not_run_over_the_end_of_a_line() -> None:
    found = read("shape 32K x", "40")
    assert [problem.rule for problem in found.problems] == ["intent-syntax", "intent-syntax"]
    assert found.word(0) == "x"
    assert found.word(1) == "40"


def test_on_picks_a_memory_below_an_instance() -> None:
    found = read("on u_cam.lines[*].mem: in bulk; ports 1w 1r")
    (intent,) = found.intents
    assert intent.on == "u_cam.lines[*].mem"
    assert intent.on_span is not None
    assert found.text[intent.on_span.start : intent.on_span.end] == "u_cam.lines[*].mem"
    assert len(intent.clauses) == 2


def test_each_line_that_begins_with_on_is_an_intent_of_its_own() -> None:
    found = read("one clock", "on u_a.mem: in bulk", "ports 1rw", "on u_b.mem[2]: in block")
    assert found.problems == ()
    assert [(intent.on, len(intent.clauses)) for intent in found.intents] == [
        ("", 1),
        ("u_a.mem", 2),
        ("u_b.mem[2]", 1),
    ]
