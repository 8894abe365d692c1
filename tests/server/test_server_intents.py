"""Intents as text: their words, their one spelling, the names of plans."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from belt_design import STORE, TOP, write_design
from hypothesis import given
from hypothesis import strategies as st
from lsp_editor import Editor, units
from lsprotocol import types

from memlint.engine.fixing import apply_edits
from memlint.reading.intent.reader import read_intents
from memlint.server.formatting import format_edits
from memlint.server.intent_text import intent_comments
from memlint.server.semantic_tokens import tokens_of
from memlint.text.source import SourceText

pytestmark = [
    pytest.mark.asyncio(loop_scope="session"),
    pytest.mark.filterwarnings("ignore:The test .* is marked with"),
]


def identity(path: Path) -> types.TextDocumentIdentifier:
    return types.TextDocumentIdentifier(path.as_uri())


def decoded(
    tokens: types.SemanticTokens, text: str, editor: Editor, kinds: list[str]
) -> list[tuple[str, str]]:
    """The words and their kinds, by the protocol's own rules of encoding."""
    found, line, column = [], 0, 0
    lines = text.split("\n")
    for start in range(0, len(tokens.data), 5):
        down, right, length, kind, _ = tokens.data[start : start + 5]
        line, column = line + down, right if down else column + right
        before = next(
            end for end in range(len(lines[line]) + 1) if units(lines[line][:end], editor.encoding) == column
        )
        after = next(
            end
            for end in range(before, len(lines[line]) + 1)
            if units(lines[line][before:end], editor.encoding) == length
        )
        found.append((lines[line][before:after], kinds[kind]))
    return found


async def test_the_words_of_intents(any_editor: Editor, belt: Path) -> None:
    _, store = write_design(belt)
    any_editor.open(store)
    provider = any_editor.capabilities.semantic_tokens_provider
    assert provider is not None
    kinds = [str(one) for one in provider.legend.token_types]  # type: ignore[union-attr]
    tokens = await any_editor.ask(
        types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, types.SemanticTokensParams(identity(store))
    )
    words = decoded(tokens, STORE, any_editor, kinds)
    assert words[:7] == [
        ("@mem", "decorator"), ("in", "keyword"), ("bulk", "enumMember"), (";", "operator"),
        ("clocks", "keyword"), ("cam_clk", "variable"), (",", "operator"),
    ]  # fmt: skip
    assert ("shallow-wide", "enumMember") in words and ("1", "number") in words
    assert words[-1] == ('"is \N{EAR OF RICE}"', "string")
    nothing = types.SemanticTokensRangeParams(
        identity(store), types.Range(types.Position(0, 0), types.Position(5, 0))
    )
    found = await any_editor.ask(types.TEXT_DOCUMENT_SEMANTIC_TOKENS_RANGE, nothing)
    assert not found.data


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("//@mem  in   bulk ;shape 2048x40", "// @mem in bulk; shape 2K x 40"),
        # Arithmetic says where a number comes from, so it stays.
        ("// @mem shape  (2+2) * 512   x 40", "// @mem shape (2+2) * 512 x 40"),
        ("/*@mem in bulk*/", "/* @mem in bulk */"),
        ("// @mem on  u_a.words :in bulk;", "// @mem on u_a.words: in bulk"),
        ('// @mem why   "as   it is"', '// @mem why "as it is"'),
        # Half typed, of several lines or empty: as it is.
        ("// @mem in bulk;; shpe 2", "// @mem in bulk;; shpe 2"),
        ("// @mem", "// @mem"),
        ("/* @mem in\n bulk */", "/* @mem in\n bulk */"),
        ("//  an  @mem  comment", "//  an  @mem  comment"),
    ],
)
async def test_formatting(modern: Editor, before: str, after: str) -> None:
    uri = "untitled:one.sv"
    text = f"module  one ;\n  {before}\n  logic  [39:0]  words  [0:2047] ;\nendmodule\n"
    modern.open_uri(uri, text)
    options = types.FormattingOptions(4, True)
    params: Any = types.DocumentFormattingParams(types.TextDocumentIdentifier(uri), options)
    edits = await modern.ask(types.TEXT_DOCUMENT_FORMATTING, params)
    assert modern.applied(uri, edits) == text.replace(before, after)
    elsewhere = types.Range(types.Position(0, 0), types.Position(0, 3))
    params = types.DocumentRangeFormattingParams(types.TextDocumentIdentifier(uri), elsewhere, options)
    assert not await modern.ask(types.TEXT_DOCUMENT_RANGE_FORMATTING, params)


PIECES = st.sampled_from(
    ["in bulk", "in block or bulk", "shape 32Kx40", "shape 3*4 x (5 + 6)", "ports 1w  1r", "one clock", ";", " ",
     "clocks a,b", "holds 2 ms at 10 Gbit/s", "budget bulk<=3.50", "plan a", "times 2", 'why "x; y"', "on a.b:",
     'accept shallow-wide because "a  b"', "ecc in  word", "shpe 1", '"', "\\", "*/", "write lanes 1+2"]
)  # fmt: skip


@given(st.lists(PIECES, max_size=6), st.sampled_from(["//", "--", "/*"]), st.sampled_from(["", " ", "\t"]))
def test_a_formatted_comment_means_what_it_meant(pieces: list[str], opener: str, gap: str) -> None:
    comment = f"{opener}{gap}@mem {'; '.join(pieces)}{' */' if opener == '/*' else ''}"
    source = SourceText("one.vhd" if opener == "--" else "one.sv", f"first\n{comment}\nlast")
    vhdl = opener == "--"
    edits = list(format_edits(source, vhdl))
    after = SourceText(source.file, apply_edits(source.text, edits))
    assert after.text.startswith("first\n") and after.text.endswith("\nlast")

    def meaning(text: SourceText) -> object:
        return [read_intents([one.piece], text)[0] for one in intent_comments(text, vhdl)]

    assert meaning(after) == meaning(source)
    assert not list(format_edits(after, vhdl)), "formatting twice changes nothing"


@given(st.lists(PIECES, max_size=6), st.booleans())
def test_tokens_lie_in_intents_and_do_not_overlap(pieces: list[str], block: bool) -> None:
    comment = f"/* @mem {' '.join(pieces)} */" if block else f"// @mem {' '.join(pieces)}"
    source = SourceText("one.sv", f"logic in, shape; // in bulk\n{comment}\nin bulk")
    last = 0
    comments = [(one.comment.start, one.comment.end) for one in intent_comments(source, False)]
    for token in tokens_of(source, False):
        assert last <= token.start < token.end
        assert any(start <= token.start and token.end <= end for start, end in comments)
        assert "\n" not in source.text[token.start : token.end]
        last = token.end


async def test_a_plan_gets_another_name(modern: Editor, belt: Path) -> None:
    top, _ = write_design(belt)
    modern.open(top)
    place = modern.at(top, "trend", 2)
    found = await modern.ask(types.TEXT_DOCUMENT_PREPARE_RENAME, types.PrepareRenameParams(**place))
    assert (modern.covered(top, found.range), found.placeholder) == ("trend", "trend")
    edit = await modern.ask(types.TEXT_DOCUMENT_RENAME, types.RenameParams(new_name="trends", **place))
    (change,) = edit.document_changes
    assert change.text_document.version == 1
    assert modern.applied(top.as_uri(), change.edits) == TOP.replace("plan trend", "plan trends")


@pytest.mark.parametrize(
    ("name", "reason"), [("2x", "no name"), ("", "no name"), ("w", "declares"), ("x y", "no name")]
)
async def test_names_a_plan_cannot_have(modern: Editor, belt: Path, name: str, reason: str) -> None:
    top, _ = write_design(belt)
    modern.open(top)
    with pytest.raises(Exception, match=reason):
        await modern.ask(
            types.TEXT_DOCUMENT_RENAME, types.RenameParams(new_name=name, **modern.at(top, "trend"))
        )


async def test_nothing_but_plans_can_be_renamed(modern: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    modern.open(top)
    modern.open(store)
    for path, marked in ((store, "words [0"), (store, "bulk;"), (top, "u_long")):
        place = modern.at(path, marked)
        assert (
            await modern.ask(types.TEXT_DOCUMENT_PREPARE_RENAME, types.PrepareRenameParams(**place)) is None
        )
        with pytest.raises(Exception, match="only a planned memory"):
            await modern.ask(types.TEXT_DOCUMENT_RENAME, types.RenameParams(new_name="x", **place))
