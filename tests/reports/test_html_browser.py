"""The page in a browser: what a reader sees and can do with it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from chromium import Browser, needs_chromium
from report_pages import SORTER, listed, page_of

pytestmark = needs_chromium

ROWS = """[...document.querySelectorAll("#table tbody tr")].map((row) => Object.fromEntries(
    [...row.children].map((cell) => [cell.dataset.key, cell.innerText.trim().split("\\n")[0]])))"""
PATHS = '[...document.querySelectorAll("#table tbody th a")].map((one) => one.textContent)'


def set_value(identity: str, value: str) -> str:
    return (
        f'(() => {{ const one = document.getElementById("{identity}"); one.value = "{value}"; '
        'one.dispatchEvent(new Event("input", {bubbles: true})); })()'
    )


def number(value: Any) -> str:
    return "unknown" if value is None else f"{value:,}"


def test_every_number_of_the_table_is_that_of_list(
    window: Browser, sorter_file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    window.open(sorter_file)
    rows = window.run(ROWS)
    memories = listed(capsys, str(SORTER))
    assert len(rows) == len(memories) == 36
    for row, memory in zip(rows, memories, strict=True):
        root = memory["path"].partition(".")[0] + "."
        ports = " ".join(f"{count}{kind}" for kind, count in memory["ports"].items() if count)
        is_rom = not memory["ports"]["w"] and not memory["ports"]["rw"]
        assert row["path"] == memory["path"]
        assert row["unit"] == memory["unit"]
        assert row["shape"] == f"{number(memory['depth'])} x {number(memory['width'])}"
        assert row["banks"] == number(memory["banks"])
        assert row["ports"] == (f"rom {ports}" if is_rom else ports)
        assert row["read"] == (memory["read"] or "unknown")
        assert row["tier"] == (memory["tier"] or "unknown")
        if memory["clocks"] is None:
            assert row["clocks"] == "unknown"
        else:
            assert row["clocks"] == (", ".join(one.removeprefix(root) for one in memory["clocks"]) or "none")
        is_outside = memory["tier"] == "external"
        for key, name in (("blocks", "blocks"), ("uniform", "uniform_blocks"), ("latency", "read_latency")):
            assert row[key] == ("–" if is_outside else number(memory[name])), (memory["path"], key)
        if memory["tier"] == "bulk":
            cut = f", cut in {memory['split']}" if memory["split"] > 1 else ""
            assert row["chain"] == f"{memory['chain']:,}{cut}"
        else:
            # The other tiers of sorter-m have no depth wires.
            assert row["chain"] == ("–" if memory["tier"] else "unknown")
        if memory["fill"] is not None:
            assert float(row["fill"].strip("<> %")) == pytest.approx(memory["fill"] * 100, abs=0.06)


def test_nothing_is_complained_of_and_nothing_fetched(
    window: Browser, sorter_file: Path, hostile_file: Path, thousand_file: Path
) -> None:
    for file in (sorter_file, hostile_file, thousand_file):
        window.requests.clear()
        window.open(file)
        window.run('document.querySelector("#table tbody a").click()')
        window.run('document.getElementById("details").close()')
        window.run(set_value("words", "store"))
        assert window.complaints == []
        assert set(window.requests) <= {file.as_uri(), "about:blank"}


def test_a_click_sorts_and_another_turns_round(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file)
    head = "document.querySelector('#table button[data-key=\"blocks\"]')"
    window.run(f"{head}.click()")
    blocks = [row["blocks"] for row in window.run(ROWS)]
    assert blocks[:3] == ["512", "20", "16"]
    # What has no value stays last, whichever way: one is off the chip, one names a tier that is not there.
    assert sorted(blocks[-2:]) == ["unknown", "–"]
    assert window.run(f'{head}.parentElement.getAttribute("aria-sort")') == "descending"
    window.run(f"{head}.click()")
    blocks = [row["blocks"] for row in window.run(ROWS)]
    assert blocks[0] == "1"
    assert blocks[-3] == "512"
    assert sorted(blocks[-2:]) == ["unknown", "–"]


def test_filters_find_and_the_address_keeps_them(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file)
    window.run(set_value("words", "gamma g_camera[1]"))
    assert len(window.run(PATHS)) == 3
    assert window.run("document.getElementById('count').textContent") == "3 of 36 memories"
    kept = window.run("location.hash")
    window.open(sorter_file, kept)
    assert len(window.run(PATHS)) == 3
    window.run("document.getElementById('clear').click()")
    window.run(set_value("by-tier", "bulk"))
    assert len(window.run(PATHS)) == 10
    window.run(set_value("by-read", "unknown"))
    assert window.run(PATHS) == ["sorter_top.u_telemetry.defect_log"]


def test_the_unknown_ones_can_be_singled_out(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file, "#show=unknown")
    assert window.run(PATHS) == [
        "sorter_top.training_pictures",
        "sorter_top.u_telemetry.defect_log",
        "sorter_top.u_telemetry.u_fifo.words",
    ]


def test_details_open_by_key_draw_the_cuts_and_close(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file, "#q=pattern")
    window.run('document.querySelector("#table tbody a").focus()')
    window.press("Enter")
    assert window.run('document.getElementById("details").open') is True
    assert window.run("document.activeElement.id") == "details-title"
    text = window.run('document.getElementById("details").innerText')
    assert "4,227,072 bits" in text
    assert "PATTERNS is 64" in text
    assert "the declaration says" in text
    assert "rtl/pulse_pattern.sv:40:24" in text
    # 512 bits in strips of 40: thirteen rectangles.
    assert window.run('document.querySelectorAll(".cuts .cut").length') == 13
    others = window.run('[...document.querySelectorAll("#details tbody th")].map((one) => one.innerText)')
    # By share of the device: 86 of 2,400 blocks are less than 11 of 220; registers come last (design.md).
    assert others == ["fabric", "block", "registers"]
    window.press("Escape")
    assert window.run('document.getElementById("details").open') is False
    window.until("!location.hash.includes('m=')")  # the page hears of the closing a task later
    assert window.run("document.activeElement.closest('tr') !== null") is True
    assert window.run("location.hash") == "#q=pattern"


def test_cuts_are_to_scale(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file, "#m=sorter_top.u_ejector.g_group%5B0%5D.u_delay.ring")
    # 8,200 words in two blocks of 8,192: the array is 8,200 of 16,384 high.
    part = window.run(
        '(() => { const height = (one) => Number(document.querySelector(one).getAttribute("height"));'
        'return height(".cut .used") / height(".cut .taken"); })()'
    )
    assert part == pytest.approx(8200 / 16384, abs=0.001)


def test_arrow_keys_go_through_the_rows_as_they_are_sorted(window: Browser, sorter_file: Path) -> None:
    title = 'document.getElementById("details-title").textContent'
    window.open(sorter_file, "#q=gamma&m=sorter_top.g_camera%5B0%5D.u_channel.g_gamma%5B0%5D.u_gamma.curve")
    window.press("ArrowRight")
    assert window.run(title).endswith("g_gamma[1].u_gamma.curve")
    window.press("ArrowLeft")
    window.press("ArrowLeft")
    assert window.run(title).endswith("g_camera[0].u_channel.g_gamma[0].u_gamma.curve")


def test_a_finding_leads_to_its_memory_and_back(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file)
    links = '[...document.querySelectorAll("#findings .paths a")]'
    window.run(f'{links}.find((one) => one.textContent.endsWith("patterns")).click()')
    assert window.run('document.getElementById("details").open') is True
    window.run('document.querySelector(".its-findings a").click()')
    window.run(
        """new Promise((done) => {
            const isThere = () => document.activeElement.id.startsWith("f-");
            const look = () => isThere() ? done() : requestAnimationFrame(look);
            look();
        })"""
    )
    assert window.run('document.getElementById("details").open') is False
    assert "shallow-wide" in window.run("document.activeElement.innerText")


def test_severities_filter_the_findings(window: Browser, sorter_file: Path) -> None:
    shown = '[...document.querySelectorAll("#findings > .findings > li")].filter((one) => !one.hidden).length'
    window.open(sorter_file)
    assert window.run(shown) == 9
    window.run("document.querySelector('#severities input[value=warning]').click()")
    assert window.run(shown) == 4
    window.run(set_value("finding-words", "two-clocks"))
    assert window.run(shown) == 1


def test_the_switch_overrules_the_system(window: Browser, sorter_file: Path) -> None:
    ground = "getComputedStyle(document.body).backgroundColor"
    window.open(sorter_file)
    light = window.run(ground)
    window.look(1440, 900, dark=True)
    dark = window.run(ground)
    assert light != dark
    window.run("document.querySelector('#themes input[value=light]').click()")
    assert window.run(ground) == light
    window.run("document.querySelector('#themes input[value=auto]').click()")
    assert window.run(ground) == dark


@pytest.mark.parametrize("width", [360, 768, 1440])
def test_nothing_is_wider_than_the_window(
    window: Browser, sorter_file: Path, hostile_file: Path, width: int
) -> None:
    for file in (sorter_file, hostile_file):
        window.look(width, 800)
        window.open(file)
        assert window.run("document.documentElement.scrollWidth") <= width


def test_the_tab_key_reaches_the_memories_first(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file)
    window.press("Tab")
    assert window.run("document.activeElement.textContent") == "Skip to the memories"


def test_every_control_has_a_name_and_every_figure_too(window: Browser, sorter_file: Path) -> None:
    window.open(sorter_file)
    window.run('document.querySelector("#table tbody a").click()')
    nameless = window.run(
        """[...document.querySelectorAll(
            "input, select, button, a[href], summary, svg[role=img]")].filter((one) => {
            const label = one.labels?.[0]?.textContent || one.getAttribute("aria-label") || one.textContent
                || document.getElementById(one.getAttribute("aria-labelledby"))?.textContent;
            return !label?.trim();
        }).map((one) => one.outerHTML.slice(0, 120))"""
    )
    assert nameless == []
    twice = window.run(
        """[...document.querySelectorAll("[id]")].map((one) => one.id)
            .filter((id, at, all) => all.indexOf(id) !== at)"""
    )
    assert twice == []


def test_hostile_names_are_text_in_the_table_and_in_the_details(window: Browser, hostile_file: Path) -> None:
    window.open(hostile_file)
    rows = window.run(ROWS)
    assert any(row["path"].endswith("\\a\"b'c&d<i>`x`") for row in rows)
    assert any(row["path"].endswith("</script><script>alert(1)</script>") for row in rows)
    assert any(row["path"].endswith("\\x?evil") for row in rows)
    for at in range(len(rows)):
        window.run(f'document.querySelectorAll("#table tbody th a")[{at}].click()')
        title = window.run('document.getElementById("details-title").textContent')
        assert title == rows[at]["path"]
        window.run('document.getElementById("details").close()')
    assert window.run('document.querySelectorAll("img, i, iframe").length') == 0
    assert window.complaints == []


def test_a_thousand_memories_come_a_page_at_a_time(window: Browser, thousand_file: Path) -> None:
    window.open(thousand_file)
    assert len(window.run(PATHS)) == 100
    assert window.run("document.getElementById('page').textContent") == "1 to 100 of 1000"
    window.run("document.getElementById('on').click()")
    assert window.run("document.getElementById('page').textContent") == "101 to 200 of 1000"
    window.run(set_value("words", "u_lane_24 store_7."))
    assert window.run(PATHS) == ["tray.u_lane_24.u_store_7.words_7"]
    window.run("document.getElementById('clear').click()")
    window.run(set_value("size", "all"))
    assert len(window.run(PATHS)) == 1000
    # Small enough to be mailed and kept with every build.
    assert thousand_file.stat().st_size < 4_000_000


def test_print_holds_every_row(window: Browser, thousand_file: Path, tmp_path: Path) -> None:
    window.open(thousand_file)
    count = 'document.querySelectorAll("#table tbody tr").length'
    window.run(f'addEventListener("beforeprint", () => {{ window.rows = {count}; }})')
    window.print(tmp_path / "report.pdf")
    assert window.run("window.rows") == 1000
    assert (tmp_path / "report.pdf").stat().st_size > 10_000
    assert len(window.run(PATHS)) == 100


def test_details_lead_to_the_line_of_the_declaration(window: Browser, tmp_path: Path) -> None:
    page_of(tmp_path / "r.html", str(SORTER), "--links", "https://example.invalid/{file}#L{line}")
    window.open(tmp_path / "r.html", "#q=pattern&m=sorter_top.u_ejector.u_pattern.patterns")
    links = window.run('[...document.querySelectorAll("#details a")].map((one) => one.href)')
    # `list --format json` has line 40 for it.
    assert "https://example.invalid/rtl/pulse_pattern.sv#L40" in links
    assert window.complaints == []
    assert set(window.requests) <= {(tmp_path / "r.html").as_uri(), "about:blank"}
