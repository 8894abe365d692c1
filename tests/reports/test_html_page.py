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


def test_budgets_reserve_and_black_boxes_stand_on_the_page(tmp_path: Path) -> None:
    (tmp_path / "chute.sv").write_text(
        """
module lane (input logic clk, we, input logic [9:0] a, b, input logic [23:0] d);
    // @mem in block
    logic [23:0] grains [0:1023];
    logic [23:0] q;
    always_ff @(posedge clk) begin if (we) grains[a] <= d; q <= grains[b]; end
    // @mem budget block <= 2
endmodule
module chute (input logic clk, we, input logic [9:0] a, b, input logic [23:0] d);
    lane u_left (.*);
    lane u_right (.*);
    grain_ram #(.AW(11)) u_ram (.clka(clk));
    jets u_jets (.clk(clk));
    // @mem budget block <= 3
endmodule
"""
    )
    (tmp_path / "memlint.toml").write_text(
        """
device = "sorter-m"
sources = ["*.sv"]
[reserve]
block = 217.5
[[black_box]]
unit = "grain_ram"
depth = "2**AW"
width = "24"
ports = "1w 1r"
clocks = ["clka"]
tier = "block"
"""
    )
    text = plain(page_of(tmp_path / "r.html", str(tmp_path)))
    # sorter-m.toml: a block is 1,024 x 24, there are 220. One each for the lanes, two for 2,048 x 24.
    assert "4 of 220 blocks, 1.5 too many 217.5 blocks reserved" in text
    assert "Counted as memlint.toml describes them, without source: grain_ram" in text
    assert "Not counted, units without source: jets" in text
    assert "chute chute block 4 3 133.3 %" in text
    assert "lane chute.u_left and 1 more instance, none of them fuller block 1 2 50.0 %" in text


PATTERN = "https://example.invalid/tree/main/{file}#L{line}"


def test_places_are_links_where_the_reader_can_open_them(
    tmp_path: Path, sorter: str, capsys: pytest.CaptureFixture[str]
) -> None:
    page = page_of(tmp_path / "r.html", str(SORTER), "--links", PATTERN)
    capsys.readouterr()
    main(["check", "--format", "json", str(SORTER)])
    links = {one["href"] for name, one in parsed(page).tags if name == "a" and "href" in one}
    for one in json.loads(capsys.readouterr().out)["findings"]:
        assert f"https://example.invalid/tree/main/{one['file']}#L{one['line']}" in links
    assert "example.invalid" not in sorter


def test_the_name_of_a_file_stays_one_part_of_an_address(
    hostile_file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(hostile_file.parent)
    page = page_of(tmp_path / "r.html", ".", "--links", PATTERN)
    (link,) = {
        href.partition("#")[0]
        for name, one in parsed(page).tags
        if name == "a" and (href := one.get("href") or "").startswith("http")
    }
    # RFC 3986, 2.1: `<b>&"x.sv` with what is not allowed in a path as percent signs and two digits.
    assert link == "https://example.invalid/tree/main/%3Cb%3E%26%22x.sv"


@pytest.mark.parametrize(
    "pattern",
    ["https://example.invalid/", "javascript:alert('{file}')", "JavaScript:{file}", "{file}:{line}"],
)
def test_what_is_no_address_of_a_source_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], pattern: str
) -> None:
    output = tmp_path / "r.html"
    assert main(["report", str(SORTER), "--links", pattern, "--output", str(output)]) == 2
    assert f"--links `{pattern}`: " in capsys.readouterr().err
    assert not output.exists()


def test_every_instance_has_its_sum_of_each_tier(sorter: str, capsys: pytest.CaptureFixture[str]) -> None:
    memories = listed(capsys, str(SORTER))
    body = sorter.partition("Blocks by instance</caption>")[2].partition("</table>")[0]
    head, *rows = [
        [plain(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row)]
        for row in re.findall(r"<tr[^>]*>(.*?)</tr>", body)
    ]
    assert head == ["Instance", "Unit", "fabric", "block", "bulk", "registers"]
    # The design's own root, 2 cameras' channels with all that is in them, and so on down.
    assert len(rows) == len({row[0] for row in rows}) > 30
    for said, _, *amounts in rows:
        path, _, remark = said.partition(" ")
        # fixtures/sorter/rtl/telemetry_fifo.sv names a tier that is not there.
        is_above = "sorter_top.u_telemetry.u_fifo.words".startswith(f"{path}.")
        assert remark == ("not counted, without a tier: 1 memory" if is_above else "")
        for tier, shown in zip(head[2:], amounts, strict=True):
            inside = [one for one in memories if one["path"].startswith(f"{path}.") and one["tier"] == tier]
            assert bool(shown) == bool(inside), (path, tier)
            if inside:
                assert shown.split()[0] == f"{sum(one['blocks'] for one in inside):,}".removesuffix(".0")
