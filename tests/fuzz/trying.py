"""What is done with an input: all that a user's file of its kind goes through. Nothing may raise."""

from __future__ import annotations

from pathlib import Path

from inputs import Case

from memlint.device.errors import ProfileError
from memlint.device.profile import load_profile
from memlint.engine import check_text
from memlint.engine.config import load_settings
from memlint.engine.judgement import Judgement
from memlint.engine.settings import ProjectError
from memlint.reading.file_lists import read_file_list
from memlint.reports.json_output import check_json, list_json
from memlint.reports.page import WIDTH, Page
from memlint.reports.sarif import check_sarif
from memlint.reports.text import check_text as shown_text

_FRAME = "module m(input clk, input [7:0] a, d);\n{0}\nreg [7:0] mem [0:255];\nalways @(posedge clk) mem[a] <= d;\nendmodule\n"


def tried(case: Case) -> None:
    """Put a case through. Raises what memlint raises that it must not."""
    match case.kind:
        case "sv":
            _reported(check_text(case.text, "sample.sv"))
        case "vhd":
            _reported(check_text(case.text, "sample.vhd"))
        case "intent":
            _reported(check_text(_FRAME.format("//@mem " + case.text), "sample.sv"))
        case "toml":
            _refusable(lambda: load_settings(Path("/project/memlint.toml"), Path("/project"), lambda _: _raw(case)))
        case "profile":
            _refusable(lambda: load_profile("own.toml", "/project", lambda _: _raw(case)))
        case _:
            read_file_list("l.f", lambda path: case.text, {"X": "y"}, lambda path: "a" in path)


def _reported(judgement: Judgement) -> None:
    check_json(judgement, judgement.findings, device_given=False, known=0)
    list_json(judgement, list(judgement.memories), list(judgement.not_memories))
    check_sarif(judgement, list(judgement.findings), judgement.accepted)
    shown_text(judgement, list(judgement.findings), "", Page(WIDTH, {}), 0)


def _refusable(read: object) -> None:
    try:
        read()  # type: ignore[operator]
    except (ProjectError, ProfileError) as wrong:
        # A refusal says which file, and what is wrong.
        assert "toml" in str(wrong)
        assert len(str(wrong)) > 20


def _raw(case: Case) -> bytes:
    return case.text.encode("utf-8", "surrogatepass")
