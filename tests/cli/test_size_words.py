"""`memlint size`: shapes as people type them."""

from __future__ import annotations

import pytest
from sorter_samples import Memlint


@pytest.mark.parametrize(
    ("written", "meant", "shape"),
    [
        ("32kx40", "32Kx40", "32,768 x 40"),
        ("32k x 40", "32K x 40", "32,768 x 40"),
        ("2m*2x8", "2M*2x8", "4,194,304 x 8"),
        ("1Kx2k", "1Kx2K", "1,024 x 2,048"),
        ("32KX40", "32Kx40", "32,768 x 40"),
        ("512×40", "512x40", "512 x 40"),
    ],
)
def test_a_near_shape_is_told_as_it_has_to_be_written(
    memlint: Memlint, written: str, meant: str, shape: str
) -> None:
    # K is 2^10 and M is 2^20 (the design page, section 2), so that 32k might mean 32,000.
    assert memlint("size", written) == 2
    assert f"write `{meant}`, which is {shape}" in memlint.err
    assert memlint("size", meant) == 0
    assert memlint.out.startswith(shape)


def test_thousands_are_offered_too(memlint: Memlint) -> None:
    assert memlint("size", "32kx40") == 2
    assert "For thousands write `32000x40`" in memlint.err


@pytest.mark.parametrize("written", ["foo", "32kbitx40", "40", "32x"])
def test_what_is_no_shape_at_all_is_told_as_before(memlint: Memlint, written: str) -> None:
    assert memlint("size", written) == 2
    assert "which is" not in memlint.err
    assert "32K x 40" in memlint.err
