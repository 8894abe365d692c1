"""Mistakes people make in a profile: the message names the file, the line, the key and what to do."""

from __future__ import annotations

from pathlib import Path

import pytest

from memlint.device.profile import ProfileError, load_profile

# Line numbers in this file are counted by hand; every case below changes lines without adding any.
BOARD = """\
[device]
name = "board"
mux_ways = 4
[[source]]
id = "invented"
title = "invented for the tests"
facts = ["*"]
[[tier]]
name = "bulk"
role = "bulk"
block_bits = 327680
blocks = 96
[tier.modes.single]
shapes = [[8192, 40]]
enables = [[40, 10]]
[tier.ecc.single]
shapes = [[8192, 40]]
data = 33
check = 7
[tier.chain]
longest = 200
modes = ["single"]
[[tier.columns]]
blocks = 16
count = 6
[[member]]
name = "large"
blocks = { bulk = 160 }
columns = { bulk = [[16, 10]] }
"""


def refusal(folder: Path, text: str) -> str:
    """What a person reads who loads this text as board.toml."""
    (folder / "board.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ProfileError) as refused:
        load_profile("board.toml", folder)
    return str(refused.value)


def test_the_board_itself_is_accepted_though_its_chain_is_longer_than_its_columns(tmp_path: Path) -> None:
    (tmp_path / "board.toml").write_text(BOARD)
    chain = load_profile("board.toml", tmp_path).tiers[0].chain
    assert chain is not None
    assert chain.longest == 200


MISTAKES = [
    (
        "shapes = [[8192, 40]]\nenables",
        "shapes = [[8192, 48]]\nenables",
        "board.toml:14: tier.bulk.modes.single.shapes[0]: 8192 x 48 is 393,216 bits, more than block_bits "
        "327,680. Use a shape of at most 327,680 bits, or correct block_bits.\n"
        "board.toml:15: tier.bulk.modes.single.enables[0]: No shape of this mode is 40 bits wide. Write "
        "the word "
        "width of a shape: 48.",
    ),
    (
        "blocks = 96",
        "blocks = 90",
        "board.toml:23: tier.bulk.columns: The columns hold 96 blocks, but blocks is 90. Correct "
        "blocks, or the "
        "columns' blocks and count.",
    ),
    (
        "check = 7",
        "check = 8",
        "board.toml:17: tier.bulk.ecc.single.shapes[0]: An ECC word of 33 data and 8 check bits is "
        "wider than the "
        "shape 8192 x 40. Use a shape at least 41 bits wide, or correct data and check.",
    ),
    (
        "data = 33\ncheck = 7",
        "data = 64\n# no check",
        "board.toml:17: tier.bulk.ecc.single.shapes[0]: An ECC word of 64 data bits is wider than the shape "
        "8192 x 40. Use a shape at least 64 bits wide, or correct data and check.",
    ),
    (
        "shapes = [[8192, 40]]\nenables = [[40, 10]]",
        "shapes = []\n# no enables",
        "board.toml:14: tier.bulk.modes.single.shapes: The mode has no shapes. Write [depth, width] of "
        "one block, "
        "or leave `shapes` out where nobody documents them.",
    ),
    (
        "enables = [[40, 10]]",
        "enables = [[10, 40]]",
        "board.toml:15: tier.bulk.modes.single.enables[0]: The granule of 40 bits is wider than its "
        "word of 10 "
        "bits. Write [word width, granule], the wider first.",
    ),
    (
        'role = "bulk"',
        'role = "bulky"',
        'board.toml:10: tier.bulk.role: "bulky" is not one of the words known here. Did you mean '
        '"bulk"? Write '
        '"fabric" or "block" or "bulk" or "external".',
    ),
    (
        "blocks = 96",
        'clocks = "both"',
        'board.toml:12: tier.bulk.clocks: "both" is not one of the words known here. Write "one" or "any".',
    ),
    (
        "blocks = 96",
        'read = "sync"',
        'board.toml:12: tier.bulk.read: "sync" is not one of the words known here. Did you mean '
        '"synchronous"? '
        'Write "synchronous" or "asynchronous".',
    ),
    (
        "block_bits = 327680",
        "block_bit = 327680",
        "board.toml:11: tier.bulk.block_bit: Unknown key `block_bit`. Did you mean `block_bits`? Keys "
        "known here: "
        "name, role, title, block_bits, blocks, splits, clocks, read, read_latency, output_registers, "
        "initial_contents, hard_fifo, unequal_port_widths, idle_uw, asleep_uw, active_uw_per_mhz, "
        "unknown, modes, "
        "ecc, chain, columns, external.",
    ),
    (
        "[tier.modes.single]",
        "[tier.modes.dual]",
        "board.toml:13: tier.bulk.modes.dual: Unknown key `dual`. Did you mean `true_dual`? Keys known "
        "here: single, "
        "simple_dual, true_dual, rom.",
    ),
    (
        "mux_ways = 4",
        "mux_ways = 1",
        "board.toml:3: device.mux_ways: 1 is too small. Write a number of at least 2.",
    ),
    (
        "block_bits = 327680",
        "block_bits = -327680",
        "board.toml:11: tier.bulk.block_bits: -327680 is too small. Write a number above 0.",
    ),
    (
        "longest = 200",
        "longest = 0",
        "board.toml:21: tier.bulk.chain.longest: 0 is too small. Write a number above 0.",
    ),
    (
        "blocks = 96",
        'blocks = "96"',
        'board.toml:12: tier.bulk.blocks: "96" is not a whole number. Write a whole number.',
    ),
    (
        "blocks = 96",
        "blocks = true",
        "board.toml:12: tier.bulk.blocks: true is not a whole number. Write a whole number.",
    ),
    (
        "blocks = 96",
        'hard_fifo = "no"',
        'board.toml:12: tier.bulk.hard_fifo: "no" is not true or false. Write true or false.',
    ),
    (
        "shapes = [[8192, 40]]\nenables",
        "shapes = [[8192]]\nenables",
        "board.toml:14: tier.bulk.modes.single.shapes[0]: [8192] is not a shape. Write [depth, width] "
        "as whole "
        "numbers above 0; a third number is the blocks it costs.",
    ),
    (
        "shapes = [[8192, 40]]\nenables",
        "shapes = [[8192, 40, 0]]\nenables",
        "board.toml:14: tier.bulk.modes.single.shapes[0]: A shape cannot cost 0 blocks. Write a number "
        "above 0, or "
        "leave it out for 1.",
    ),
    (
        "enables = [[40, 10]]",
        "half_shapes = [[4096, 40]]",
        "board.toml:15: tier.bulk.modes.single.half_shapes: The mode has half_shapes, but the blocks of "
        "this tier "
        "do not split. Write `splits = 2` in the tier, or take half_shapes out.",
    ),
    (
        "blocks = 96\n[tier.modes.single]\nshapes = [[8192, 40]]\nenables = [[40, 10]]",
        "splits = 2\n[tier.modes.single]\nshapes = [[8192, 40]]\nhalf_shapes = [[4096, 40], [8192, 40]]",
        "board.toml:15: tier.bulk.modes.single.half_shapes[1]: 8192 x 40 is 327,680 bits, more than "
        "block_bits / 2 = "
        "163,840. Use a shape of at most 163,840 bits, or correct block_bits.",
    ),
    (
        'name = "bulk"',
        'name = "registers"',
        "board.toml:9: tier.registers.name: Every device has the tier `registers` already; its name is "
        "reserved. "
        "Give this tier another name.\n"
        "board.toml:28: member.large.blocks.bulk: There is no tier `bulk`. Write one of: registers.\n"
        "board.toml:29: member.large.columns.bulk: There is no tier `bulk`. Write one of: registers.",
    ),
    (
        'modes = ["single"]',
        'modes = ["single", "rom"]',
        "board.toml:22: tier.bulk.chain.modes[1]: The tier has no mode rom. Write one of: single.",
    ),
    (
        "columns = { bulk = [[16, 10]] }",
        "columns = { bulk = [[16, 9]] }",
        "board.toml:29: member.large.columns.bulk: The columns hold 144 blocks, but blocks is 160. "
        "Correct blocks, "
        "or give this member `columns.bulk` that add up to it.",
    ),
    (
        "columns = { bulk = [[16, 10]] }",
        "",
        "board.toml:28: member.large.blocks.bulk: The columns of the family hold 96 blocks, but blocks "
        "is 160. "
        "Correct blocks, or give this member `columns.bulk` that add up to it.",
    ),
    (
        'facts = ["*"]',
        'facts = ["tier.*", "tier.bulk.block_bit"]',
        'board.toml:7: source.invented.facts[1]: "tier.bulk.block_bit" matches no fact of this profile. '
        "Did you mean "
        "`tier.bulk.block_bits`? Write the key of a stated fact, `*` for any part of it.",
    ),
    (
        'name = "board"',
        "",
        'board.toml:1: device.name: The device has no name. Add `name = "…"` under [device].',
    ),
    (
        'role = "bulk"',
        "",
        'board.toml:8: tier.bulk.role: The tier has no role. Add `role = "fabric"`, `"block"`, `"bulk"` or '
        '`"external"`.',
    ),
    (
        'name = "bulk"',
        "",
        "board.toml:8: tier[0].name: `name` is missing. Add `name = …`.",
    ),
    (
        "block_bits = 327680",
        "block_bits 327680",
        "board.toml:11: This is not TOML: Expected '=' after a key in a key/value pair. Mend this line "
        "or the one "
        "before.",
    ),
    (
        "mux_ways = 4",
        "target_mhz = inf",
        "board.toml:3: device.target_mhz: Infinity is not a finite number. Write a finite number.",
    ),
    (
        '[tier.chain]\nlongest = 200\nmodes = ["single"]',
        "[tier.external]\ncapacity_bits = 200\n",
        "board.toml:20: tier.bulk.external: Capacity and bandwidth are for external tiers; the role of "
        "this one is "
        '"bulk". Take the table out, or write `role = "external"`.',
    ),
]


@pytest.mark.parametrize(("right", "wrong", "expected"), MISTAKES, ids=[wrong for _, wrong, _ in MISTAKES])
def test_a_mistake_is_named_with_its_line_and_remedy(
    tmp_path: Path, right: str, wrong: str, expected: str
) -> None:
    assert BOARD.count(right) == 1
    assert refusal(tmp_path, BOARD.replace(right, wrong)) == expected


def test_an_error_carries_its_parts(tmp_path: Path) -> None:
    (tmp_path / "board.toml").write_text(BOARD.replace("blocks = 96", "blocks = 90"))
    with pytest.raises(ProfileError) as refused:
        load_profile("board.toml", tmp_path)
    error = refused.value
    assert (error.file, error.line, error.key) == ("board.toml", 23, "tier.bulk.columns")
    assert error.message == "The columns hold 96 blocks, but blocks is 90."
    assert error.remedy == "Correct blocks, or the columns' blocks and count."


@pytest.mark.parametrize(
    ("kind", "addition"),
    [
        ("tier", '[[tier]]\nname = "bulk"\nrole = "block"\n'),
        ("member", '[[member]]\nname = "large"\n'),
        ("source", '[[source]]\nid = "invented"\ntitle = "again"\n'),
    ],
)
def test_a_repeated_name_is_shown_where_it_stands_the_second_time(
    tmp_path: Path, kind: str, addition: str
) -> None:
    name = {"tier": "bulk", "member": "large", "source": "invented"}[kind]
    key = "id" if kind == "source" else "name"
    assert refusal(tmp_path, BOARD + addition) == (
        f'board.toml:31: {kind}[1].{key}: A second {kind} is called "{name}". Rename it, or join the two.'
    )


def test_a_profile_without_a_source_is_refused(tmp_path: Path) -> None:
    assert refusal(tmp_path, '[device]\nname = "board"\n') == (
        "board.toml: source: No source is named. Add a [[source]] with `id`, `title` and the `facts` it "
        "documents; "
        "your own measurement is one."
    )


def test_a_word_that_cannot_follow_in_is_no_tier_name(tmp_path: Path) -> None:
    for word in ("or", "block-ram", "2port", ""):
        text = refusal(tmp_path, BOARD.replace('name = "bulk"', f'name = "{word}"'))
        assert f'"{word}" is not a word that can be written after `in`.' in text


def test_every_mistake_is_told_at_once_in_the_order_of_the_lines(tmp_path: Path) -> None:
    text = refusal(
        tmp_path, BOARD.replace('role = "bulk"', 'role = "big"').replace("mux_ways = 4", "mux_way = 4")
    )
    assert [line.split(":")[1] for line in text.splitlines()] == ["3", "10"]
