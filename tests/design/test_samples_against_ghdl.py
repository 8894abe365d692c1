"""VHDL samples against the simulator GHDL: each is legal, and its arrays are where and as large as marked."""

from __future__ import annotations

import re
from pathlib import Path

import ghdl_reference
import pytest
from corpus import SAMPLES, Sample, elaborated, read, samples

# These import the types of another sample.
NEEDED = dict.fromkeys(("classifier", "jet_valves", "statistics"), "sorter_types")
MARKED = [one for one in samples("vhdl") if one.expected]

pytestmark = pytest.mark.skipif(ghdl_reference.GHDL is None, reason=ghdl_reference.REASON)


def analysed(sample: Sample, folder: Path) -> None:
    files = [sample.path]
    if sample.path.stem in NEEDED:
        files.insert(0, SAMPLES / "vhdl" / f"{NEEDED[sample.path.stem]}.vhd")
    ghdl_reference.analyse(files, folder)


@pytest.mark.parametrize("sample", list(samples("vhdl")), ids=lambda one: one.name)
def test_a_sample_is_legal(sample: Sample, tmp_path: Path) -> None:
    analysed(sample, tmp_path)


@pytest.mark.parametrize("sample", MARKED, ids=lambda one: one.name)
def test_paths_and_shapes_equal_an_independent_elaboration(sample: Sample, tmp_path: Path) -> None:
    analysed(sample, tmp_path)
    (root,) = elaborated(sample, read(sample)).roots
    # What a sample reads at elaboration.
    (tmp_path / "gains.hex").write_text("00FF\n")
    dumped = ghdl_reference.arrays(root, tmp_path)
    for path, text in sample.expected.items():
        shape, banks = text.split()[:2]
        depth, width = map(int, shape.split("x"))
        # The reference has numbers of its own for processes without a label: it leaves them out.
        words, bits = dumped[re.sub(r"\.process\d+\b", "", path)]
        assert (words, bits or width) == (depth * int(banks.removeprefix("banks=")), width), path
