"""Findings on whole sources: the reason, the place, and what to do, as a reader of the report meets them.

Counts are worked out by hand from the shapes in memlint/device/profiles/sorter-m.toml.
"""

from __future__ import annotations

import pytest

from memlint.engine import Engine, check_text
from memlint.engine.judgement import Judgement
from memlint.engine.settings import IntentEntry, Settings
from memlint.rules.finding import Finding, Severity


def found(judged: Judgement, rule: str) -> list[Finding]:
    return [one for one in judged.findings if one.rule == rule]


def only(judged: Judgement, rule: str) -> Finding:
    (one,) = found(judged, rule)
    return one


def pointed(judged: Judgement, finding: Finding) -> list[tuple[str, str]]:
    """Each related place: the source there, and what is said of it."""
    texts = judged.sources
    return [
        (texts[one.span.file].text[one.span.start : one.span.end], one.message) for one in finding.related
    ]


def store(intent: str, depth: int, width: int, body: str, ports: str = "") -> str:
    return f"""
module store (
    input  logic clk, we, rst, {ports}
    input  logic [{depth.bit_length() - 2}:0] wa, ra,
    input  logic [{width - 1}:0] d, bias,
    output logic [{width - 1}:0] q
);
    {intent}
    logic [{width - 1}:0] rows [0:{depth - 1}];
    {body}
endmodule
"""


PLAIN = "always_ff @(posedge clk) begin if (we) rows[wa] <= d; q <= rows[ra]; end"


def test_a_large_memory_in_fabric_says_which_read_has_no_clock_and_what_it_would_take_with_one() -> None:
    body = "always_ff @(posedge clk) begin if (we) rows[wa] <= d; q <= rows[ra] + bias; end"
    judged = check_text(store("", 2048, 40, body))
    one = only(judged, "large-on-fabric")
    assert "as it is read without a clock at address `ra`: the word goes through `+`" in one.message
    places = pointed(judged, one)
    assert any(text.startswith("rows[ra") and said == "read without a clock here" for text, said in places)
    assert ("rows[ra] + bias", "the word goes through `+`") in places
    assert any(text.startswith("register the word") for text in one.help)
    # 2,048 x 40 on a clock: one block of 8,192 x 40.
    assert "with a clock, in bulk: 1 block, 25 % full" in one.help
    assert not any("does not take it: it is read without" in text for text in one.help)


def test_a_large_memory_that_a_reset_clears_points_at_the_reset() -> None:
    body = """always_ff @(posedge clk) begin
        if (rst) for (int i = 0; i < 1024; i++) rows[i] <= '0; else if (we) rows[wa] <= d;
        q <= rows[ra];
    end"""
    judged = check_text(store("", 1024, 40, body))
    one = only(judged, "large-on-fabric")
    assert "a reset clears it here" in [said for _, said in pointed(judged, one)]
    assert any(text.startswith("clear it word by word") for text in one.help)


def test_check_bits_in_the_word_want_nothing_of_the_tier() -> None:
    """The design page, sections 2 and 4: `in word` adds no bits, so 8,192 x 40 is one block as it stands."""
    judged = check_text(store("// @mem in bulk; ecc in word", 8192, 40, PLAIN))
    assert not found(judged, "ecc-does-not-fit")
    (view,) = judged.memories
    assert view.placement is not None
    assert (view.placement.blocks, view.placement.word, view.placement.check_bits) == (1, 40, 0)
    assert any("among the 40 bits of the word" in text for text in view.placement.because)
    # Asked to be added they are 7 for 33 bits, which the tier's own ECC has; 40 bits take two words of it.
    added = check_text(store("// @mem in bulk; ecc", 8192, 40, PLAIN))
    assert added.memories[0].placement is not None and added.memories[0].placement.blocks == 2


def packed(clause: str, tier: str = "block") -> str:
    return f"""
module pack (input logic clk, we, input logic [8:0] wa, input logic [10:0] ra,
             input logic [47:0] d, output logic [11:0] q);
    // @mem in {tier}; {clause}
    logic [11:0] words [0:2047];
    always_ff @(posedge clk) begin
        for (int i = 0; i < 4; i++) if (we) words[{{wa, i[1:0]}}] <= d[12*i +: 12];
        q <= words[ra];
    end
endmodule
"""


def test_stated_widths_are_counted_with() -> None:
    judged = check_text(packed("ports 1w(48) 1r(12)"))
    assert judged.findings == ()
    # 512 x 48 on one side and 2,048 x 12 on the other: one block of 24,576 bits.
    assert judged.memories[0].placement is not None and judged.memories[0].placement.blocks == 1


def test_without_the_widths_the_writes_are_too_many_and_the_help_says_what_to_state() -> None:
    judged = check_text(packed('why "four pixels at a time"'))
    one = only(judged, "too-many-ports")
    assert one.message == (
        "`words` has 4w 1r after sharing, but `block` takes 2rw or 1w with any number of reads in copies"
    )
    assert next(said for _, said in pointed(judged, one)) == "4 write ports, at address `{wa, i[1:0]}`"
    assert any("say `ports 1w(48) 1r(12)`" in text for text in one.help)


def test_a_tier_of_one_width_says_why_it_cannot() -> None:
    one = only(check_text(packed("ports 1w(48) 1r(12)", "bulk")), "unequal-port-widths")
    assert one.message == "`words` is written 48 and read 12 bits wide: the ports of bulk have one width"
    half = only(check_text(store("// @mem in bulk; ports 1w 1r(10)", 8192, 40, PLAIN)), "unequal-port-widths")
    assert half.message.startswith("`rows` is written 40 and read 10 bits wide")


def test_widths_that_do_not_go_with_the_word_are_told_and_not_counted_with() -> None:
    judged = check_text(store("// @mem in block; ports 1w(30) 1r(10)", 512, 48, PLAIN))
    one = only(judged, "unequal-port-widths")
    assert one.severity == Severity.WARNING
    assert "30 bits are neither a multiple nor a part of its word of 48" in one.message
    assert judged.memories[0].placement is not None and judged.memories[0].placement.blocks == 1


def configured(*entries: tuple[str, str], text: str = "") -> Judgement:
    toml = "".join(f'[[intent]]\nmemory = "{path}"\nintent = "{said}"\n' for path, said in entries)
    lines = tuple(IntentEntry(path, said, 3 * at + 3) for at, (path, said) in enumerate(entries))
    sources = {"store.sv": text or store("", 8192, 40, PLAIN), "memlint.toml": toml}
    settings = Settings(root="/nonexistent", file="memlint.toml", sources=("store.sv",), intents=lines)
    return Engine(settings, sources).judge()


def test_an_entry_of_memlint_toml_that_no_memory_matches_is_told_at_its_line() -> None:
    judged = configured(("store.rows", "in bulk"), ("store.rwos", "in bulk"))
    one = only(judged, "intent-unattached")
    assert one.message == "no memory of the design matches `store.rwos`, which this `[[intent]]` speaks for"
    assert one.span.file == "memlint.toml"
    assert judged.sources["memlint.toml"].position(one.span.start).line == 5
    assert one.help[0] == "the nearest is `store.rows`"
    assert judged.memories[0].tier_from == "intent"


def test_an_entry_for_an_array_that_is_no_memory_says_why_it_is_none() -> None:
    body = "always_ff @(posedge clk) begin rows[0] <= d; rows[1] <= rows[0]; q <= rows[1]; end"
    one = only(configured(("store.ro*", "in fabric"), text=store("", 2, 40, body)), "intent-unattached")
    assert one.message.startswith("the memory `store.ro*` of this `[[intent]]` is none: ")


def test_an_entry_for_a_unit_that_this_run_leaves_out_is_for_another_run() -> None:
    other = store("", 8192, 40, PLAIN).replace("module store", "module spare")
    text = store("", 8192, 40, PLAIN) + other
    entry = IntentEntry("spare.rows", "in bulk", 3)
    settings = Settings(
        root="/nonexistent", file="memlint.toml", sources=("store.sv",), intents=(entry,), top=("store",)
    )
    toml = '[[intent]]\nmemory = "spare.rows"\nintent = "in bulk"\n'
    judged = Engine(settings, {"store.sv": text, "memlint.toml": toml}).judge()
    assert not found(judged, "intent-unattached")


def test_a_memory_of_unknown_tier_is_in_no_total_and_the_budget_says_so() -> None:
    twin = """
    // @mem in blok
    logic [39:0] others [0:511];
    always_ff @(posedge clk) if (we) others[wa] <= d;
    always_ff @(posedge clk) more <= others[ra];
    // @mem budget block <= 1
    """
    text = store("// @mem in block", 8192, 40, PLAIN + twin).replace(
        "output logic", "output logic [39:0] more, output logic"
    )
    judged = check_text(text)
    lost = next(view for view in judged.memories if view.memory.name == "others")
    assert (lost.tier, lost.tier_from, lost.placement) == (None, None, None)
    (block,) = [one for one in judged.totals if one.tier == "block"]
    # 8,192 x 40 in block: 13 strips of 8,192 x 3 and one bit more, 14 blocks of 8,192 x 3.
    assert (block.blocks, block.memories) == (14, 1)
    over = only(judged, "unit-over-budget")
    assert over.message.startswith("an instance of `store` takes at least 14 blocks of `block`")
    assert any("1 memory whose tier is unknown (`store.others`)" in text for text in over.help)
    assert any("in no total and no budget" in text for text in only(judged, "unknown-tier").help)


LINE = """
module line (input logic pixel_clk, jet_clk, we, input logic [8:0] wa, ra,
             input logic [39:0] d, output logic [39:0] q);
    // @mem in block; clocks pixl_clk, jet_clk
    logic [39:0] pixels [0:511];
    always_ff @(posedge pixel_clk) if (we) pixels[wa] <= d;
    always_ff @(posedge jet_clk) q <= pixels[ra];
endmodule
module belt (input logic proc_clk, jet_clk, we, input logic [8:0] wa, ra,
             input logic [39:0] d, output logic [39:0] q [4]);
    for (genvar i = 0; i < 4; i++) begin : lane
        line u_line (.pixel_clk(proc_clk), .jet_clk, .we, .wa, .ra, .d, .q(q[i]));
    end
endmodule
"""


def test_a_misspelt_clock_is_one_finding_for_its_clause_with_names_of_its_scope() -> None:
    one = only(check_text(LINE), "clock-drift")
    assert one.message == "the intent names the clock net `pixl_clk`, which unit `line` does not have"
    assert len(one.paths) == 4
    assert one.help == (
        "`pixl_clk` may be meant to be `pixel_clk`",
        "say `clocks pixel_clk, jet_clk`, if the HDL is right: these clock it",
    )


@pytest.mark.parametrize(("reads", "speaks"), [(8, False), (9, True)])
def test_many_copies_are_told_with_their_cost(reads: int, speaks: bool) -> None:
    text = f"""
module file (input logic clk, we, input logic [4:0] wa, input logic [4:0] ra [{reads}],
             input logic [31:0] d, output logic [31:0] q [{reads}]);
    logic [31:0] words [0:31];
    always_ff @(posedge clk) if (we) words[wa] <= d;
    for (genvar i = 0; i < {reads}; i++) assign q[i] = words[ra[i]];
endmodule
"""
    judged = check_text(text)
    assert bool(found(judged, "too-many-ports")) == speaks
    if speaks:
        one = only(judged, "too-many-ports")
        # 32 x 32 in cells of 32 x 12: 3 a copy.
        assert one.message == (
            "`words` has 1w 9r after sharing: its 9 reads take 9 copies in `fabric`, 27 blocks instead of 3"
        )
        assert one.severity == Severity.NOTE
        assert "in registers: 1,024 flip-flops" in one.help
        assert "let the readers take turns: 4 reads at once take 12 blocks" in one.help


def test_two_clocks_say_which_nets_to_declare_equal() -> None:
    two = LINE.replace("in block; clocks pixl_clk, jet_clk", "in bulk")
    one = only(check_text(two), "two-clocks-on-one-clock-tier")
    assert any('`same = [["belt.jet_clk", "belt.proc_clk"]]`' in text for text in one.help)


def test_a_declared_net_that_is_none_is_told_with_near_names() -> None:
    toml = '[clocks]\nsame = [["belt.proc_clk", "belt.jt_clk"]]\n'
    settings = Settings(
        root="/nonexistent",
        file="memlint.toml",
        sources=("line.sv",),
        same_clocks=(("belt.proc_clk", "belt.jt_clk"),),
    )
    text = LINE.replace("; clocks pixl_clk, jet_clk", "")
    judged = Engine(settings, {"line.sv": text, "memlint.toml": toml}).judge()
    one = only(judged, "clock-drift")
    assert one.message.startswith("`same` names `belt.jt_clk`, which is no net of the design")
    assert judged.sources["memlint.toml"].text[one.span.start : one.span.end] == "belt.jt_clk"
    assert "`belt.jet_clk`" in one.help[0]
