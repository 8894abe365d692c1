"""Check bits of single-error-correcting, double-error-detecting codes."""

from __future__ import annotations


def check_bits(data: int) -> int:
    """Check bits for `data` bits: the smallest r with 2^r >= data + r + 1 (the Hamming bound for
    correcting one error), plus one parity bit to detect two.

    Raises ValueError below one data bit.
    """
    if data < 1:
        raise ValueError(f"an error-correcting code needs at least 1 data bit, not {data}")
    # 2^(r-1) <= data < 2^r, so r - 1 is too few and r + 1 always enough.
    r = data.bit_length()
    if (1 << r) < data + r + 1:
        r += 1
    return r + 1
