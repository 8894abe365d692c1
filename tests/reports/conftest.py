"""Pages and a browser, made once for all tests that look at them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

# Judgements made by hand are shared with the tests of the command line.
sys.path.append(str(Path(__file__).parents[1] / "cli"))

import pytest
from chromium import Browser, browser
from report_pages import HOSTILE, SORTER, page_of, thousand


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """A browser for all tests; what it complained of is cleared for each."""
    with browser() as one:
        yield one


@pytest.fixture
def window(chromium: Browser) -> Browser:
    """The browser with a window of a desk and nothing said yet."""
    chromium.look(1440, 900)
    chromium.complaints.clear()
    chromium.requests.clear()
    return chromium


@pytest.fixture(scope="session")
def sorter_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of the demo project."""
    file = tmp_path_factory.mktemp("sorter") / "report.html"
    page_of(file, str(SORTER))
    return file


@pytest.fixture(scope="session")
def hostile_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a design whose names try to break out."""
    folder = tmp_path_factory.mktemp("hostile")
    (folder / '<b>&"x.sv').write_text(HOSTILE, "utf-8")
    page_of(folder / "report.html", str(folder))
    return folder / "report.html"


@pytest.fixture(scope="session")
def thousand_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page of a design with a thousand memories."""
    folder = tmp_path_factory.mktemp("thousand")
    (folder / "tray.sv").write_text(thousand(), "utf-8")
    page_of(folder / "report.html", str(folder))
    return folder / "report.html"
