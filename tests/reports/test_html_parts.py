"""The page's arithmetic: treemap, columns, colours."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from report_pages import SORTER

from memlint.device.facts import REGISTERS, Device, Tier
from memlint.engine import open_project
from memlint.engine.engine import check_text
from memlint.reports.html.columns import standing
from memlint.reports.html.figures import share
from memlint.reports.html.markup import Markup, memory_link, tag
from memlint.reports.html.theme import DARK, LIGHT, tier_colours
from memlint.reports.html.treemap import Box, tiled

AMOUNTS = st.lists(st.integers(1, 10**9), min_size=1, max_size=60).map(lambda one: sorted(one, reverse=True))


@given(AMOUNTS, st.integers(1, 2000), st.integers(1, 2000))
def test_areas_are_in_proportion_and_fill_the_box(amounts: list[int], wide: int, high: int) -> None:
    boxes = tiled([float(one) for one in amounts], Box(10, 20, wide, high))
    whole = wide * high
    for amount, box in zip(amounts, boxes, strict=True):
        assert box.w * box.h == pytest.approx(whole * amount / sum(amounts), rel=1e-4, abs=whole * 1e-6)
        assert box.x >= 10 - 1e-6
        assert box.y >= 20 - 1e-6
        assert box.x + box.w <= 10 + wide + 1e-3
        assert box.y + box.h <= 20 + high + 1e-3


@given(AMOUNTS)
def test_boxes_do_not_overlap(amounts: list[int]) -> None:
    boxes = tiled([float(one) for one in amounts], Box(0, 0, 1200, 440))
    for at, one in enumerate(boxes):
        for other in boxes[at + 1 :]:
            across = min(one.x + one.w, other.x + other.w) - max(one.x, other.x)
            down = min(one.y + one.h, other.y + other.h) - max(one.y, other.y)
            assert across < 1e-3 or down < 1e-3


def test_equal_amounts_come_near_to_squares() -> None:
    for box in tiled([1.0] * 16, Box(0, 0, 400, 400)):
        assert (box.w, box.h) == (pytest.approx(100), pytest.approx(100))


def bulk() -> tuple[Tier, list[object]]:
    judged = open_project([str(SORTER)]).judge()
    tier = judged.device.tier("bulk")
    assert tier is not None
    return tier, [view for view in judged.memories if view.tier is tier]


def test_every_block_of_the_demo_stands_in_one_column() -> None:
    tier, views = bulk()
    found = standing(views, tier)  # type: ignore[arg-type]
    assert not found.reason
    # Six columns of sixteen: sorter-m.toml.
    assert [column.height for column in found.columns] == [16] * 6
    assert all(column.free >= 0 for column in found.columns)
    stood: dict[str, list[int]] = {}
    for column in found.columns:
        for run in column.runs:
            stood.setdefault(run.view.memory.path, []).append(run.blocks)
    # 163,840 words are 20 blocks of 8,192: two chains of ten, because a column has sixteen.
    assert stood["sorter_top.u_background.means"] == [10, 10]
    assert stood["sorter_top.u_telemetry.u_frames.ring"] == [16]
    # 512 bits of 40 are thirteen blocks side by side, in no chain.
    assert sum(stood["sorter_top.u_ejector.u_pattern.patterns"]) == 13
    assert sum(map(sum, stood.values())) == 72


def test_what_does_not_fit_is_not_placed_and_says_why() -> None:
    stores = "".join(
        f"// @mem in bulk\nlogic [39:0] line_{at} [0:73727];\n"
        f"always_ff @(posedge clk) begin if (we) line_{at}[a] <= d; q[{at}] <= line_{at}[b]; end\n"
        for at in range(7)
    )
    judged = check_text(
        "module bank (input logic clk, we, input logic [16:0] a, b, input logic [39:0] d,"
        f" output logic [39:0] q [7]);\n{stores}endmodule\n"
    )
    tier = judged.device.tier("bulk")
    assert tier is not None
    found = standing([view for view in judged.memories if view.tier is tier], tier)
    # Seven chains of nine blocks; a column of sixteen holds one of them.
    assert found.reason
    assert all(not column.runs for column in found.columns)
    assert [(run.blocks, run.times) for run in found.runs] == [(9, 1)] * 7


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    """Contrast ratio as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_text_can_be_read(palette: dict[str, str]) -> None:
    # WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text.
    for ink in ("ink", "soft", "accent", "error", "warning", "note"):
        for ground in ("paper", "card", "sunk"):
            assert contrast(palette[ink], palette[ground]) >= 4.5, (ink, ground)
    assert contrast(palette["on-accent"], palette["accent"]) >= 4.5


@pytest.mark.parametrize("palette", [LIGHT, DARK], ids=["light", "dark"])
def test_shapes_can_be_told_from_the_ground(palette: dict[str, str]) -> None:
    # WCAG 2.2, success criterion 1.4.11: 3 to 1 for what carries meaning.
    for shape in ("edge", "focus", *(f"t{at}" for at in range(7))):
        for ground in ("paper", "card", "sunk"):
            assert contrast(palette[shape], palette[ground]) >= 3, (shape, ground)


def test_tiers_of_one_role_have_colours_of_their_own() -> None:
    device = Device("d", "d", (Tier("small", "block"), Tier("large", "block"), Tier("fast", "block")))
    colours = tier_colours(device)
    assert len(set(colours.values())) == len(colours) == 4
    assert REGISTERS.name in colours


@pytest.mark.parametrize(
    ("part", "shown"),
    [
        (Fraction(0), "0 %"),
        (Fraction(1), "100 %"),
        (Fraction(1, 3), "33.3 %"),
        (Fraction(1, 10**6), "< 0.1 %"),
        (Fraction(999_999, 10**6), "> 99.9 %"),
        (Fraction(5, 4), "125.0 %"),
    ],
)
def test_a_share_never_says_all_or_nothing_when_it_is_neither(part: Fraction, shown: str) -> None:
    assert share(part) == shown


@given(st.text(max_size=40))
def test_text_comes_out_as_text(text: str) -> None:
    made = tag("p", text, title=text)
    assert re.fullmatch(r'<p title="[^"<>]*">[^<>]*</p>', made, re.DOTALL)


def test_markup_is_not_escaped_twice() -> None:
    assert tag("p", tag("b", "a & b"), [None, "<"]) == "<p><b>a &amp; b</b>&lt;</p>"
    assert tag("p", Markup("<br>")) == "<p><br></p>"


@given(st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30))
def test_a_link_to_a_memory_has_no_character_of_its_own(path: str) -> None:
    from urllib.parse import unquote

    link = memory_link(path)
    assert re.fullmatch(r"#m=[A-Za-z0-9_.~%-]+", link)
    assert unquote(link.removeprefix("#m=")) == path


def test_style_and_scripts_are_in_the_package() -> None:
    from memlint.reports.html.page import SCRIPTS, STYLES

    folder = Path(__file__).parents[2] / "memlint" / "reports" / "html" / "assets"
    assert sorted(one.name for one in folder.iterdir()) == sorted((*STYLES, *SCRIPTS))
