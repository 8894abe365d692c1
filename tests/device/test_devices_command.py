"""`memlint devices`: what a user sees."""

from __future__ import annotations

import argparse
import json
from pathlib import Path

import jsonschema  # type: ignore[import-untyped]
import pytest

from memlint.cli import devices
from memlint.device.profile import ProfileError, builtin_names, load_profile


def run(*arguments: str) -> int:
    parser = argparse.ArgumentParser()
    devices.add_arguments(parser)
    return devices.run(parser.parse_args(list(arguments)))


def lines(capsys: pytest.CaptureFixture[str]) -> list[str]:
    return capsys.readouterr().out.splitlines()


def test_the_list_has_a_line_for_each_profile(capsys: pytest.CaptureFixture[str]) -> None:
    assert run() == 0
    listed = lines(capsys)
    assert [line.split()[0] for line in listed] == list(builtin_names())
    (demo,) = [line for line in listed if line.startswith("sorter-m ")]
    assert demo.split(maxsplit=1)[1].strip() == (
        "Invented mid-size device for the grain sorter      fabric, block, bulk, external; a family of 2"
    )


def test_the_list_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    run("--format", "json")
    listed = {device["name"]: device for device in json.loads(capsys.readouterr().out)["devices"]}
    assert listed["sorter-m"] == {
        "name": "sorter-m",
        "title": "Invented mid-size device for the grain sorter",
        "tiers": ["fabric", "block", "bulk", "external"],
        "members": ["sorter-m/sorter-s", "sorter-m/sorter-l"],
    }


def row(key: str, capsys: pytest.CaptureFixture[str], name: str) -> str:
    run(name)
    (found,) = [line for line in lines(capsys) if line.split(" ")[0] == key]
    return found.removeprefix(key).strip()


@pytest.mark.parametrize(
    ("name", "key", "shown"),
    [
        ("sorter-m", "tier.bulk.block_bits", "327,680  [invented]"),
        ("sorter-m", "tier.bulk.modes.single.shapes", "8192 x 40  [invented]"),
        ("sorter-m", "tier.bulk.modes.single.enables", "each 10 of 40 bits  [invented]"),
        ("sorter-m", "tier.bulk.modes.simple_dual.enables", "none  (not stated)"),
        ("sorter-m", "tier.bulk.columns", "6 of 16 blocks  [invented]"),
        ("sorter-m", "tier.block.chain", "none  (not stated)"),
        ("sorter-m", "tier.block.asleep_uw", "unknown"),
        ("sorter-m", "tier.block.hard_fifo", "yes  [invented]"),
        ("sorter-m", "tier.block.modes.true_dual.half_shapes", "none  [invented]"),
        ("sorter-m", "tier.block.modes.true_dual.width_groups", "3/6/12/24  [invented]"),
        ("sorter-m", "tier.external.external.bandwidth_gbit_s", "25.6  [invented]"),
        # DS1040 Table 1-1 counts 16 blocks on the LP1K.
        ("ice40/LP1K", "tier.ebr.blocks", "16  [ds1040]"),
        ("ice40", "tier.ebr.blocks", "unknown"),
        ("ice40", "tier.ebr.read_latency", "unknown"),
        ("ice40", "tier.ebr.chain", "unknown"),
        ("nexus/LIFCL-40", "tier.lram.blocks", "2  [oxide]"),
        ("nexus/LIFCL-40", "tier.ebr.blocks", "84  [lifcl84]"),
        ("nexus", "tier.lram.modes.true_dual.shapes", "unknown"),
        ("ice40", "tier.ebr.role", "block  (no source named)"),
    ],
)
def test_a_fact_is_shown_with_its_source(
    capsys: pytest.CaptureFixture[str], name: str, key: str, shown: str
) -> None:
    assert row(key, capsys, name) == shown


def test_a_profile_names_its_title_members_and_documents(capsys: pytest.CaptureFixture[str]) -> None:
    run("ice40")
    text = lines(capsys)
    assert text[0] == "ice40: iCE40 LP/HX"
    assert text[1].startswith("Members: ice40/LP384, ice40/LP640, ")
    assert text[-2].startswith("[ds1040] iCE40 LP/HX Family Data Sheet; DS1040 (now FPGA-DS-02029); ")


def test_facts_as_json_keep_unknown_apart_from_none(capsys: pytest.CaptureFixture[str]) -> None:
    run("ice40/LP384", "--format", "json")
    told = json.loads(capsys.readouterr().out)
    facts = {fact["key"]: fact for fact in told["facts"]}
    assert facts["tier.ebr.blocks"] == {"key": "tier.ebr.blocks", "value": 0, "sources": ["ds1040"]}
    assert facts["tier.ebr.read_latency"]["value"] is None
    assert facts["tier.ebr.modes.simple_dual.width_groups"]["value"] == [[2, 4, 8, 16]]
    assert (told["name"], told["family"], told["members"]) == ("ice40/LP384", "ice40", [])
    assert [source["id"] for source in told["sources"]] == ["ds1040", "icestorm"]


def test_output_is_the_same_every_time(capsys: pytest.CaptureFixture[str]) -> None:
    run("sorter-m", "--format", "json")
    first = capsys.readouterr().out
    run("sorter-m", "--format", "json")
    assert capsys.readouterr().out == first


def test_the_schema_is_printed(capsys: pytest.CaptureFixture[str]) -> None:
    assert run("--schema") == 0
    jsonschema.Draft202012Validator.check_schema(json.loads(capsys.readouterr().out))


def test_a_starter_is_written_once(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "mine.toml"
    assert run("--starter", str(file)) == 0
    assert lines(capsys) == [f'Wrote {file}. In memlint.toml say: device = "{file.as_posix()}"']
    assert load_profile(str(file)).name == "my-device"
    file.write_text("mine now")
    with pytest.raises(ProfileError, match=r"mine\.toml: The file exists already\. Name a new file"):
        run("--starter", str(file))
    assert file.read_text() == "mine now"


def test_a_starter_needs_a_folder_that_exists(tmp_path: Path) -> None:
    with pytest.raises(ProfileError, match=r"The file cannot be written: No such file or directory\."):
        run("--starter", str(tmp_path / "none" / "mine.toml"))


def test_an_unknown_name_is_an_error() -> None:
    with pytest.raises(ProfileError, match=r"nearest first: sorter-m"):
        run("sorterm")


def test_a_file_is_found_from_where_the_command_runs(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rack.toml").write_text(
        'extend = "sorter-m"\n[device]\nname = "rack"\n[[tier]]\nname = "bulk"\nread_latency = 2\n'
    )
    assert row("tier.bulk.read_latency", capsys, "rack.toml") == "2  (no source named)"


def test_a_shape_that_costs_more_than_a_block_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "rack.toml").write_text(
        'extend = "sorter-m"\n[[tier]]\nname = "bulk"\n[tier.modes.single]\n'
        "shapes = [[8192, 40], [8192, 60, 1.5]]\n"
    )
    shown = row("tier.bulk.modes.single.shapes", capsys, "rack.toml")
    assert shown == "8192 x 40, 8192 x 60 for 1.5 blocks  (no source named)"


def test_documents_in_json_have_null_for_what_they_do_not_say(capsys: pytest.CaptureFixture[str]) -> None:
    run("gw1n-gw2a", "--format", "json")
    (primitives,) = [one for one in json.loads(capsys.readouterr().out)["sources"] if one["id"] == "gwprim"]
    assert primitives == {
        "id": "gwprim",
        "title": "Simulation declarations of RAM16S4 / RAM16SDP4",
        "number": None,
        "revision": None,
        "where": None,
    }
