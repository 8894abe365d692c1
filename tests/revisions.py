"""Small git repositories with a project of the grain sorter, for tests of what changed between revisions."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path

import pytest

from memlint.engine import open_project
from memlint.engine.compare import compare
from memlint.engine.differences.changes import Cause, Change, Comparison, MemoryChange
from memlint.engine.sides import revision_side, working_side

needs_git = pytest.mark.skipif(shutil.which("git") is None, reason="there is no git here")

CONFIG = 'device = "sorter-m"\ntop = "sorter"\n'

PACKAGE = """\
package cfg_pkg;
  localparam int unsigned DEPTH = 2048;
  localparam int unsigned WIDTH = 24;
  localparam int unsigned CAMERAS = 1;
endpackage
"""

STORE = """\
// Pixels of a line, from the camera to the classifier.
module line_store #(
  parameter int unsigned WORDS = 1024,
  parameter int unsigned BITS  = 24
) (
  input  logic            pix_clk, proc_clk, we,
  input  logic [13:0]     wa, ra,
  input  logic [BITS-1:0] d,
  output logic [BITS-1:0] q
);
  //@mem in block; ports 1w 1r
  logic [BITS-1:0] pixels [WORDS];
  always_ff @(posedge pix_clk) if (we) pixels[wa] <= d;
  always_ff @(posedge pix_clk) q <= pixels[ra];
endmodule
"""

TOP = """\
module sorter
  import cfg_pkg::*;
(
  input  logic             pix_clk, proc_clk, we,
  input  logic [13:0]      wa, ra,
  input  logic [WIDTH-1:0] d,
  output logic [WIDTH-1:0] q [4]
);
  line_store #(.WORDS(DEPTH), .BITS(WIDTH)) u_front (.q(q[0]), .*);
endmodule
"""

PROJECT = {
    "memlint.toml": CONFIG,
    "rtl/cfg_pkg.sv": PACKAGE,
    "rtl/line_store.sv": STORE,
    "rtl/sorter.sv": TOP,
}
"""One memory, `sorter.u_front.pixels`: 2,048 x 24 are 49,152 bits, two blocks of 24,576 (sorter-m.toml)."""


class Repository:
    """A git repository of its own settings in a folder."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        folder.mkdir(exist_ok=True)
        self.git("init", "-q", "-b", "main", ".")

    def git(self, *arguments: str) -> str:
        """Runs git and gives what it prints."""
        names = ("-c", "user.name=t", "-c", "user.email=t@localhost", "-c", "protocol.file.allow=always")
        environment = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
        command = ["git", *names, *arguments]
        done = subprocess.run(
            command, cwd=self.folder, check=True, capture_output=True, text=True, env=environment
        )
        return done.stdout.strip()

    def write(self, files: dict[str, str]) -> None:
        """Writes files of the working tree."""
        for name, text in files.items():
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")

    def replace(self, name: str, old: str, new: str) -> None:
        """Changes a file of the working tree; the words must be there."""
        text = (self.folder / name).read_text(encoding="utf-8")
        assert old in text, (name, old)
        self.write({name: text.replace(old, new)})

    def commit(self) -> str:
        """Commits the working tree and gives the full hash."""
        self.git("add", "-A")
        self.git("commit", "-q", "--allow-empty", "-m", "a step")
        return self.git("rev-parse", "HEAD")

    def compared(self, revision: str = "HEAD", unsaved: Mapping[str, str] | None = None) -> Comparison:
        """The working tree, with unsaved texts, compared with a revision."""
        engine = open_project([str(self.folder)])
        for name, text in (unsaved or {}).items():
            engine.set_text(name, text)
        settings = engine.settings
        config = Path(settings.root, settings.file) if settings.file else None
        old, _ = revision_side(self.folder, revision, config=config, instead=engine)
        return compare(old, working_side(engine))


def one_change(comparison: Comparison) -> MemoryChange:
    """The only memory that changed."""
    (change,) = comparison.memories
    return change


def said(change: MemoryChange, what: str) -> Change:
    """What is said about one thing of a memory."""
    return next(one for one in change.changes if one.what == what)


def told(cause: Cause, comparison: Comparison) -> str:
    """A cause and its place: `words @ file:line`, of the old side `words @ old file:line`."""
    if cause.span is None:
        return cause.text
    side = comparison.new if cause.side == "new" else comparison.old
    source = side.judgement.sources[cause.span.file]
    where = "" if cause.side == "new" else "old "
    return f"{cause.text} @ {where}{cause.span.file}:{source.position(cause.span.start).line}"
