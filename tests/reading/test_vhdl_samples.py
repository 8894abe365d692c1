"""The sample files: legal VHDL, read without loss, with their memories' intents in place."""

import shutil
import subprocess
from pathlib import Path

import pytest
from vhdl_shown import read, shown

from memlint.reading.facts.items import FileFacts, Skipped, Variable
from memlint.reading.intent.format import format_intent

FOLDER = Path(__file__).parent.parent / "samples" / "vhdl"
_GHDL = shutil.which("ghdl")


def facts_of(name: str) -> FileFacts:
    return read((FOLDER / f"{name}.vhd").read_text(encoding="utf-8"))


@pytest.mark.skipif(_GHDL is None, reason="ghdl is not installed")
def test_the_samples_are_legal(tmp_path: Path) -> None:
    for name in ("sorter_types", "line_buffer", "classifier", "jet_valves", "statistics"):
        # A shared variable of a plain type is legal in 1993 only, which the option allows in 2008.
        options = ["--std=08", "-frelaxed", f"--workdir={tmp_path}"]
        command = [str(_GHDL), "-a", *options, str(FOLDER / f"{name}.vhd")]
        assert subprocess.run(command, capture_output=True).returncode == 0, name


@pytest.mark.parametrize(
    ("name", "units", "skipped"),
    [
        ("line_buffer", ["entity line_buffer", "architecture rtl"], []),
        ("sorter_types", ["package sorter_types", "package_body sorter_types"], []),
        ("classifier", ["entity classifier", "architecture rtl"], []),
        (
            "jet_valves",
            ["entity telemetry", "architecture fast", "entity jet_valves", "architecture structure"],
            ["configuration specification", "configuration"],
        ),
        (
            "statistics",
            [
                "package statistics",
                "package grain_statistics",
                "context sorter",
                "entity rejects",
                "architecture rtl",
            ],
            ["generic subprogram"],
        ),
    ],
)
def test_units_and_what_is_skipped(name: str, units: list[str], skipped: list[str]) -> None:
    facts = facts_of(name)
    assert [f"{unit.kind} {unit.name}" for unit in facts.units] == units
    items = [item for unit in facts.units for item in unit.items] + list(facts.items)
    assert [item.what for item in items if isinstance(item, Skipped)] == skipped
    assert facts.problems == ()


@pytest.mark.parametrize(
    ("name", "variable", "expected", "intents"),
    [
        (
            "line_buffer",
            "line",
            "signal line: line_t",
            ["in block; clocks pixel_clk, sort_clk; ports 1w 1r"],
        ),
        (
            "classifier",
            "weights",
            "constant weights: weights_t := [good => 0, cracked => 3, mouldy => 3, stone => 7]",
            ["in registers"],
        ),
        ("jet_valves", "taps", "shared taps: taps_t(0 to (valves - 1))", []),
        ("statistics", "rejected", "signal rejected: histogram := [others => 0]", ["shape 256 x 32"]),
    ],
)
def test_the_arrays_of_the_samples(name: str, variable: str, expected: str, intents: list[str]) -> None:
    (found,) = [
        item
        for unit in facts_of(name).units
        for item in unit.items
        if isinstance(item, Variable) and item.name == variable
    ]
    assert shown(found) == expected
    assert [format_intent(intent) for intent in found.intents] == intents


def test_clock_forms_stay_as_they_are_written() -> None:
    processes = [shown(item) for item in facts_of("line_buffer").units[1].items if "process" in shown(item)]
    writing = "if rising_edge(pixel_clk) {if (pixel_we == '1') {line(pixel_x) <= pixel;}}"
    reading = "if (sort_clk'event & (sort_clk == '1')) {sorted <= line(sort_x);}"
    assert processes == [
        f"process write_pixel(pixel_clk) {{{writing}}}",
        f"process read_pixel(sort_clk) {{{reading}}}",
    ]
