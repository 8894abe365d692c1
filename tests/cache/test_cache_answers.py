"""A warm run says, byte by byte, what the run without a cache says; and only while nothing has changed."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from runs import CommandLine

RUNS = (
    ("check",),
    *(("check", "--format", one) for one in ("json", "sarif", "junit", "lines")),
    ("check", "rtl", "--fail-on", "never"),
    ("check", "--top", "grain_lines"),
    ("check", "--device", "sorter-m"),
    ("list",),
    *(("list", "--format", one) for one in ("json", "csv", "markdown")),
    ("list", "--all"),
    ("explain", "grain_lines.lines"),
    ("explain", "shallow-wide"),
)


@pytest.mark.parametrize("arguments", RUNS, ids=" ".join)
def test_a_warm_run_says_what_the_run_without_a_cache_says(
    arguments: tuple[str, ...], memlint: CommandLine
) -> None:
    without = memlint(*arguments, "--no-cache")
    cold = memlint(*arguments)
    warm = memlint(*arguments)
    assert not without.from_cache and not cold.from_cache and warm.from_cache
    assert without.answer == cold.answer == warm.answer
    assert warm.out


def test_reports_that_go_to_files_are_written_again(memlint: CommandLine, folder: Path) -> None:
    arguments = ("check", "--output", "json=../found.json", "--output", "sarif=../found.sarif")
    memlint(*arguments)
    files = [folder.parent / "found.json", folder.parent / "found.sarif"]
    before = [file.read_bytes() for file in files]
    for file in files:
        file.unlink()
    assert memlint(*arguments).from_cache
    assert [file.read_bytes() for file in files] == before


def test_a_report_that_cannot_be_written_is_complained_of_as_ever(memlint: CommandLine, folder: Path) -> None:
    arguments = ("check", "--output", "../reports/found.txt")
    (folder.parent / "reports").mkdir()
    assert memlint(*arguments).code == memlint(*arguments).code == 1
    (folder.parent / "reports" / "found.txt").unlink()
    (folder.parent / "reports").rmdir()
    ran = memlint(*arguments)
    assert ran.code == 2
    assert "the report cannot be written" in ran.err


def edit(file: str, text: str) -> Callable[[Path], None]:
    return lambda folder: (folder / file).write_text(text)  # type: ignore[func-returns-value]


CHANGES: dict[str, Callable[[Path], object]] = {
    "a source": lambda at: (at / "rtl" / "lines.sv").write_text("module nothing; endmodule\n"),
    "a source, of the same size and time": lambda at: _same_stamp(at / "rtl" / "lines.sv"),
    "an included file": edit("rtl/sizes.svh", "`define WIDTH 9\n"),
    "an included file that was not there before": edit("inc/sizes.svh", "`define WIDTH 9\n"),
    "no included file any more": lambda at: (at / "rtl" / "sizes.svh").unlink(),
    "memlint.toml": edit("memlint.toml", 'device = "sorter-m"\nfile_lists = ["rtl.f"]\n'),
    "the profile": edit("sorter.toml", 'extend = "sorter-m"\n[device]\nname = "other"\n'),
    "the file list": edit("rtl.f", "rtl/lines.sv\n+define+SLOW\n"),
    "a file list that is gone": lambda at: (at / "rtl.f").unlink(),
}
# A file nearer than the one that is found is the one to take.
SHADOWED = frozenset(("an included file that was not there before",))


def _same_stamp(file: Path) -> None:
    status = file.stat()
    file.write_text(file.read_text().replace("256 x 8", "256 x 9"))
    os.utime(file, ns=(status.st_atime_ns, status.st_mtime_ns))
    assert (file.stat().st_size, file.stat().st_mtime_ns) == (status.st_size, status.st_mtime_ns)


@pytest.mark.parametrize("change", [name for name in CHANGES if name not in SHADOWED])
def test_what_a_run_read_has_changed(change: str, memlint: CommandLine, folder: Path) -> None:
    memlint("check")
    assert memlint("check").from_cache
    CHANGES[change](folder)
    after = memlint("check")
    assert not after.from_cache
    assert after.answer == memlint("check", "--no-cache").answer


def test_an_included_file_that_appears_where_it_is_looked_for_first(
    memlint: CommandLine, folder: Path
) -> None:
    (folder / "rtl" / "sizes.svh").rename(folder / "inc" / "sizes.svh")
    memlint("list")
    assert memlint("list").from_cache
    (folder / "rtl" / "sizes.svh").write_text("`define WIDTH 16\n")
    after = memlint("list")
    assert not after.from_cache
    assert "256 x 16" in after.out


def test_a_source_that_a_pattern_finds(memlint: CommandLine, folder: Path) -> None:
    (folder / "memlint.toml").write_text('sources = ["rtl/**/*.sv"]\n')
    assert "lines" in memlint("list").out
    assert memlint("list").from_cache
    (folder / "rtl" / "deep").mkdir()
    (folder / "rtl" / "deep" / "more.sv").write_text((folder / "rtl" / "lines.sv").read_text().replace("grain", "air"))
    after = memlint("list")
    assert not after.from_cache
    assert "air_lines" in after.out


def test_a_variable_that_a_file_list_names(
    memlint: CommandLine, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    memlint("check")
    monkeypatch.setenv("UNRELATED", "1")
    assert memlint("check").from_cache
    monkeypatch.setenv("SORTER_RTL", "elsewhere")
    assert not memlint("check").from_cache


def test_a_baseline(memlint: CommandLine, folder: Path) -> None:
    memlint("check", "--baseline", "known.json", "--write-baseline")
    first = memlint("check", "--baseline", "known.json")
    assert first.code == 0
    assert memlint("check", "--baseline", "known.json").from_cache
    (folder / "known.json").write_text('{"version": 1, "findings": []}')
    after = memlint("check", "--baseline", "known.json")
    assert not after.from_cache
    assert after.code == 1


def test_a_link_that_leads_elsewhere(memlint: CommandLine, folder: Path) -> None:
    (folder / "other").mkdir()
    (folder / "other" / "lines.sv").write_text((folder / "rtl" / "lines.sv").read_text())
    (folder / "rtl" / "lines.sv").unlink()
    (folder / "rtl" / "lines.sv").symlink_to("../other/lines.sv")
    memlint("check", "other")
    assert memlint("check", "other").from_cache
    (folder / "third").mkdir()
    (folder / "other" / "lines.sv").rename(folder / "third" / "lines.sv")
    (folder / "rtl" / "lines.sv").unlink()
    (folder / "rtl" / "lines.sv").symlink_to("../third/lines.sv")
    assert not memlint("check", "other").from_cache


@pytest.mark.parametrize(
    "arguments",
    [("check", "--fix"), ("check", "--diff"), ("check", "--schema"), ("check", "--allow-missing")],
    ids=" ".join,
)
def test_runs_that_are_not_kept(arguments: tuple[str, ...], memlint: CommandLine, cache: Path) -> None:
    memlint(*arguments)
    assert not memlint(*arguments).from_cache
    assert not cache.exists()


def test_a_run_that_failed_is_not_kept(memlint: CommandLine, folder: Path, cache: Path) -> None:
    (folder / "memlint.toml").write_text("nonsense")
    assert memlint("check").code == memlint("check").code == 2
    assert not cache.exists()


def test_what_is_complained_of_is_said_again(memlint: CommandLine, folder: Path) -> None:
    (folder / "memlint.toml").write_text(CONFIG_WITH_RESERVE)
    cold = memlint("check", "--device", "sorter-m")
    warm = memlint("check", "--device", "sorter-m")
    assert "Left out for this run" in cold.err
    assert warm.from_cache
    assert warm.answer == cold.answer


CONFIG_WITH_RESERVE = 'device = "sorter.toml"\nfile_lists = ["rtl.f"]\n[reserve]\nmoon = 3\n'


def test_the_folder_can_be_chosen(memlint: CommandLine, cache: Path, tmp_path: Path) -> None:
    chosen = tmp_path / "here"
    memlint("check", "--cache-dir", str(chosen))
    assert memlint("check", "--cache-dir", str(chosen)).from_cache
    assert list(chosen.glob("*.entry"))
    assert not cache.exists()
    assert memlint("check", f"--cache-dir={chosen}").answer == memlint("check").answer


def test_another_memlint_has_entries_of_its_own(
    memlint: CommandLine, monkeypatch: pytest.MonkeyPatch
) -> None:
    memlint("check")
    monkeypatch.setattr("memlint.cli.cached.__version__", "0.0.0")
    assert not memlint("check").from_cache


def test_everything_that_is_opened_is_witnessed(
    memlint: CommandLine, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from memlint.cli import cached

    noted: set[str] = set()
    kept = cached.keep

    def keep(store: object, key: bytes, witness: object, code: int, said: object) -> bool:
        noted.update(os.fsdecode(of) for _, of, _ in witness.inputs())  # type: ignore[attr-defined]
        return kept(store, key, witness, code, said)  # type: ignore[arg-type]

    monkeypatch.setattr(cached, "keep", keep)
    opened: list[str] = []
    watching = [True]

    def hook(event: str, arguments: tuple[object, ...]) -> None:
        if watching and event in ("open", "os.listdir", "os.scandir"):
            path = os.path.abspath(os.fsdecode(arguments[0])) if isinstance(arguments[0], str | bytes) else ""
            if path.startswith(str(folder)):
                opened.append(path)

    sys.addaudithook(hook)
    (folder / "memlint.toml").write_text('device = "sorter.toml"\nsources = ["rtl/*.sv"]\nfile_lists = ["rtl.f"]\n')
    memlint("check")
    watching.clear()
    assert str(folder / "rtl" / "lines.sv") in opened
    assert str(folder / "sorter.toml") in opened
    assert set(opened) <= noted
