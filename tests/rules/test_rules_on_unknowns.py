"""Whatever is unknown, no rule crashes, and none prints an unknown as if it were a number."""

from dataclasses import replace
from fractions import Fraction

from factory import (
    BLOCK,
    BULK,
    CLK,
    DEVICE,
    FABRIC,
    PIXEL,
    at,
    bound,
    cut,
    design,
    inside,
    memory,
    placement,
    read_port,
    view,
    write_port,
)
from hypothesis import given, settings
from hypothesis import strategies as st

from memlint.device.facts import REGISTERS
from memlint.mapping.demand import Obstacle
from memlint.reading.intent.clauses import (
    Accept,
    Budget,
    Clause,
    Clocks,
    Ecc,
    Fifo,
    Holds,
    InitialContents,
    Intent,
    Ports,
    ReadWithin,
    SameAddress,
    Shape,
)
from memlint.rules.base import Finding, all_rules
from memlint.rules.view import MemoryView, UnitIntent

CLAUSES: list[Clause] = [
    inside("bulk"),
    inside("blocks"),
    Shape(64, 40, span=at(60)),
    Ports(1, 1, 0, span=at(60)),
    Ports(1, 1, 0, write_width=40, read_width=10, span=at(60)),
    Clocks((), one=True, span=at(60)),
    Clocks(("clk", "nowhere"), span=at(60)),
    ReadWithin(0, span=at(60)),
    Ecc(False, span=at(60)),
    Fifo(span=at(60)),
    InitialContents(span=at(60)),
    Holds(10_000_000, "10 Mbit", span=at(60)),
    SameAddress("after", span=at(60)),
    Accept("shallow-wide", "agreed", rule_span=at(70), span=at(62)),
]
TIERS = [BULK, BLOCK, FABRIC, REGISTERS, DEVICE.tier("chip"), None]
UNKNOWABLE = (
    "block_bits",
    "blocks",
    "clocks",
    "read",
    "read_latency",
    "initial_contents",
    "hard_fifo",
    "chain",
)
OPEN = (
    "blocks",
    "fill",
    "copies",
    "mode",
    "uniform_blocks",
    "chain",
    "split",
    "ways",
    "read_latency",
    "share",
)


@st.composite
def views(draw: st.DrawFn) -> MemoryView:
    numbers = st.sampled_from([None, 1, 16, 64, 512, 513, 8192, 8193, 262_144])
    one = memory(
        draw(numbers),
        draw(numbers),
        banks=draw(st.sampled_from([1, 3])),
        read=draw(st.sampled_from(["synchronous", "asynchronous", "none", None])),
        ports=tuple(
            draw(st.lists(st.sampled_from([write_port(), read_port(), read_port(None)]), max_size=4))
        ),
        clocks=tuple(draw(st.lists(st.sampled_from([CLK, PIXEL]), unique=True))),
        clocks_known=draw(st.booleans()),
        contents=draw(st.sampled_from(["none", "zero", "given"])),
        reset=draw(st.sampled_from([None, at(400)])),
        attribute=draw(st.sampled_from([None, "logic", "block", "bulk"])),
        same_address=draw(st.sampled_from([None, "before", "after", "never"])),
    )
    if one.depth is None or one.width is None:
        one = replace(one, unresolved="`WORDS` has no value")
    tier = draw(st.sampled_from(TIERS))
    if tier in (BULK, BLOCK, FABRIC):
        gone = draw(st.lists(st.sampled_from(UNKNOWABLE), unique=True, max_size=2))
        tier = replace(tier, **dict.fromkeys(gone))
    here = None
    if tier is not None and one.unresolved is None:
        kind = draw(st.sampled_from(["", "", "", "ecc", "ports", "clocks", "widths"]))
        here = placement(
            tier.name,
            fits=not kind,
            obstacles=(Obstacle(kind, "a reason"),) if kind else (),
            blocks=draw(st.sampled_from([1, Fraction(1, 2), 12, 97])),
            fill=Fraction(1, 50),
            chain=32,
            split=2,
            ways=2,
            read_latency=4,
            share=Fraction(1, 8),
            cuts=(cut(12),),
        )
        here = replace(here, **dict.fromkeys(draw(st.lists(st.sampled_from(OPEN), unique=True, max_size=2))))
    intent = bound(
        *draw(st.lists(st.sampled_from(CLAUSES), unique_by=type)), clocks={"clk": CLK, "nowhere": None}
    )
    return view(
        one,
        tier,
        tier_from=draw(st.sampled_from(["intent", "attribute", "assumed"])) if tier else None,
        here=here,
        others=(
            placement("fabric", 3, Fraction(1, 2), share=Fraction(1, 100)),
            placement("block", 1, Fraction(1, 2), share=Fraction(1, 200)),
            placement("bulk", 1, Fraction(1, 2), share=Fraction(1, 90)),
        ),
        intent=draw(st.sampled_from([intent, None])),
    )


def said(finding: Finding) -> str:
    places = [place.message for place in finding.related]
    titles = [fix.title for fix in finding.fixes]
    return "\n".join([finding.message, *finding.help, *places, *titles])


@given(st.lists(views(), min_size=1, max_size=2))
@settings(max_examples=300, deadline=None)
def test_no_rule_crashes_or_prints_an_unknown(made: list[MemoryView]) -> None:
    budget = Budget((("bulk", Fraction(1, 2)),), tier_spans=(at(60),), span=at(55))
    everything = UnitIntent("sorter", "sorter", Intent((budget,), span=at(50)))
    whole = design(*made, unit_intents=(everything,))
    findings = [finding for rule in all_rules() for one in made for finding in rule.check(one)]
    findings += [finding for rule in all_rules() for finding in rule.check_design(whole)]
    findings += [finding for rule in all_rules() for finding in rule.check_acceptances(whole, {})]
    for finding in findings:
        text = said(finding)
        assert "None" not in text, text
        assert "  " not in text, text
        assert finding.message[0].islower() or finding.message[0] == "`"
        assert not finding.message.endswith((".", ":", ","))
        assert finding.help
