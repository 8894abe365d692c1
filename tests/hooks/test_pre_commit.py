"""The hooks of .pre-commit-hooks.yaml, run by the real pre-commit on commits of a local repository.

pre-commit installs memlint from a local repository into an environment of its own, once for this file.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(shutil.which("git") is None, reason="there is no git here"),
]

ROOT = Path(__file__).parents[2]
SHIPPED = ("memlint", "grammar", "pyproject.toml", "README.md", "LICENSE", ".pre-commit-hooks.yaml")

RAM = """\
module ram #(parameter int DEPTH = 16) (
    input  logic clk, we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q
);
    // @mem in bulk; shape 8K x 40; one clock
    logic [39:0] mem [DEPTH];
    always_ff @(posedge clk) begin
        if (we) mem[wa] <= d;
        q <= mem[ra];
    end
endmodule
"""
TOP = """\
module top (
    input  logic clk, we, input logic [12:0] wa, ra, input logic [39:0] d, output logic [39:0] q
);
    ram #(.DEPTH(8192)) u_ram (.*);
endmodule
"""
OTHER = RAM.replace("module ram", "module spare").replace("8K", "4K").replace("DEPTH = 16", "DEPTH = 8192")


def git(folder: Path, *arguments: str, **environ: str) -> subprocess.CompletedProcess[str]:
    names = ("-c", "user.name=t", "-c", "user.email=t@localhost", "-c", "protocol.file.allow=always")
    # A hook of the repository that the tests run from must not reach into this one.
    inherited = {key: value for key, value in os.environ.items() if not key.startswith("GIT_")}
    return subprocess.run(
        ["git", *names, *arguments],
        cwd=folder,
        env={**inherited, **environ},
        capture_output=True,
        text=True,
        check=False,
    )


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A repository that holds memlint as it is now, and pre-commit's cache."""
    tool = tmp_path_factory.mktemp("tool")
    for name in SHIPPED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, tool / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(source, tool / name)
    git(tool, "init", "-q", ".")
    git(tool, "add", "-A")
    assert git(tool, "commit", "-qm", "memlint").returncode == 0
    return tool, tmp_path_factory.mktemp("cache")


class Repository:
    """A project under version control, with a hook installed."""

    def __init__(self, folder: Path, shared: tuple[Path, Path], hook: str) -> None:
        self.folder = folder
        tool, cache = shared
        self.environ = {"PRE_COMMIT_HOME": str(cache)}
        revision = git(tool, "rev-parse", "HEAD").stdout.strip()
        self.write(
            ".pre-commit-config.yaml",
            f"repos:\n  - repo: {tool.as_uri()}\n    rev: {revision}\n    hooks: [{{id: {hook}}}]\n",
        )
        self.write("memlint.toml", 'device = "sorter-m"\n')
        self.write("rtl/top.sv", TOP)
        self.write("rtl/ram.sv", RAM)
        self.write("rtl/spare.sv", OTHER)
        git(folder, "init", "-q", ".")
        git(folder, "add", "-A")
        assert git(folder, "commit", "-qm", "start").returncode == 0
        command = [sys.executable, "-m", "pre_commit", "install"]
        environ = {**os.environ, **self.environ}
        subprocess.run(command, cwd=folder, env=environ, capture_output=True, check=True)

    def write(self, name: str, text: str) -> None:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def commit(self) -> tuple[bool, str]:
        """Whether a commit of everything goes through, and what was said."""
        git(self.folder, "add", "-A")
        done = git(self.folder, "commit", "-m", "change", **self.environ)
        return done.returncode == 0, done.stdout + done.stderr


@pytest.fixture
def changed(tmp_path: Path, shared: tuple[Path, Path]) -> Repository:
    return Repository(tmp_path, shared, "memlint")


@pytest.fixture
def whole(tmp_path: Path, shared: tuple[Path, Path]) -> Repository:
    return Repository(tmp_path, shared, "memlint-project")


def test_a_changed_file_is_checked_with_the_whole_project_behind_it(changed: Repository) -> None:
    # The depth comes from rtl/top.sv, which is not part of the commit.
    changed.write("rtl/ram.sv", RAM.replace("8K", "2K"))
    passed, said = changed.commit()
    assert not passed
    assert "`mem` is 8,192 x 40, its intent says 2,048 x 40" in " ".join(said.split())
    assert "rtl/spare.sv" not in said
    changed.write("rtl/ram.sv", RAM.replace("one clock", "ports 1w 1r; one clock"))
    passed, said = changed.commit()
    assert passed, said


def test_the_whole_project_hook_speaks_of_files_that_did_not_change(whole: Repository) -> None:
    whole.write("rtl/top.sv", TOP.replace("8192", "4096"))
    passed, said = whole.commit()
    assert not passed
    assert "rtl/ram.sv" in said and "rtl/spare.sv" in said
    whole.write("rtl/top.sv", TOP + "// unchanged otherwise\n")
    whole.write("rtl/spare.sv", OTHER.replace("4K", "8K"))
    passed, said = whole.commit()
    assert passed, said


def test_files_of_other_kinds_run_no_hook(whole: Repository) -> None:
    whole.write("notes.txt", "nothing of HDL\n")
    passed, said = whole.commit()
    assert passed and "no files to check" in said


@pytest.mark.parametrize("hook", ["memlint", "memlint-project"])
def test_a_missing_submodule_or_generated_source_never_fails_a_commit(
    tmp_path: Path, shared: tuple[Path, Path], hook: str
) -> None:
    project = Repository(tmp_path, shared, hook)
    project.write(
        "memlint.toml",
        'sources = ["rtl/*.sv", "ip/core/core.sv"]\nfile_lists = ["build/generated.f"]\n'
        'include_dirs = ["ip/include"]\n',
    )
    project.write(
        "rtl/ram.sv",
        '`include "generated_sizes.svh"\n' + RAM.replace("DEPTH = 16", "DEPTH = core_pkg::WORDS * `LINES"),
    )
    project.write(
        "rtl/top.sv", TOP.replace("#(.DEPTH(8192)) ", "").replace("endmodule", "core u_c ();\nendmodule")
    )
    passed, said = project.commit()
    assert passed, said
