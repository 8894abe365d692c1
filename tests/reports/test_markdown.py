"""Text of users in Markdown: it stays text, whatever it holds."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memlint.reports.markdown import code, row, sentence

TEXT = st.text(st.sampled_from("ab |`*_<>@#1\\[]()!~$%&\n\t\u202e"), min_size=1, max_size=20)


def cells(line: str) -> list[str]:
    """A table's row, parted as GitHub Flavored Markdown 4.10 does: at bars without a backslash before."""
    return re.split(r"(?<!\\)\|", line)[1:-1]


@given(TEXT)
def test_a_code_span_ends_where_it_should(text: str) -> None:
    span = code(text)
    if "\\|" in text:
        assert not set("\\|`*_") & set(span)
        return
    fence = re.match(r"`+", span)
    assert fence is not None
    inside = span[len(fence[0]) : -len(fence[0])]
    # CommonMark 6.1: a span ends at the next run of just as many backticks.
    assert fence[0] not in re.findall(r"`+", inside)
    assert span.endswith(fence[0])
    assert "\n" not in span


@given(TEXT, TEXT)
def test_a_row_keeps_its_cells(first: str, second: str) -> None:
    (line,) = row(code(first), sentence(second))
    assert "\n" not in line
    # An odd number of backslashes before a bar of ours would take it away.
    assert len(cells(line.replace("\\\\", "__"))) == 2


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("`DEPTH` 2,048 → 2,049", "`DEPTH` 2,048 → 2,049"),
        ("`a|b` is wide", "`a\\|b` is wide"),
        ("`a\\|b`", "<code>a&#92;&#124;b</code>"),
        ("sorter_top.u_ram", "sorter\\_top.u\\_ram"),
        ("ask @who about #12", "ask @<!-- -->who about #<!-- -->12"),
        ("<b>bold</b> & *so*", "\\<b\\>bold\\</b\\> &amp; \\*so\\*"),
        ("one ` alone", "one \\` alone"),
        ("two\nlines", "two lines"),
    ],
)
def test_a_sentence(text: str, shown: str) -> None:
    assert sentence(text) == shown
