"""Garbage collection is off while a file is read and afterwards as it was before."""

import gc

import pytest

from memlint.reading.collection import paused


def test_collection_is_off_within_and_on_again_behind_even_after_an_error() -> None:
    assert gc.isenabled()
    with paused():
        assert not gc.isenabled()
    assert gc.isenabled()
    with pytest.raises(ValueError, match="half read"), paused():
        raise ValueError("half read")
    assert gc.isenabled()


def test_collection_that_is_off_stays_off_and_a_pause_within_a_pause_ends_nothing() -> None:
    with paused(), paused():
        pass
    gc.disable()
    try:
        with paused():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
    with paused():
        with paused():
            pass
        assert not gc.isenabled()
