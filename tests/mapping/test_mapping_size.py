"""`memlint size`, as its user sees it."""

import json

import pytest

from memlint.cli.main import main
from memlint.device.profile import load_profile
from memlint.mapping.demand import Demand
from memlint.reports.page import Page
from memlint.reports.size_text import size_text
from memlint.reports.sizing import sizing


@pytest.fixture
def size(capsys, tmp_path, monkeypatch):
    """Runs the command in an empty folder: (exit code, output, complaints)."""
    monkeypatch.chdir(tmp_path)

    def run(*arguments: str):
        code = main(["size", *arguments])
        said = capsys.readouterr()
        return code, said.out, said.err

    return run


def tiers(output: str):
    return {one["tier"]: one for one in json.loads(output)["tiers"]}


def test_every_tier_side_by_side(size):
    code, out, _ = size("32Kx40")
    assert code == 0
    lines = out.splitlines()
    assert lines[0].startswith("32,768 x 40")
    assert "1,310,720 bits (1.25 Mibit)" in out
    rows = [line.split()[0] for line in lines if line.startswith("  ") and line[2:3].isalpha()]
    assert rows.index("bulk") < rows.index("block") < rows.index("registers")
    assert "4 of 8192 x 40 one above the other hold 32,768 x 40, 100 % full" in out
    assert "it takes 3,584 blocks of fabric; sorter-m has 2,400" in out


def test_near_misses_are_offered(size):
    _, out, _ = size("8193x40")
    assert "1 word less (8,192 deep): 1 block, saves 1" in out


def test_folding_is_offered(size):
    # 64K x 8 rom: 8,192 x 64 on 512 x 48 and deeper shapes; a fold is only shown where it saves an eighth.
    _, out, _ = size("64Kx5", "--ports", "1rw", "--device", "sorter-m")
    assert "folded" in out and "multiplexer" in out


def test_json_has_the_published_keys(size):
    _, out, _ = size("65536 x 40", "--format", "json")
    report = json.loads(out)
    assert list(report) == ["shape", "tiers"]
    assert report["shape"] == {"depth": 65536, "width": 40}
    bulk = tiers(out)["bulk"]
    assert list(bulk) == [
        "tier", "blocks", "uniform_blocks", "lower_bound", "fill", "copies", "chain", "chains", "split",
        "read_latency", "cuts", "fits", "because",
    ]  # fmt: skip
    assert bulk["cuts"] == [
        {"first_word": 0, "words": 65536, "first_bit": 0, "bits": 40, "shape": [8192, 40], "blocks": 8}
    ]
    assert (bulk["blocks"], bulk["fill"], bulk["chain"], bulk["read_latency"]) == (8, 1.0, 8, 2)


def test_several_shapes(size):
    _, out, _ = size("1Kx12", "2Kx12", "--format", "json")
    assert [one["shape"]["depth"] for one in json.loads(out)] == [1024, 2048]
    _, text, _ = size("1Kx12", "2Kx12")
    assert "1,024 x 12" in text and "2,048 x 12" in text


def test_shapes_of_one_depth_side_by_side(size):
    # 8192 x 20 each in a bulk block of 8192 x 40 with enables of ten bits, or both in one.
    _, out, _ = size("8192x20", "8192x20", "--ports", "1rw")
    assert "40 bits wide: 1 block instead of 2" in out
    _, out, _ = size("8192x20", "4096x20", "--ports", "1rw")
    assert "Side by side" not in out


def test_halves_stay_exact_in_json(size):
    _, out, _ = size("1024x60", "--format", "json")
    assert tiers(out)["block"]["blocks"] == 2.5


def test_obstacles_come_with_the_count_without_them(size):
    _, out, _ = size("64Kx40", "--clocks", "2")
    assert "its ports use 2 clocks; the ports of bulk share one. Without that: 8 blocks" in out
    _, out, _ = size("64Kx40", "--clocks", "2", "--format", "json")
    bulk = tiers(out)["bulk"]
    assert (bulk["fits"], bulk["blocks"]) == (False, 8)
    assert "2 clocks" in bulk["because"][0]


@pytest.mark.parametrize(
    ("arguments", "tier", "blocks"),
    [
        (["8192x40", "--ports", "1w 3r"], "bulk", 3),
        (["8192x40", "--ports", "2rw"], "bulk", 1),
        (["512x48", "--ports", "1w(48)1r(12)"], "block", 1),
        (["8192x40", "--ports", "1rw", "--lanes", "10"], "bulk", 1),
        (["8192x40", "--ports", "1rw", "--lanes", "8"], "bulk", 2),
        (["8192x32", "--ports", "1rw", "--lanes", "1+20+11"], "bulk", 2),
        (["8192x66", "--ecc"], "bulk", 2),
        (["2048x12", "--block-shape", "512x24"], "block", 2),
    ],
)
def test_needs(size, arguments, tier, blocks):
    _, out, _ = size(*arguments, "--format", "json")
    assert tiers(out)[tier]["blocks"] == blocks


def test_a_rom_needs_its_contents(size):
    _, out, _ = size("1Kx8", "--ports", "rom", "--format", "json")
    found = tiers(out)
    assert not found["bulk"]["fits"] and found["block"]["fits"]
    assert any("power-up" in reason for reason in found["bulk"]["because"])


def test_the_published_slice(size):
    # ID 683240 (9/17/2021): 8192 x 36 in slices of 8K x 1 takes 36 M9K, in slices of 1K x 9 32.
    for shape, blocks in (("8192x1", 36), ("1024x9", 32)):
        _, out, _ = size(
            "8192x36", "--ports", "1rw", "--device", "cyclone4-max10", "--block-shape", shape,
            "--format", "json",
        )  # fmt: skip
        assert tiers(out)["m9k"]["blocks"] == blocks


def test_what_it_must_hold(size):
    # 12 x 3840 x 30 = 1,382,400 bits; 32K x 40 = 1,310,720: 71,680 bits are 1,792 words of 40.
    _, out, _ = size("32Kx40", "--holds", "12 lines x 3840 x 30 bit")
    assert "1,382,400 bits" in out and "1,792 words short" in out
    _, out, _ = size("48Kx30", "--holds", "12 lines x 3840 x 30 bit", "--format", "json")
    assert json.loads(out)["holds"] == {"bits": 1382400, "enough": True}


def test_preferences(size):
    for prefer in ("blocks", "speed", "power"):
        code, out, _ = size("16Kx20", "--prefer", prefer)
        assert code == 0 and "16,384 x 20" in out


def test_the_projects_device_is_taken(size, tmp_path):
    (tmp_path / "memlint.toml").write_text('device = "sorter-m/sorter-l"\n')
    _, out, _ = size("32Kx40")
    assert "of 160" in out


@pytest.mark.parametrize("depth", [20, 8200, 100_000])
def test_it_fits_a_terminal_of_80_columns(depth):
    demand = Demand(depth, 40, reads=3, lanes=(8,) * 5, ecc="added")
    text = size_text([sizing(demand, load_profile("sorter-m"), "blocks", None)], Page(80))
    assert max(len(line) for line in text.splitlines()) <= 80


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([], "Write depth x width, such as: memlint size 32Kx40"),
        (["32K40"], "32K40"),
        (["0x4"], "at least 1"),
        (["--holds", "64 x 1522 byte"], "779,264 bits, for example 97408x8"),
        (["8x8", "--ports", "3q"], "`3q` is no port"),
        (["8x8", "--ports", "1w1w"], "given twice"),
        (["8x8", "--ports", ""], "--ports is empty"),
        (["8x8", "--lanes", "9"], "1 to 8 bits"),
        (["8x8", "--lanes", "3+4"], "come to 7 bits, the word has 8"),
        (["8x8", "--clocks", "3"], "the memory has 2 ports"),
        (["8x8", "--holds", "5 Kbit"], "kbit"),
        (["8x8", "--block-shape", "wide"], "--block-shape"),
        (["8x8", "--device", "nosuch"], 'There is no device profile "nosuch"'),
        (["8x8", "--prefer", "luck"], "invalid choice"),
    ],
)
def test_bad_arguments_end_with_2_and_a_remedy(size, arguments, said):
    code, out, err = size(*arguments)
    assert (code, out) == (2, "")
    assert said in err
