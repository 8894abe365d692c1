"""The page as a file: its numbers are those of `memlint list`, it is safe, and it needs nothing else."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import shutil
from html.parser import HTMLParser
from pathlib import Path

import pytest
from report_pages import SORTER, embedded, listed, page_of, plain

from memlint.cli.main import main


@pytest.fixture
def sorter(sorter_file: Path) -> str:
    return sorter_file.read_text("utf-8")


@pytest.fixture
def hostile(hostile_file: Path) -> str:
    return hostile_file.read_text("utf-8")


def test_the_data_are_those_of_list(sorter: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert embedded(sorter)["memories"] == listed(capsys, str(SORTER))


def test_wasted_bits_are_taken_less_used(sorter: str) -> None:
    data = embedded(sorter)
    wasted = {
        memory["path"]: more["wasted"] for memory, more in zip(data["memories"], data["details"], strict=True)
    }
    # 13 blocks of 327,680 bits (sorter-m.toml) for 64 words of 512 bits.
    assert wasted["sorter_top.u_ejector.u_pattern.patterns"] == 13 * 327_680 - 64 * 512
    # One and a half blocks of 24,576 bits for 4,096 words of 8.
    assert wasted["sorter_top.g_camera[0].u_channel.g_gamma[0].u_gamma.curve"] == 36_864 - 32_768
    assert wasted["sorter_top.u_control.regs"] == 0
    assert wasted["sorter_top.training_pictures"] is None


def test_the_waste_ranking_puts_the_largest_first(sorter: str) -> None:
    text = plain(sorter.partition('<section id="waste">')[2].partition("</section>")[0])
    # patterns as above; ring: four times 2 x 327,680 less 8,200 x 40.
    assert text.index("4,227,072") < text.index(f"{4 * (2 * 327_680 - 8_200 * 40):,}") < text.index("24,576")


def test_the_tiers_are_filled_as_check_sums_them(sorter: str, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    main(["check", "--format", "json", str(SORTER)])
    totals = json.loads(capsys.readouterr().out)["summary"]["totals"]
    text = plain(sorter)
    for total in totals:
        if total["available"] is not None:
            assert f"{total['blocks']:,} of {total['available']:,} blocks" in text
    assert "512 flip-flops taken how many there are is unknown: the profile does not say" in text


def test_every_finding_stands_there_with_its_place(sorter: str, capsys: pytest.CaptureFixture[str]) -> None:
    capsys.readouterr()
    main(["check", "--format", "json", str(SORTER)])
    text = plain(sorter)
    findings = json.loads(capsys.readouterr().out)["findings"]
    assert findings
    for one in findings:
        assert one["message"].replace("`", "") in text
        assert f"{one['file']}:{one['line']}:{one['column']}" in text


def test_the_estimate_and_safety_notice_is_there(sorter: str) -> None:
    for word in ("estimates", "DO-254", "IEC 61508", "ISO 26262"):
        assert word in plain(sorter)


def test_what_is_unknown_says_so_with_its_reason(tmp_path: Path) -> None:
    (tmp_path / "hopper.sv").write_text(
        "module hopper #(parameter int DEPTH = $random) (input logic clk, we, input logic [7:0] a, d);\n"
        "logic [7:0] grains [0:DEPTH-1];\nlogic [7:0] q;\n"
        "always_ff @(posedge clk) begin if (we) grains[a] <= d; q <= grains[a]; end\nendmodule\n"
    )
    data = embedded(page_of(tmp_path / "r.html", str(tmp_path)))
    (memory,), (more,) = data["memories"], data["details"]
    assert memory["depth"] is None
    assert more["cells"]["depth"] == "unknown"
    assert data["texts"][more["unknown"]["depth"]] == memory["unresolved"]
    # Whatever `list` does not know has a reason here, and no number.
    for key, cell in (
        ("blocks", "blocks"),
        ("fill", "fill"),
        ("read_latency", "latency"),
        ("chain", "chain"),
    ):
        assert memory[key] is None
        assert more["cells"][cell][0] == "unknown"
        assert "shape is unknown" in data["texts"][more["cells"][cell][1]]


def test_every_null_of_list_has_a_reason(sorter: str) -> None:
    data = embedded(sorter)
    optional = {"unresolved", "tier_from"}
    for memory, more in zip(data["memories"], data["details"], strict=True):
        null = {key for key, value in memory.items() if value is None} - optional
        assert null == set(more["unknown"])


class _Scripts(HTMLParser):
    """Elements of a page as a browser would find them, with their attributes."""

    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))


def parsed(page: str) -> _Scripts:
    found = _Scripts()
    found.feed(page)
    return found


def test_no_name_makes_an_element_or_an_attribute(hostile: str) -> None:
    tags = parsed(hostile).tags
    assert [name for name, _ in tags].count("script") == 2
    assert not {name for name, _ in tags} & {"img", "i", "iframe", "object", "embed"}
    assert not any(key.startswith("on") for _, attributes in tags for key in attributes)


def test_names_are_shown_as_they_are_written(hostile: str) -> None:
    text = plain(hostile)
    assert "</script><script>alert(1)</script>" in text
    assert "a\"b'c&d<i>`x`" in text
    assert "gone<b>" in text


def test_no_character_turns_the_reading_order(hostile: str) -> None:
    static = re.sub(r'<script type="application/json".*?</script>', "", hostile, flags=re.DOTALL)
    assert "\u202e" not in static
    assert "x?evil" in static
    assert embedded(hostile)["memories"][2]["name"].startswith("x\u202e")


def test_the_data_keep_every_character(hostile_file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    data = embedded(hostile_file.read_text("utf-8"))
    assert data["memories"] == listed(capsys, str(hostile_file.parent))


@pytest.mark.parametrize("which", ["sorter", "hostile"])
def test_nothing_is_fetched(which: str, request: pytest.FixtureRequest) -> None:
    page: str = request.getfixturevalue(which)
    for _, attributes in parsed(page).tags:
        for key in ("src", "srcset", "href", "xlink:href", "action", "data", "poster"):
            value = attributes.get(key)
            assert value is None or value.startswith("#") or value == "data:,", (key, value)
    style = "".join(re.findall(r"<style>(.*?)</style>", page, re.DOTALL))
    assert "url(" not in style
    assert "@import" not in style
    # The name of the SVG namespace is the one address: nothing asks for it.
    script = page.rpartition("<script>")[2]
    assert set(re.findall(r"https?://[^\"'\s]+", script)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"\bfetch\(|XMLHttpRequest|WebSocket|sendBeacon|innerHTML|eval\(", script)


def test_the_policy_allows_the_pages_own_style_and_script_only(sorter: str) -> None:
    policy = next(
        attributes["content"]
        for name, attributes in parsed(sorter).tags
        if name == "meta" and attributes.get("http-equiv") == "Content-Security-Policy"
    )
    assert policy is not None
    assert "default-src 'none'" in policy
    for element in ("style", "script"):
        text = sorter.rpartition(f"<{element}>")[2].partition(f"</{element}>")[0]
        # CSP Level 3, 2.3.1: the hash of what stands between the tags.
        digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
        assert f"{element}-src 'sha256-{digest}'" in policy


def test_the_same_design_gives_the_same_bytes_anywhere(sorter: str, tmp_path: Path) -> None:
    copy = tmp_path / "another place"
    shutil.copytree(SORTER, copy)
    assert page_of(tmp_path / "again.html", str(copy)) == sorter
    assert str(SORTER) not in sorter


def test_paths_limit_the_memories_and_the_page_says_so(tmp_path: Path) -> None:
    page = page_of(tmp_path / "r.html", str(SORTER / "rtl" / "histogram.sv"))
    data = embedded(page)
    assert {memory["file"] for memory in data["memories"]} == {"rtl/histogram.sv"}
    assert "Shown are 2 of 36 memories" in plain(page)
    # The device is filled by all of them: 72 of 96 is the sum in `memlint list`.
    assert "72 of 96 blocks" in plain(page)


def test_every_root_has_a_device_of_its_own(tmp_path: Path) -> None:
    for name, depth in (("chute", 1024), ("tray", 2048)):
        (tmp_path / f"{name}.sv").write_text(
            f"module {name} (input logic clk, we, input logic [10:0] a, b, input logic [23:0] d);\n"
            f"logic [23:0] grains [0:{depth - 1}];\nlogic [23:0] q;\n"
            "always_ff @(posedge clk) begin if (we) grains[a] <= d; q <= grains[b]; end\nendmodule\n"
        )
    text = plain(page_of(tmp_path / "r.html", str(tmp_path)))
    assert "The design has 2 roots" in text
    # A block holds 1,024 words of 24 bits (sorter-m.toml).
    assert text.index("1 of 220 blocks") < text.index("2 of 220 blocks")


def test_a_design_without_memories_is_no_error(tmp_path: Path) -> None:
    (tmp_path / "wire.sv").write_text(
        "module wire_only (input logic a, output logic b);\nassign b = a;\nendmodule\n"
    )
    text = plain(page_of(tmp_path / "r.html", str(tmp_path)))
    assert "No memories." in text
    assert "No findings." in text


def test_output_is_required(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(SORTER)]) == 2
    assert "--output" in capsys.readouterr().err


def test_a_source_is_never_overwritten(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    source = tmp_path / "chute.sv"
    source.write_text("module chute; endmodule\n")
    assert main(["report", str(tmp_path), "--output", str(source)]) == 2
    assert source.read_text() == "module chute; endmodule\n"
    assert "Name another file" in capsys.readouterr().err


def test_a_folder_is_no_output(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["report", str(SORTER), "--output", str(tmp_path)]) == 2
    assert "cannot be written" in capsys.readouterr().err
