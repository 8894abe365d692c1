"""`memlint plan`: what it says, what it writes, and that nothing but intent comments changes."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from plan_sources import DEVICE, RAM, SMALLER, TRAY
from sorter_samples import Memlint

from memlint.engine import open_project
from memlint.engine.planning import plan_design

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"


@pytest.fixture
def tray(tmp_path: Path) -> Path:
    (tmp_path / "tray.toml").write_text(DEVICE)
    (tmp_path / "saucer.toml").write_text(SMALLER)
    (tmp_path / "tray.sv").write_text(TRAY)
    (tmp_path / "memlint.toml").write_text('device = "tray.toml"\nsources = ["*.sv"]\n')
    return tmp_path


def planned(memlint: Memlint, *more: str) -> list[dict[str, Any]]:
    memlint("plan", "--format", "json", *more)
    return json.loads(memlint.out)["scenarios"]  # type: ignore[no-any-return]


def tiers(scenario: dict[str, Any]) -> dict[str, str]:
    return {one["path"]: one["tier"] for one in scenario["memories"]}


def test_everything_free_goes_where_it_takes_the_least_share(memlint: Memlint, tray: Path) -> None:
    (one,) = planned(memlint)
    # An eighth of bulk against 16 fortieths of block; a fortieth of block against an eighth of bulk.
    assert tiers(one) == {
        "tray.lines": "bulk", "tray.marks": "block", "tray.counts": "block", "tray.replay": "bulk"
    }  # fmt: skip
    assert (one["fits"], one["proven"], one["gap"]) == (True, True, 0)
    assert one["cost"]["share"] == 2 / 8 + 2 / 40
    assert {each["tier"]: (each["taken"], each["supply"]) for each in one["tiers"]} == {
        "block": (2, 40), "bulk": (2, 8)
    }  # fmt: skip
    replay = next(each for each in one["memories"] if each["path"] == "tray.replay")
    assert replay["planned"]
    (place,) = one["instances"]
    assert {each["tier"]: each["planned"] for each in place["tiers"]} == {"block": 0, "bulk": 1}
    (unit,) = one["units"]
    assert {each["tier"]: each["blocks"] for each in unit["tiers"]} == {"block": 2, "bulk": 2}


def test_the_text_says_why(memlint: Memlint, tray: Path) -> None:
    assert memlint("plan") == 0
    text = " ".join(memlint.out.split())
    assert "It fits; no plan costs less. Of 4 memories 4 were free to be placed, 2 go elsewhere" in text
    assert "tray.lines 8,192 x 40: 1 block of bulk, 12 % of the device's, now in block" in text
    assert "- the smallest share of the 2 tiers that take it - instead: 16 blocks of block, 40 %" in text


@pytest.mark.parametrize(
    ("intent", "tier", "not_bulk"),
    [
        ('why "nothing"', "bulk", ""),
        # 5 blocks in chains of at most 4 are 3 and 2, with a register after two blocks: 2 cycles. Cut to 2, 2
        # and 1 they need none, and a 3:1 multiplexer needs none either: 1 cycle.
        ("read within 2 cycles", "bulk", ""),
        ("read within 1 cycle", "bulk", ""),
        ("read within 0 cycles", "nowhere", "a read takes 1 cycle at least, its intent allows 0"),
        ("initial contents", "nowhere", "it must hold given contents at power-up; bulk cannot be given any"),
        ("ecc", "bulk", ""),
    ],
)
def test_what_an_intent_says_decides_where_a_memory_may_go(
    memlint: Memlint, tray: Path, intent: str, tier: str, not_bulk: str
) -> None:
    # 40,960 x 40: 5 blocks of bulk; 80 of block, which has 40. 33 bits and 7 check bits are 40 again.
    source = TRAY.replace("a line of the tray", f"@mem {intent}").replace("LINES = 8192", "LINES = 40960")
    source = source.replace("    // @mem plan replay; shape 8K x 40; ports 1w 1r; one clock\n", "")
    if intent == "ecc":
        source = source.replace("logic [39:0] lines", "logic [32:0] lines")
    (tray / "tray.sv").write_text(source)
    (one,) = planned(memlint)
    if tier == "nowhere":
        assert not one["fits"]
        assert not_bulk in one["conflict"][0]
        return
    lines = next(each for each in one["memories"] if each["path"] == "tray.lines")
    assert (lines["tier"], lines["blocks"]) == (tier, 5)
    assert lines["read_latency"] == (1 if "within 1" in intent else 2)
    assert lines["chains"] == ([2, 2] if "within 1" in intent else [3, 2])


def test_reserve_and_budget_are_kept(memlint: Memlint, tray: Path) -> None:
    (tray / "memlint.toml").write_text(
        'device = "tray.toml"\nsources = ["*.sv"]\n[reserve]\nbulk = 7\nblock = 1.5\n'
    )
    (one,) = planned(memlint)
    assert sorted(tiers(one).values()) == ["block", "block", "block", "bulk"]
    assert next(each["supply"] for each in one["tiers"] if each["tier"] == "block") == 38.5
    assert memlint("plan") == 0
    # 16 blocks for the lines and one each for the others.
    assert re.search(r"block +18 +40 +45 % +1\.5\n", memlint.out)
    source = tray / "tray.sv"
    source.write_text(TRAY.replace("endmodule", "    // @mem budget block <= 1\nendmodule"))
    assert memlint("plan") == 1
    text = " ".join(memlint.out.split())
    # One block of each may be taken, and each memory takes one at least.
    assert (
        "3 memories cannot share 1 block of `bulk` and 1 block of `block` (the budget of `tray`), "
        "however they are placed"
    ) in text


def test_a_conflict_is_named_with_its_numbers(memlint: Memlint, tray: Path) -> None:
    source = TRAY.replace("    // a line of the tray", "    // @mem in bulk").replace("8192)", "81920)")
    (tray / "tray.sv").write_text(source)
    assert memlint("plan") == 1
    text = " ".join(memlint.out.split())
    assert "No plan fits." in text
    assert "`tray.lines`" in text
    assert "at least 10 blocks of it, the device has 8 blocks" in text


def test_what_if_stands_side_by_side(memlint: Memlint, tray: Path) -> None:
    base, small = planned(memlint, "--what-if", "device=saucer.toml")
    _, wide, both = planned(memlint, "--what-if", "LINES=32768", "--what-if", "device=saucer.toml")
    assert [one["title"] for one in (base, wide, small, both)] == [
        "as it is", "LINES=32768", "device saucer.toml", "device saucer.toml, LINES=32768"
    ]  # fmt: skip
    assert [one["fits"] for one in (base, wide, small, both)] == [True, True, True, False]
    lines = next(one for one in wide["memories"] if one["path"] == "tray.lines")
    # Four blocks in one column of four; a register after two: 1 + 1 cycles.
    assert (lines["blocks"], lines["chains"], lines["read_latency"]) == (4, [4], 2)
    assert memlint("plan", "--what-if", "LINES=32768", "--what-if", "device=saucer.toml") == 0
    assert re.search(r"as it is +tray +optimal", memlint.out)
    assert re.search(r"device saucer.toml, LINES=32768 +saucer +none", memlint.out)


def test_a_supply_that_is_not_known_is_no_fit(memlint: Memlint, tray: Path) -> None:
    unknown = DEVICE.replace("blocks = 40\n", "")
    assert unknown != DEVICE
    (tray / "tray.toml").write_text(unknown)
    (tray / "tray.sv").write_text(TRAY.replace("in block or bulk", "in block"))
    (one,) = planned(memlint)
    assert one["fits"] is None
    # What can go where the supply is known goes there.
    assert tiers(one)["tray.counts"] == "bulk"
    memlint("plan")
    assert "Whether it fits is open: the profile does not say how much `block` there is" in memlint.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("--what-if", "DEPTH=3"), "has no parameter `DEPTH`. Its parameters are: LINES."),
        (("--what-if", "LINES"), "write device=NAME, or a parameter as NAME=VALUE"),
        (("--what-if", "LINES=1", "--what-if", "LINES=2"), "LINES is given twice"),
        (("--apply",), "Give --write as well"),
        (("--write", "--format", "json"), "--write is about the design as it is"),
    ],
)
def test_mistakes_are_told(memlint: Memlint, tray: Path, arguments: tuple[str, ...], said: str) -> None:
    assert memlint("plan", *arguments) == 2
    assert said in memlint.err


def test_a_design_needs_one_root(memlint: Memlint, tray: Path) -> None:
    (tray / "ram.sv").write_text(RAM)
    assert memlint("plan") == 2
    assert "there are 2 roots" in memlint.err
    assert memlint("plan", "--top", "ram") == 0


PATCHED = """\
--- a/tray.sv
+++ b/tray.sv
@@ -5,11 +5,12 @@
     output logic [39:0]              q, r, s
 );
     // a line of the tray
+    // @mem in bulk
     logic [39:0] lines [0:LINES-1];
-    // @mem in block or bulk; why "whatever is left"
+    // @mem in block; why "whatever is left"
     logic [39:0] marks [0:511];
-    (* keep *) logic [39:0] counts [0:511];  // @mem why "statistics"
-    // @mem plan replay; shape 8K x 40; ports 1w 1r; one clock
+    (* keep *) logic [39:0] counts [0:511];  // @mem why "statistics"; in block
+    // @mem plan replay; shape 8K x 40; ports 1w 1r; one clock; in bulk
     always_ff @(posedge clk) begin
         if (we) lines[wa] <= d;
         q <= lines[ra];
"""


def test_the_patch_writes_intent_comments_and_nothing_else(memlint: Memlint, tray: Path) -> None:
    assert memlint("plan", "--write") == 0
    assert memlint.out == PATCHED
    assert (tray / "tray.sv").read_text() == TRAY


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_applied_it_makes_the_design_say_what_was_planned(memlint: Memlint, tray: Path, end: str) -> None:
    (tray / "tray.sv").write_bytes(("﻿" + TRAY).replace("\n", end).encode())
    assert memlint("plan", "--write", "--apply") == 0
    after = (tray / "tray.sv").read_bytes().decode()
    assert after.count("\n") == TRAY.count("\n") + 1
    assert after.count(end) == after.count("\n")
    without = re.sub(r"[ \t]*// @mem[^\r\n]*", "", after)
    before = re.sub(r"[ \t]*// @mem[^\r\n]*", "", ("﻿" + TRAY).replace("\n", end))
    assert without.split() == before.split()
    (one,) = planned(memlint)
    assert all(each["fixed"] for each in one["memories"])
    assert [each["tier"] for each in one["memories"]] == [each["tier_now"] for each in one["memories"]]
    assert memlint("plan", "--write") == 0
    assert memlint.out == ""


TWO = """\
module belt (input logic clk, we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q, r);
    ram #(.DEPTH(8192)) u_deep (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q(q));
    ram #(.DEPTH(512)) u_flat (.clk(clk), .we(we), .wa(wa[8:0]), .ra(ra[8:0]), .d(d), .q(r));
endmodule
"""


def test_unlike_memories_of_one_declaration_are_told_apart_on_their_instances(
    memlint: Memlint, tray: Path
) -> None:
    (tray / "tray.sv").write_text(RAM + TWO)
    (one,) = planned(memlint)
    assert tiers(one) == {"belt.u_deep.mem": "bulk", "belt.u_flat.mem": "block"}
    assert memlint("plan", "--write", "--apply") == 0
    text = (tray / "tray.sv").read_text()
    assert "    // @mem on mem: in bulk\n    ram #(.DEPTH(8192)) u_deep" in text
    assert "    // @mem on mem: in block\n    ram #(.DEPTH(512)) u_flat" in text
    (one,) = planned(memlint)
    assert all(each["fixed"] and each["tier"] == each["tier_now"] for each in one["memories"])
    assert memlint("plan", "--write") == 0
    assert memlint.out == ""


PAIR = """\
module pair #(parameter int DEPTH = 512) (
    input logic clk, we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q, r
);
    ram #(.DEPTH(DEPTH)) u_near (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q(q));
    ram #(.DEPTH(DEPTH)) u_far (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q(r));
endmodule
module belt (input logic clk, we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q [6]);
    pair #(.DEPTH(8192)) u_deep (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q(q[0]), .r(q[1]));
    // @mem on u_near.mem: why "statistics"
    pair u_flat (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q(q[2]), .r(q[3]));
endmodule
"""


def test_the_inmost_instance_that_can_tell_them_apart_is_taken(memlint: Memlint, tray: Path) -> None:
    # The statements in `pair` speak for a deep and a flat memory each; those in `belt` do not.
    (tray / "tray.sv").write_text(RAM + PAIR)
    assert memlint("plan", "--write") == 0
    assert [line for line in memlint.out.splitlines() if line.startswith("+ ")] == [
        "+    // @mem on u_near.mem: in bulk",
        "+    // @mem on u_far.mem: in bulk",
        "+    // @mem on u_near.mem: in block",
        "+    // @mem on u_far.mem: in block",
    ]
    assert memlint.err == ""


def test_what_no_comment_can_tell_apart_is_left_with_the_reason(memlint: Memlint, tray: Path) -> None:
    # One statement, two depths.
    looped = TWO.partition("    ram")[0] + (
        "    for (genvar at = 0; at < 2; at++) begin : g\n"
        "        ram #(.DEPTH(at == 0 ? 8192 : 512)) u_ram (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q());\n"
        "    end\nendmodule\n"
    )
    (tray / "tray.sv").write_text(RAM + looped)
    assert memlint("plan", "--write") == 0
    assert memlint.out == ""
    assert (
        "belt.g[0].u_ram.mem, belt.g[1].u_ram.mem: left as it is: what is declared here goes to block and bulk, "
        "and no comment on an instance can tell them apart"
    ) in memlint.err
    assert tiers(planned(memlint)[0]) == {"belt.g[0].u_ram.mem": "bulk", "belt.g[1].u_ram.mem": "block"}


def test_the_sorter_fits_its_device() -> None:
    engine = open_project([str(SORTER)])
    judged = engine.judge()
    found = plan_design(judged)
    assert found.plan is not None
    assert found.plan.optimal
    # fixtures/sorter/memlint.toml leaves 20 of 96 big blocks free: 72 of 76 are taken.
    bulk = next(one for one in found.fillings if one.tier == "bulk")
    assert (bulk.taken, bulk.supply, bulk.available) == (72, 76, 96)
    # Whatever the plan leaves where it is takes what `list` says.
    now = {view.memory.path: view.placement for view in judged.memories}
    for one in found.memories:
        if not one.moved and one.choice.tier != "external":
            placement = now[one.view.memory.path]
            assert placement is not None
            assert placement.blocks == one.choice.blocks


def valid(memlint: Memlint, command: str, said: str) -> None:
    """What a command printed is what its published schema says."""
    assert memlint(command, "--schema") == 0
    schema = json.loads(memlint.out)
    Draft202012Validator.check_schema(schema)
    Draft202012Validator(schema).validate(json.loads(said))


@pytest.mark.parametrize(
    "edit",
    [
        ("", ""),
        # No plan, and a conflict; a tier whose supply is not known; a shape that is not known.
        ("= 8192)", "= 819200)"),
        ("[0:511];\n    (*", "[0:$random];\n    (*"),
        ("endmodule", "jets u_jets (.clk(clk));\n// @mem plan far; in bulk or block; shape 4 x 4\nendmodule"),
    ],
    ids=["fits", "conflict", "unknown shape", "missing unit"],
)
@pytest.mark.parametrize("device", [DEVICE, DEVICE.replace("blocks = 40\n", ""), SMALLER])
def test_json_is_what_its_schema_says(
    memlint: Memlint, tray: Path, edit: tuple[str, str], device: str
) -> None:
    (tray / "tray.toml").write_text(device)
    (tray / "tray.sv").write_text(TRAY.replace(*edit))
    memlint("plan", "--format", "json", "--what-if", "device=saucer.toml", "--what-if", "LINES=16")
    valid(memlint, "plan", memlint.out)


def test_json_of_the_demo_is_what_its_schema_says(memlint: Memlint) -> None:
    memlint("plan", str(SORTER), "--format", "json")
    valid(memlint, "plan", memlint.out)


BOXES = """
module tray (input logic clk, host, we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q, r);
    grain_ram #(.AW(13)) u_deep (.clka(clk), .clkb(clk), .q(r));
    grain_ram #(.AW(9)) u_flat (.clka(clk), .clkb(host), .q(r));
    jets u_jets (.clk(clk));
    logic [39:0] lines [0:8191];
    always_ff @(posedge clk) begin if (we) lines[wa] <= d; q <= lines[ra]; end
endmodule
"""
BOX = '\n[[black_box]]\nunit = "grain_ram"\ndepth = "2**AW"\nwidth = "40"\nports = "1w 1r"\nclocks = ["clka", "clkb"]\n'


def test_black_boxes_are_planned_like_memories_and_named(memlint: Memlint, tray: Path) -> None:
    (tray / "tray.sv").write_text(BOXES)
    with (tray / "memlint.toml").open("a") as config:
        config.write(BOX)
    (one,) = planned(memlint)
    # 8,192 x 40 is a block of bulk; 512 x 40 is one of block, and on two clocks can be in no other tier.
    assert tiers(one) == {"tray.lines": "bulk", "tray.u_deep": "bulk", "tray.u_flat": "block"}
    assert [each["path"] for each in one["memories"] if each["black_box"]] == ["tray.u_deep", "tray.u_flat"]
    assert (one["black_boxes"], one["units_without_source"]) == (["grain_ram"], ["jets"])
    (place,) = one["instances"]
    assert (place["black_boxes"], place["units_without_source"]) == (["grain_ram"], ["jets"])
    assert {each["tier"]: each["blocks"] for each in place["tiers"]} == {"block": 1, "bulk": 2}
    assert memlint("plan") == 0
    text = " ".join(memlint.out.split())
    assert "What units without source need is not counted." in text
    assert "not counted: units without source, `jets`" in text
    assert "counted as memlint.toml describes them: black boxes, `grain_ram`" in text
    # The intent on an instance speaks for the memory in it.
    assert memlint("plan", "--write") == 0
    assert [line for line in memlint.out.splitlines() if line.startswith("+ ")] == [
        "+    // @mem in bulk", "+    // @mem in block", "+    // @mem in bulk"
    ]  # fmt: skip


def test_a_tier_that_the_project_file_gives_a_black_box_is_kept(memlint: Memlint, tray: Path) -> None:
    (tray / "tray.sv").write_text(BOXES)
    with (tray / "memlint.toml").open("a") as config:
        config.write(BOX + 'tier = "block"\n')
    (one,) = planned(memlint)
    deep, flat = (each for each in one["memories"] if each["black_box"])
    # 8,192 x 40 is 16 blocks of 512 x 40.
    assert (deep["tier"], deep["blocks"], deep["fixed"]) == ("block", 16, True)
    assert deep["why"][0] == "its [[black_box]] names this tier"
    assert flat["blocks"] == 1
    # Nothing that it says is left to be written.
    assert memlint("plan", "--write") == 0
    assert memlint.out.count("+    // @mem") == 1


def test_a_memory_that_cannot_be_counted_leaves_the_fit_open(memlint: Memlint, tray: Path) -> None:
    (tray / "tray.sv").write_text(TRAY.replace("marks [0:511]", "marks [0:$random]"))
    (one,) = planned(memlint)
    assert one["fits"] is None
    (left,) = one["left_out"]
    assert left["path"] == "tray.marks"
    assert left["because"]
    assert memlint("plan") == 0
    text = " ".join(memlint.out.split())
    assert "Whether it fits is open: 1 memory could not be counted" in text
    assert f"not counted: tray.marks: {left['because']}" in text


def test_a_memory_on_a_tier_that_does_not_take_it_is_told(memlint: Memlint, tray: Path) -> None:
    source = TRAY.replace("    // a line of the tray", "    // @mem in bulk; initial contents")
    (tray / "tray.sv").write_text(source)
    assert memlint("plan") == 0
    text = " ".join(memlint.out.split())
    assert "On a tier that does not take it as it is: 1 memory." in text


LANES = """
module lanes (input logic clk, we, input logic [9:0] wa, ra, input logic [39:0] d, output logic [39:0] q, r);
    ram #(.DEPTH(1024)) u_ram (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q(q));
    // @mem budget block <= 3, bulk <= 1
endmodule
module belt (input logic clk, we, input logic [9:0] wa, ra, input logic [39:0] d, output logic [39:0] q [2]);
    for (genvar at = 0; at < 2; at++) begin : g
        lanes u_lanes (.clk(clk), .we(we), .wa(wa), .ra(ra), .d(d), .q(q[at]));
    end
    // @mem budget block <= 4
endmodule
"""


def test_each_budget_stands_beside_what_is_taken(memlint: Memlint, tray: Path) -> None:
    (tray / "tray.sv").write_text(RAM + LANES)
    (one,) = planned(memlint)
    # 1,024 x 40 is two of block: a share of two fortieths, against an eighth in bulk.
    assert [(each["path"], each["tier"], each["blocks"], each["budget"]) for each in one["budgets"]] == [
        ("belt", "block", 4, 4),
        ("belt.g[0].u_lanes", "block", 2, 3),
        ("belt.g[0].u_lanes", "bulk", 0, 1),
        ("belt.g[1].u_lanes", "block", 2, 3),
        ("belt.g[1].u_lanes", "bulk", 0, 1),
    ]
    assert memlint("plan") == 0
    assert re.search(r"belt +block +4 +4 +100 %\n", memlint.out)
    assert re.search(r"lanes +block +2 +3 +67 %\n", memlint.out)
