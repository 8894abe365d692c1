"""Whole packages of other people's files are read without a stumble: the reading census in small."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from reading_census import Census, hdl_files, modules_in, take

PACKAGES = (
    "libsv",
    "pythondata_cpu_cva5",
    "pythondata_cpu_marocchino",
    "pythondata_cpu_mor1kx",
    "pythondata_cpu_picorv32",
    "pythondata_cpu_serv",
)


@pytest.mark.parametrize("package", PACKAGES)
def test_no_file_raises_and_no_module_is_lost(package: str) -> None:
    files = list(hdl_files([package]))
    if not files:
        pytest.skip(f"{package} is not installed: pip install '.[test]'")
    census = Census()
    for file in files:
        take(census, file)
    # Slowness is the benchmark's business: machines differ.
    assert not [one for one in census.troubles if "raises" in one]
    assert not census.differences
    assert census.files == len(files)
    assert census.kinds["module"] > 0


def test_the_plain_search_knows_comments_strings_and_branches() -> None:
    text = """
    // module in_comment;
    /* module in_block; */
    module one; initial $display("module in_string;"); endmodule
    `define MAKE(n) \\
      module n; endmodule
    `ifdef NOWHERE
    module left_out; endmodule
    `else
    module two; endmodule
    `endif
    macromodule three; endmodule
    """
    assert modules_in(text) == ["one", "two", "three"]
