"""Every sample gives the memories marked inside it, reads without a problem, and survives being cut short.

The marks were written by hand from the sources and from design.md's definitions; paths and dimensions
of the SystemVerilog ones were also confirmed with the compiler library pyslang.
"""

from __future__ import annotations

import pytest
from corpus import Sample, described, elaborated, read, samples

from memlint.text.source import line_starts

ALL = [*samples("systemverilog"), *samples("vhdl")]


@pytest.mark.parametrize("sample", ALL, ids=lambda one: one.name)
def test_a_sample_gives_its_memories(sample: Sample) -> None:
    facts = read(sample)
    assert not facts.problems
    if not sample.expected and not sample.none and sample.top is None:
        pytest.skip("nothing is marked in it: it is there to be read")
    design = elaborated(sample, facts)
    assert described(design) == sample.expected
    assert not design.unread
    known = {one.path for one in design.not_memories}
    assert set(sample.none) <= known


@pytest.mark.parametrize("sample", ALL, ids=lambda one: one.name)
def test_any_prefix_on_a_line_boundary_is_survived(sample: Sample) -> None:
    for end in line_starts(sample.text):
        cut = Sample(sample.path, sample.text[:end], {}, (), None)
        facts = read(cut)
        if any(unit.kind in ("module", "entity") for unit in facts.units):
            elaborated(cut, facts)
