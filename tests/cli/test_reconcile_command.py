"""`memlint reconcile`: built counts against ours, on memories whose counts are worked out by hand."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator
from plan_sources import DEVICE
from sorter_samples import Memlint

SOURCE = """\
module belt (
    input  logic        clk, we,
    input  logic [12:0] wa, ra,
    input  logic [39:0] d,
    input  logic [9:0]  e,
    output logic [39:0] q, r,
    output logic [9:0]  s
);
    // @mem in bulk
    logic [39:0] lines [0:8191];
    // @mem in block
    logic [39:0] marks [0:511];
    // @mem in block
    logic [9:0] flat [0:1023];
    // @mem in block
    logic [9:0] tail [0:2559];
    always_ff @(posedge clk) begin
        if (we) lines[wa] <= d;
        q <= lines[ra];
        if (we) marks[wa[8:0]] <= d;
        r <= marks[ra[8:0]];
        if (we) flat[wa[9:0]] <= e;
        s <= flat[ra[9:0]];
    end
    logic [9:0] t;
    always_ff @(posedge clk) begin
        if (we) tail[wa[11:0]] <= e;
        t <= tail[ra[11:0]];
    end
endmodule
"""
"""On the device of plan_sources: lines 1 bulk; marks 1 block; flat half a block (1,024 x 10); tail,
2,560 x 10, 1.5 blocks (2,048 x 10 and 1,024 x 10), in one shape 1.5 (three of 1,024 x 10) as well."""


@pytest.fixture
def belt(tmp_path: Path) -> Path:
    (tmp_path / "tray.toml").write_text(DEVICE)
    (tmp_path / "belt.sv").write_text(SOURCE)
    (tmp_path / "memlint.toml").write_text('device = "tray.toml"\nsources = ["*.sv"]\n')
    return tmp_path


def verdicts(memlint: Memlint, rows: str, *more: str) -> dict[str, tuple[str, str]]:
    Path("counts.csv").write_text(rows)
    memlint("reconcile", "counts.csv", "--format", "json", *more)
    found = json.loads(memlint.out)["memories"]
    return {one["path"]: (one["verdict"], one["because"]) for one in found}


def test_counts_that_agree(memlint: Memlint, belt: Path) -> None:
    rows = "path,tier,blocks\nbelt.lines,bulk,1\nbelt/marks,block,1\nflat,block,0.5\nBELT.TAIL,block,1.5\n"
    found = verdicts(memlint, rows)
    assert {one for one, _ in found.values()} == {"agrees"}
    assert len(found) == 4
    assert memlint("reconcile", "counts.csv") == 0
    assert "4 memories on device tray: 4 as counted" in memlint.out


def test_another_cut_explains_a_difference(memlint: Memlint, belt: Path) -> None:
    rows = "path,tier,blocks\nbelt.flat,block,1\nbelt.tail,block,2\nbelt.marks,block,4\n"
    found = verdicts(memlint, rows)
    assert found["belt.flat"] == ("agrees", "the part of a block rounded up")
    assert found["belt.tail"] == ("agrees", "the part of a block rounded up")
    # 512 x 40 in blocks of 2,048 x 10: four side by side.
    assert found["belt.marks"] == ("explained", "uniform in another shape: 2,048 x 10 in mode simple_dual")


def test_what_nothing_explains_fails(memlint: Memlint, belt: Path) -> None:
    Path("counts.csv").write_text("path,tier,blocks\nbelt.lines,bulk,3\nbelt.marks,registers,20480\n")
    assert memlint("reconcile", "counts.csv") == 1
    text = " ".join(memlint.out.split())
    assert "counted are 1, and no cut that memlint knows gives 3" in text
    assert "built in registers, a flip-flop a bit, meant for block" in text
    assert "bulk: counted 1, built 3" in text


def test_a_known_count_is_accepted_with_its_reason(memlint: Memlint, belt: Path) -> None:
    with (belt / "memlint.toml").open("a") as config:
        config.write(
            '[[measured]]\nmemory = "belt.lines"\ntier = "bulk"\nblocks = 3\nbecause = "kept thrice"\n'
        )
    rows = "path,tier,blocks\nbelt.lines,bulk,3\n"
    assert verdicts(memlint, rows)["belt.lines"] == ("accepted", "kept thrice")
    assert memlint("reconcile", "counts.csv") == 0
    changed = verdicts(memlint, rows.replace(",3", ",4"))
    assert changed["belt.lines"][0] == "outlier"
    assert changed["belt.lines"][1].endswith("; accepted were 3 blocks of bulk")


def test_other_headings_and_names_of_tiers(memlint: Memlint, belt: Path) -> None:
    with (belt / "memlint.toml").open("a") as config:
        config.write(
            '[reconcile]\npath = "Instance"\ntier = "Kind"\nblocks = "Used"\n'
            '[reconcile.tiers]\n"big one" = "bulk"\n'
        )
    rows = "\ufeffUsed;note;Kind;Instance\n0.5;x;big one;belt.lines\n0.5;y;big one;belt.lines\n\n"
    assert verdicts(memlint, rows) == {"belt.lines": ("agrees", "uniform: one shape for all")}


def test_rows_and_memories_without_a_counterpart_are_named(memlint: Memlint, belt: Path) -> None:
    Path("counts.csv").write_text("path,tier,blocks\nbelt.linse,bulk,1\nbelt.tail[3],block,1.5\n")
    assert memlint("reconcile", "counts.csv") == 0
    text = " ".join(memlint.out.split())
    assert "no memory `belt.linse` (line 2 of the table); the nearest are belt.lines" in text
    assert "not in the table: belt.flat, belt.lines, belt.marks" in text


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        ("", "counts.csv: The table is empty"),
        ("path,kind,blocks\n", "counts.csv:1: no column is headed `tier`; there are `path`, `kind`"),
        ("path,tier,blocks\nbelt.lines,bulky,1\n", "counts.csv:2: device tray has no tier `bulky`"),
        ("path,tier,blocks\nbelt.lines,bulk,many\n", "counts.csv:2: `many` is no number of blocks"),
        ("path,tier,blocks\nbelt.lines,bulk,-1\n", "counts.csv:2: -1 blocks are fewer than none"),
        ("path,tier,blocks\nbelt.lines\n", "counts.csv:2: this row has 1 cells"),
        ("path,tier,blocks\n,bulk,1\n", "counts.csv:2: this row has no path"),
    ],
)
def test_mistakes_in_the_table_are_told(memlint: Memlint, belt: Path, rows: str, said: str) -> None:
    Path("counts.csv").write_text(rows)
    assert memlint("reconcile", "counts.csv") == 2
    assert said in memlint.err


def test_a_table_that_is_not_there(memlint: Memlint, belt: Path) -> None:
    assert memlint("reconcile", "none.csv") == 2
    assert "none.csv: the counts cannot be read" in memlint.err


def test_an_accepted_tier_must_exist(memlint: Memlint, belt: Path) -> None:
    with (belt / "memlint.toml").open("a") as config:
        config.write('[[measured]]\nmemory = "belt.lines"\ntier = "blk"\nblocks = 3\nbecause = "x"\n')
    Path("counts.csv").write_text("path,tier,blocks\n")
    assert memlint("reconcile", "counts.csv") == 2
    assert "memlint.toml:4: measured: Device tray has no tier `blk`" in memlint.err


WAYS = """\
module belt (
    input  logic        clk, we,
    input  logic [12:0] wa, ra, rb,
    input  logic [49:0] d,
    output logic [49:0] q [6]
);
    // @mem in block
    logic [4:0] curve [0:6143];
    initial $readmemh("curve.hex", curve);
    // @mem in block
    logic [49:0] wide [0:511];
    // @mem in block
    logic [39:0] twice [0:511];
    // @mem in bulk; ecc
    logic [39:0] safe [0:8191];
    // @mem in registers
    logic [7:0] knobs [0:15];
    always_ff @(posedge clk) begin
        q[0] <= curve[ra];
        if (we) wide[wa[8:0]] <= d;
        q[1] <= wide[ra[8:0]];
        if (we) twice[wa[8:0]] <= d[39:0];
        q[2] <= {twice[ra[8:0]], twice[rb[8:0]]};
        if (we) safe[wa] <= d[39:0];
        q[3] <= safe[ra];
        if (we) knobs[wa[3:0]] <= d[7:0];
        q[4] <= knobs[ra[3:0]];
    end
endmodule
"""


@pytest.mark.parametrize(
    ("memory", "tier", "built", "verdict", "because"),
    [
        # 6,144 x 5: three of 2,048 x 10. Two words side by side, 3,072 x 10: one and a half.
        ("curve", "block", "3", "agrees", "uniform: one shape for all"),
        ("curve", "block", "1.5", "explained", "folded: 2 words side by side, 3,072 x 10"),
        # 512 x 50: 512 x 40 beside half a block of 1,024 x 10; of one shape two of 512 x 40.
        ("wide", "block", "1.5", "agrees", "mixed: the fewest blocks, of several shapes"),
        ("wide", "block", "2", "agrees", "uniform: one shape for all, 512 x 40"),
        # 512 x 50 in blocks of 2,048 x 10: five side by side.
        ("wide", "block", "5", "explained", "uniform in another shape: 2,048 x 10 in mode simple_dual"),
        # A write port and two reads, one read a copy.
        ("twice", "block", "2", "agrees", "uniform: one shape for all"),
        ("twice", "block", "1", "explained", "in one copy, not 2"),
        # 40 bits and 7 check bits (Hamming: 2^6 < 40 + 6 + 1, one more for double errors) are two wide.
        ("safe", "bulk", "2", "agrees", "uniform: one shape for all"),
        ("safe", "bulk", "1", "explained", "without the check bits of its ECC"),
        # 16 x 8 flip-flops.
        ("knobs", "registers", "128", "agrees", "registers: a flip-flop a bit"),
        (
            "knobs",
            "block",
            "0.5",
            "outlier",
            "built in block, meant for registers: uniform: one shape for all",
        ),
    ],
)
def test_which_cut_gives_a_count(
    memlint: Memlint, belt: Path, memory: str, tier: str, built: str, verdict: str, because: str
) -> None:
    (belt / "belt.sv").write_text(WAYS)
    found = verdicts(memlint, f"path,tier,blocks\nbelt.{memory},{tier},{built}\n")
    assert found == {f"belt.{memory}": (verdict, because)}


@pytest.mark.parametrize(
    "rows",
    [
        "path,tier,blocks\n",
        "path,tier,blocks\nbelt.lines,bulk,1\nbelt.flat,block,0.5\nbelt.linse,bulk,1\n",
        "path,tier,blocks\nbelt.lines,bulk,3\nbelt.marks,registers,20480\nbelt.tail,block,2.5\n",
    ],
)
def test_json_is_what_its_schema_says(memlint: Memlint, belt: Path, rows: str) -> None:
    with (belt / "memlint.toml").open("a") as config:
        config.write('[[measured]]\nmemory = "belt.tail"\ntier = "block"\nblocks = 2.5\nbecause = "x"\n')
    Path("counts.csv").write_text(rows)
    memlint("reconcile", "counts.csv", "--format", "json")
    said = json.loads(memlint.out)
    assert memlint("reconcile", "--schema") == 0
    Draft202012Validator.check_schema(json.loads(memlint.out))
    Draft202012Validator(json.loads(memlint.out)).validate(said)


def test_a_table_must_be_named(memlint: Memlint, belt: Path) -> None:
    assert memlint("reconcile") == 2
    assert "Give a CSV table with columns path, tier and blocks" in memlint.err


def test_the_demo_and_its_builds_table(memlint: Memlint, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(Path(__file__).parents[2] / "fixtures" / "sorter")
    assert memlint("reconcile", "built.csv", "--format", "json") == 1
    found = {one["path"]: one["verdict"] for one in json.loads(memlint.out)["memories"]}
    # The table was written by hand. What does not agree are three of the demo's planted mistakes (two clocks
    # and an asynchronous read in tiers that do not take them, a tier that is not there) and what
    # memlint.toml accepts.
    assert {path: verdict for path, verdict in found.items() if verdict != "agrees"} == {
        "sorter_top.g_camera[0].u_channel.u_valve_map.columns": "outlier",
        "sorter_top.u_ejector.u_pattern.patterns": "accepted",
        "sorter_top.u_snapshot.words": "outlier",
        "sorter_top.u_telemetry.u_fifo.words": "explained",
    }
    assert memlint("reconcile", "built.csv") == 1
    text = " ".join(memlint.out.split())
    assert "65,536 x 40: counted 8 in bulk, built 112 in block" in text
    assert "meant for bulk, which does not take it (its ports use 2 clocks" in text
    assert "15 as counted, 1 built another way, 1 accepted, 2 unexplained" in text
