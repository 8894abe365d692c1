"""Parts of the server that a user meets only by what goes wrong without them."""

from __future__ import annotations

import gc
import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from lsprotocol import types
from pygls.protocol import default_converter

from memlint.server.client import client_of
from memlint.server.documents import Documents
from memlint.server.drift import moved_line
from memlint.server.hover import HoverText
from memlint.server.places import path_of, uri_of
from memlint.server.preferences import Preferences, preferences_of, section_of
from memlint.server.protocol import Stage, Wire
from memlint.server.requests import HANDLERS
from memlint.server.transport import messages
from memlint.text.encodings import Encoding
from memlint.text.source import SourceText, Span


def framed(bodies: list[bytes]) -> bytes:
    return b"".join(b"Content-Length: %d\r\n\r\n%b" % (len(body), body) for body in bodies)


def in_pieces(data: bytes, cuts: list[int]) -> Iterator[bytes]:
    ends = sorted({min(cut, len(data)) for cut in cuts} | {len(data)})
    start = 0
    for end in ends:
        if end > start:
            yield data[start:end]
        start = end


@given(st.lists(st.binary(max_size=60), max_size=6), st.lists(st.integers(0, 400), max_size=20))
def test_messages_come_out_as_they_went_in_however_the_bytes_arrive(
    bodies: list[bytes], cuts: list[int]
) -> None:
    pieces = in_pieces(framed(bodies), cuts)
    assert list(messages(lambda size: next(pieces, b""))) == bodies


@given(st.binary(max_size=200))
def test_no_bytes_break_the_reader(data: bytes) -> None:
    pieces = iter([data])
    list(messages(lambda size: next(pieces, b"")))


@pytest.mark.skipif("os.name == 'nt'")
@given(st.text(st.characters(exclude_characters="\0", exclude_categories=["Cs"]), min_size=1, max_size=20))
def test_a_path_comes_back_from_its_uri(name: str) -> None:
    path = Path("/belt") / name.replace("/", "_")
    if path.name in (".", "..", ""):
        return
    assert path_of(uri_of(path)) == path


@pytest.mark.parametrize(
    ("uri", "path"),
    [
        # RFC 8089, appendix B, allows the host; and editors differ in what they encode.
        ("file:///belt/store.sv", "/belt/store.sv"),
        ("file://localhost/belt/store.sv", "/belt/store.sv"),
        ("FILE:///belt/gr%C3%BCn%20grain.sv", "/belt/grün grain.sv"),
        ("file:///belt/a;b.sv", "/belt/a;b.sv"),
        ("file:///belt/a?b.sv", "/belt/a?b.sv"),
        ("file:///belt/%23a.sv", "/belt/#a.sv"),
        ("untitled:Untitled-1", None),
        ("", None),
        ("file://[", None),
    ],
)
@pytest.mark.skipif("os.name == 'nt'")
def test_uris(uri: str, path: str | None) -> None:
    assert path_of(uri) == (Path(path) if path is not None else None)


LINES = st.lists(st.sampled_from(["a", "b", "", "words", "c"]), min_size=1, max_size=12)


@given(LINES, LINES)
def test_a_line_only_moves_to_a_line_with_its_text(before: list[str], after: list[str]) -> None:
    moved = moved_line(SourceText("x", "\n".join(before)), SourceText("x", "\n".join(after)))
    places = [moved(line) for line in range(len(before))]
    for line, place in enumerate(places):
        assert place is None or before[line] == after[place]
    kept = [place for place in places if place is not None]
    assert kept == sorted(set(kept))


@given(LINES, LINES, LINES, LINES)
def test_lines_around_an_edit_keep_their_hints(
    above: list[str], old: list[str], new: list[str], below: list[str]
) -> None:
    before, after = [*above, "old", *old, "old", *below], [*above, "new", *new, "new", *below]
    moved = moved_line(SourceText("x", "\n".join(before)), SourceText("x", "\n".join(after)))
    for line in range(len(above)):
        assert moved(line) == line
    for line in range(1, len(below) + 1):
        assert moved(len(before) - line) == len(after) - line


@pytest.mark.parametrize(
    ("offered", "chosen"),
    [
        (None, "utf-16"),
        ([], "utf-16"),
        (["utf-16"], "utf-16"),
        (["utf-7"], "utf-16"),
        (["utf-16", "utf-32"], "utf-32"),
        (["utf-32", "utf-16", "utf-8"], "utf-8"),
    ],
)
def test_the_encoding_is_one_that_is_offered(offered: list[str] | None, chosen: str) -> None:
    # UTF-16 where nothing else is agreed upon: LSP 3.17, "PositionEncodingKind".
    general = types.GeneralClientCapabilities(position_encodings=offered)
    capabilities = types.ClientCapabilities(general=general if offered is not None else None)
    assert client_of(types.InitializeParams(capabilities)).encoding == chosen


def opened(text: str, version: int = 1) -> Documents:
    documents = Documents()
    documents.open(types.TextDocumentItem("file:///belt/a.sv", "systemverilog", version, text))
    return documents


def test_an_editor_that_never_counts_is_followed() -> None:
    documents = opened("one", version=0)
    for text in ("two", "three"):
        document = documents.change(
            "file:///belt/a.sv", 0, [types.TextDocumentContentChangeWholeDocument(text)], Encoding.UTF_16
        )
        assert document is not None
        assert document.source.text == text


def test_every_state_of_a_document_is_told_from_every_other() -> None:
    documents = opened("one")
    stamps = set()
    for _ in range(3):
        document = documents.get("file:///belt/a.sv")
        assert document is not None
        stamps.add(document.stamp)
        documents.change("file:///belt/a.sv", 1, [], Encoding.UTF_16)
    documents.close("file:///belt/a.sv")
    stamps.add(documents.open(types.TextDocumentItem("file:///belt/a.sv", "verilog", 1, "one")).stamp)
    assert len(stamps) == 4


class Quiet:
    """As much of a server as messages need that nobody acts on."""

    name, version = "quiet", "0"

    def failed(self, where: str, error: Exception) -> None:
        raise AssertionError(where) from error


def test_a_notification_leaves_nothing_behind() -> None:
    wire = Wire(Quiet(), default_converter())
    wire.handlers = {**HANDLERS, types.SET_TRACE: lambda server, params: None}
    wire.stage = Stage.RUNNING
    body = json.dumps({"jsonrpc": "2.0", "method": "$/setTrace", "params": {"value": "off"}}).encode()
    for _ in range(50):
        wire.receive(body)
    gc.collect()
    before = len(gc.get_objects())
    for _ in range(2000):
        wire.receive(body)
    gc.collect()
    assert len(gc.get_objects()) - before < 200


JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(["hints", "blocks", "codeLens", "memlint", "findings"]), inner)
    ),
    max_leaves=8,
)


@given(JSON)
def test_no_settings_break_anything(settings: object) -> None:
    assert isinstance(preferences_of(section_of(settings)), Preferences)
    assert isinstance(preferences_of(settings), Preferences)


@given(st.text(st.sampled_from("ab1 _*`[]<>#&;~|!\\-+.()\"'x"), max_size=24))
def test_a_hover_in_markdown_reads_as_it_does_in_plain_text(said: str) -> None:
    """Rendered by a CommonMark library, nothing of a source text is taken for markup."""
    library = pytest.importorskip("markdown_it", reason="no CommonMark library: pip package markdown-it-py")
    said = " ".join(said.split())
    # Backquotes are ours: they enclose code, in pairs.
    said = said.replace("`", "") or "x"
    text = HoverText("words", (("Notes", (said,)),), Span("one.sv", 0, 1)).markdown()
    (item,) = (
        one for one in library.MarkdownIt("commonmark").parse(text) if one.type == "inline" and one.level > 1
    )
    assert "".join(child.content for child in item.children or ()) == said
    assert {child.type for child in item.children or ()} <= {"text", "text_special"}
