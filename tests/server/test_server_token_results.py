"""What changed among the words of intents: an editor that is told only that has the same as one told all."""

from __future__ import annotations

from pathlib import Path

import pytest
from belt_design import write_design
from hypothesis import given
from hypothesis import strategies as st
from lsp_editor import Editor
from lsprotocol import types

from memlint.server.token_results import TokenResults, edits_between

pytestmark = [
    pytest.mark.asyncio(loop_scope="session"),
    pytest.mark.filterwarnings("ignore:The test .* is marked with"),
]

NUMBERS = st.lists(st.integers(0, 3), max_size=20)


def applied(data: list[int], edits: list[types.SemanticTokensEdit]) -> list[int]:
    """As the protocol has it (LSP 3.17, "Semantic Tokens", delta): each replaces numbers of the old array."""
    for edit in sorted(edits, key=lambda one: -one.start):
        data = [*data[: edit.start], *(edit.data or ()), *data[edit.start + edit.delete_count :]]
    return data


@given(NUMBERS, NUMBERS)
def test_edits_lead_from_old_to_new(before: list[int], after: list[int]) -> None:
    edits = edits_between(before, after)
    assert applied(before, edits) == after
    assert bool(edits) == (before != after)


def test_what_is_alike_at_both_ends_is_not_sent() -> None:
    (edit,) = edits_between([1, 2, 3, 4, 5], [1, 2, 9, 9, 4, 5])
    assert (edit.start, edit.delete_count, edit.data) == (2, 1, [9, 9])


def test_nothing_is_kept_of_a_closed_document() -> None:
    results = TokenResults()
    first = results.whole("file:///a.sv", [1, 2])
    assert first.result_id is not None
    results.forget("file:///a.sv")
    assert isinstance(results.since("file:///a.sv", first.result_id, [1, 2]), types.SemanticTokens)


async def whole(editor: Editor, path: Path) -> types.SemanticTokens:
    params = types.SemanticTokensParams(types.TextDocumentIdentifier(path.as_uri()))
    found = await editor.ask(types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL, params)
    assert isinstance(found, types.SemanticTokens)
    return found


async def since(editor: Editor, path: Path, result: str) -> types.SemanticTokens | types.SemanticTokensDelta:
    params = types.SemanticTokensDeltaParams(types.TextDocumentIdentifier(path.as_uri()), result)
    found = await editor.ask(types.TEXT_DOCUMENT_SEMANTIC_TOKENS_FULL_DELTA, params)
    assert isinstance(found, types.SemanticTokens | types.SemanticTokensDelta)
    return found


async def test_only_what_changed_is_sent(any_editor: Editor, belt: Path) -> None:
    _, store = write_design(belt)
    any_editor.open(store)
    first = await whole(any_editor, store)
    has, result = list(first.data), first.result_id or ""
    for old, new in (
        ("read within 1 cycle", "read within 2 cycles"),
        ("// @mem in bulk; ", "// @mem in block or bulk;\n    // @mem "),
        ("    input  logic        cam_clk", "\n    input logic cam_clk"),
        ('because "is', 'because "it is'),
        ("endmodule", "// the end"),
    ):
        any_editor.replace(store, (old, new))
        told = await since(any_editor, store, result)
        assert isinstance(told, types.SemanticTokensDelta) and told.result_id != result
        has, result = applied(has, list(told.edits)), told.result_id or ""
        all_of_them = await whole(any_editor, store)
        assert has == list(all_of_them.data), old
        result = all_of_them.result_id or ""
    unchanged = await since(any_editor, store, result)
    assert isinstance(unchanged, types.SemanticTokensDelta) and not unchanged.edits


async def test_tokens_that_are_not_known_any_more_are_sent_whole(any_editor: Editor, belt: Path) -> None:
    _, store = write_design(belt)
    any_editor.open(store)
    told = await since(any_editor, store, "of another life")
    assert isinstance(told, types.SemanticTokens) and told.data
