"""Patches of plans on designs of real size: the tiers are there afterwards, and only comments changed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from packages import sources
from plan_sources import DEVICE

from memlint.engine import Engine
from memlint.engine.plan_patch import Patch, diff_of, encoded_like, misread, patch_of, without_misread
from memlint.engine.planning import DevicePlan, plan_design
from memlint.engine.settings import Settings

SORTER = Path(__file__).parents[2] / "fixtures" / "sorter"
NAMED = re.compile(r"\bin (?:block|bulk|fabric|registers)\w*(?: or \w+)*\s*;?[ ]?")
BUDGET = re.compile(r"\bbudget [^;\n]*")


def sorter() -> dict[str, str]:
    """The demo with every tier on the chip, and every budget, taken out of its intents."""
    texts = {}
    for path in sorted([*SORTER.glob("rtl/*.sv"), *SORTER.glob("include/*")]):
        lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
        texts[path.relative_to(SORTER).as_posix()] = "".join(
            BUDGET.sub('why "no budget"', NAMED.sub("", line)) if "@mem" in line else line for line in lines
        )
    return texts


def processor() -> dict[str, str]:
    return {
        path.name: path.read_text(encoding="utf-8")
        for path in sources("pythondata_cpu_vexriscv", "verilog/VexRiscv.v")
    }


VHDL = """\
library ieee; use ieee.std_logic_1164.all; use ieee.numeric_std.all;
entity store is
  port (clk, we : in std_logic; a : in unsigned(12 downto 0);
        d : in std_logic_vector(39 downto 0); q : out std_logic_vector(39 downto 0));
end entity;
architecture rtl of store is
  type words_t is array (0 to 8191) of std_logic_vector(39 downto 0);
  signal words : words_t;
begin
  process (clk) begin
    if rising_edge(clk) then
      if we = '1' then words(to_integer(a)) <= d; end if;
      q <= words(to_integer(a));
    end if;
  end process;
end architecture;
"""


def applied(texts: Mapping[str, str], **more: object) -> tuple[Patch, DevicePlan, Engine]:
    listed = tuple(name for name in texts if name.endswith((".sv", ".v", ".vhd")))
    settings = Settings(root="/nonexistent", sources=listed, **more)  # type: ignore[arg-type]
    engine = Engine(settings, texts)
    judged = engine.judge()
    plan = plan_design(judged)
    assert plan.plan is not None
    patch = patch_of(plan, judged, engine.elaborated[0])
    after = Engine(settings, {**texts, **patch.texts})
    wrong = misread(patch, plan, after.judge())
    kept = without_misread(patch, wrong)
    assert misread(kept, plan, Engine(settings, {**texts, **kept.texts}).judge()) == ()
    assert wrong == ()
    return kept, plan, engine


COMMENT = re.compile(r"[ \t]*(?://|--)[ ]?@mem[^\n]*|/\*\s*@mem.*?\*/", re.DOTALL)


@pytest.mark.parametrize(
    ("texts", "more"),
    [
        (sorter, {"top": ("sorter_top",), "include_dirs": ("include",), "device": "sorter-m/sorter-l"}),
        (processor, {}),
        (lambda: {"store.vhd": VHDL}, {}),
    ],
)
def test_a_patch_says_what_was_planned_and_touches_only_comments(texts, more) -> None:
    before = texts()
    patch, plan, engine = applied(before, **more)
    assert patch.written
    for file, text in patch.texts.items():
        assert COMMENT.sub("", text).split() == COMMENT.sub("", before[file]).split()
    free = {one.view.memory.path for one in plan.memories if not one.fixed}
    assert free == {*patch.written, *(path for path, _ in patch.refused)}
    assert all(why for _, why in patch.refused)
    diff = diff_of(patch, engine.judge().sources)
    assert diff.count("--- a/") == len(patch.texts)
    changed = [line for line in diff.splitlines() if line[:1] in "+-" and line[:3] not in ("+++", "---")]
    assert all("@mem" in line or not line[1:].strip() for line in changed), changed


def test_vhdl_gets_its_own_comment() -> None:
    patch, _, _ = applied({"store.vhd": VHDL})
    assert "  --@mem in bulk\n  signal words : words_t;\n" in patch.texts["store.vhd"]


def test_an_encoding_is_kept_or_nothing_is_written() -> None:
    assert encoded_like("é // a", "é".encode("latin-1"), "é") == "é // a".encode("latin-1")
    assert encoded_like("é // a", "é".encode(), "é") == "é // a".encode()
    assert encoded_like("a", b"\xef\xbb\xbfb", "b") == b"\xef\xbb\xbfa"
    assert encoded_like("a", b"changed meanwhile", "b") is None


def test_the_device_of_the_tests_is_the_one_they_say() -> None:
    assert DEVICE.count("[[tier]]") == 2
