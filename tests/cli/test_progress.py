"""What is shown while waiting: on a terminal only, after a while only, and gone at the end."""

from __future__ import annotations

import io
import threading

import pytest

from memlint.cli.progress import progress


class Terminal(io.StringIO):
    """A stream that says it is one, and tells when something was written."""

    def __init__(self) -> None:
        super().__init__()
        self.written = threading.Event()

    def isatty(self) -> bool:
        return True

    def write(self, text: str) -> int:
        self.written.set()
        return super().write(text)


def test_long_work_is_told_and_wiped_away(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    out = Terminal()
    with progress("checking", out, after=0.01):
        assert out.written.wait(60)
    said = out.getvalue()
    assert said.startswith("\rmemlint: checking, 0 s")
    assert said.endswith("\r") and said.split("\r")[-2].strip() == ""


def test_short_work_says_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    out = Terminal()
    with progress("checking", out, after=3600):
        pass
    assert out.getvalue() == ""


@pytest.mark.parametrize(("stream", "term"), [(io.StringIO(), "xterm"), (Terminal(), "dumb")])
def test_what_is_no_terminal_or_a_dumb_one_is_left_alone(
    monkeypatch: pytest.MonkeyPatch, stream: io.StringIO, term: str
) -> None:
    monkeypatch.setenv("TERM", term)
    before = threading.active_count()
    with progress("checking", stream, after=0.01):
        assert threading.active_count() == before
    assert stream.getvalue() == ""


def test_an_error_passes_through_and_still_wipes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    out = Terminal()
    with pytest.raises(KeyError), progress("checking", out, after=0.01):
        assert out.written.wait(60)
        raise KeyError
    assert out.getvalue().endswith("\r")
