"""What is read again after a change, and what is not."""

from __future__ import annotations

from pathlib import Path

from memlint.engine.engine import Engine
from memlint.engine.settings import Settings

SETTINGS = Settings(root="/nonexistent", device="sorter-m", sources=("*.sv",))
STORE = """`include "sizes.svh"
module store (input logic clk, we, input logic [9:0] a, input logic [7:0] d);
  logic [7:0] mem [0:`WORDS-1];
  always_ff @(posedge clk) if (we) mem[a] <= d;
endmodule
"""
OTHER = "module other (input logic clk); endmodule\n"


def read(engine: Engine) -> list[str]:
    """The files that the engine looks at when it judges."""
    names = engine.files().files
    looked: list[str] = []
    engine.on_file = lambda number, of: looked.append(names[number - 1])
    engine.judge()
    return looked


def depths(engine: Engine) -> list[int | None]:
    return [view.memory.depth for view in engine.judge().memories + engine.judge().outside]


def test_an_edit_looks_at_one_file_where_files_are_kept() -> None:
    engine = Engine(SETTINGS, {"a.sv": OTHER, "b.sv": STORE, "sizes.svh": "`define WORDS 64\n"})
    engine.keep_files()
    assert read(engine) == ["a.sv", "b.sv"]
    engine.set_text("a.sv", OTHER + "\n")
    assert read(engine) == ["a.sv"]
    assert read(engine) == []


def test_an_include_is_read_by_those_that_include_it() -> None:
    engine = Engine(SETTINGS, {"a.sv": OTHER, "b.sv": STORE, "sizes.svh": "`define WORDS 64\n"})
    engine.keep_files()
    read(engine)
    engine.set_text("sizes.svh", "`define WORDS 128\n")
    assert read(engine) == ["b.sv"]


def test_macros_reach_the_files_behind() -> None:
    plain = STORE.replace('`include "sizes.svh"\n', "")
    engine = Engine(SETTINGS, {"a.sv": "`define WORDS 64\n", "b.sv": OTHER, "c.sv": plain})
    engine.keep_files()
    assert depths(engine) == [64]
    engine.set_text("a.sv", "`define WORDS 512\n")
    assert depths(engine) == [512]


def test_an_include_that_was_missing_is_found(tmp_path: Path) -> None:
    (tmp_path / "b.sv").write_text(STORE)
    engine = Engine(Settings(root=str(tmp_path), device="sorter-m", sources=("*.sv",)))
    assert engine.judge().missing_includes == ("sizes.svh",)
    (tmp_path / "sizes.svh").write_text("`define WORDS 64\n")
    assert engine.judge().missing_includes == ()


def test_an_include_missing_in_many_files_is_one_finding() -> None:
    units = {
        f"unit_{at}.sv": f'`include "sizes.svh"\n`include "{"" if at else "more/"}ports.svh"\n{OTHER}'.replace(
            "other", f"unit_{at}"
        )
        for at in range(9)
    }
    engine = Engine(SETTINGS, units)
    one, two, three = sorted(
        (found for found in engine.judge().findings if found.rule == "source-not-read"),
        key=lambda found: found.message,
    )
    assert one.message == 'included file "more/ports.svh" is not found'
    assert two.message == 'included file "ports.svh" is not found; 8 files include it'
    assert three.message == 'included file "sizes.svh" is not found; 9 files include it'
    assert (one.span.file, two.span.file, three.span.file) == ("unit_0.sv", "unit_1.sv", "unit_0.sv")
    assert [place.span.file for place in three.related] == [f"unit_{at}.sv" for at in range(1, 6)]
    assert dict(three.numbers) == {"files": 9}
    assert "include_dirs" in three.help[0]
    # A file less is told at once, and so is the last one.
    engine.set_text("unit_3.sv", OTHER.replace("other", "unit_3"))
    assert [found.message for found in engine.judge().findings if "sizes" in found.message] == [
        'included file "sizes.svh" is not found; 8 files include it'
    ]


def test_kept_files_are_looked_at_again_when_told(tmp_path: Path) -> None:
    (tmp_path / "a.sv").write_text(OTHER)
    engine = Engine(Settings(root=str(tmp_path), device="sorter-m", sources=("*.sv",)))
    engine.keep_files()
    assert engine.judge().roots == ("other",)
    (tmp_path / "a.sv").write_text(OTHER.replace("other", "renamed"))
    (tmp_path / "b.sv").write_text(OTHER.replace("other", "second"))
    assert engine.judge().roots == ("other",)
    engine.look_again()
    assert engine.judge().roots == ("renamed", "second")
