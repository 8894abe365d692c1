"""Check bits of SECDED codes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memlint.mapping.secded import check_bits

# (data, check, code) bits: the table [secded] of the reference page families.toml. Its rows for 16, 22,
# 32, 33, 48, 57, 64 and 68 data bits were read in published code names or in the PolarFire Family Fabric User
# Guide (en-US-8, 33 data + 7 check); the others follow from its rule.
PUBLISHED = [
    (8, 5, 13), (16, 6, 22), (22, 6, 28), (26, 6, 32), (32, 7, 39), (33, 7, 40),
    (48, 7, 55), (57, 7, 64), (64, 8, 72), (68, 8, 76), (128, 9, 137),
]  # fmt: skip


@pytest.mark.parametrize(("data", "check", "code"), PUBLISHED)
def test_published_codes(data, check, code):
    assert check_bits(data) == check
    assert data + check_bits(data) == code


@given(st.integers(1, 10**6))
def test_is_the_least_that_corrects_one_error_and_detects_two(data):
    # R. W. Hamming, Error detecting and error correcting codes (1950): 2^r >= k + r + 1, one more for parity.
    hamming = check_bits(data) - 1
    assert 2**hamming >= data + hamming + 1
    assert 2 ** (hamming - 1) < data + (hamming - 1) + 1


def test_72_bits_are_64_data_and_8_check():  # common practice, no source
    assert check_bits(64) == 8


@pytest.mark.parametrize("data", [0, -1])
def test_no_code_without_data(data):
    with pytest.raises(ValueError, match="at least 1 data bit"):
        check_bits(data)
