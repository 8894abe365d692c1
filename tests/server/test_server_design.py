"""What an editor shows of a whole design: lenses, outlines, hierarchies, and where names lead."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from belt_design import STORE, TOP, write_design
from belt_sources import REJECT_COUNT
from lsp_editor import Editor
from lsprotocol import types

import memlint.device

pytestmark = pytest.mark.asyncio(loop_scope="session")

PROFILE = Path(memlint.device.__file__).parent / "profiles" / "sorter-m.toml"


def identity(path: Path) -> types.TextDocumentIdentifier:
    return types.TextDocumentIdentifier(path.as_uri())


async def lenses(editor: Editor, path: Path) -> dict[int, str]:
    found = await editor.ask(types.TEXT_DOCUMENT_CODE_LENS, types.CodeLensParams(identity(path)))
    return {one.range.start.line + 1: one.command.title for one in found or ()}


async def test_lenses_of_units_and_instances(modern: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    modern.open(top)
    modern.open(store)
    # By hand: 8,192 x 40 is one block of bulk, 16,384 two, and the plan of 2,048 words one more: 4 of 3.
    assert await lenses(modern, top) == {1: "4 of 3 bulk", 5: "1 bulk", 7: "2 bulk"}
    assert await lenses(modern, store) == {1: "1 to 2 bulk · in each of 2 instances"}
    modern.replace(top, ("WORDS(16384)", "WORDS(24576)"))
    assert (await lenses(modern, top))[7] == "3 bulk"


async def test_lenses_follow_a_change_elsewhere(modern: Editor, belt: Path) -> None:
    """The top has no memory of its own, so none of its hints changes with the store."""
    top, store = write_design(belt)
    top.write_text("\n".join(line for line in TOP.splitlines() if "plan" not in line))
    modern.open(top)
    modern.open(store)
    assert (await lenses(modern, top))[1] == "3 of 3 bulk"
    before = modern.lens_refreshes
    # Half of the words: one block, and two of them in half.
    modern.replace(store, ("[0:WORDS-1]", "[0:WORDS/2-1]"))
    await modern.until(lambda: modern.lens_refreshes > before)
    assert (await lenses(modern, top))[1] == "2 of 3 bulk"


async def test_a_unit_that_no_top_reaches_says_so(modern: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    (belt / "memlint.toml").write_text('device = "sorter-m"\nsources = ["rtl/*.sv"]\ntop = "belt_top"\n')
    spare = belt / "rtl" / "spare_store.sv"
    spare.write_text(STORE.replace("module line_store", "module spare_store"))
    modern.open(spare)
    # At its default of 65,536 words: eight blocks of 8,192.
    assert (await modern.hints(spare))[8].endswith("at default parameters")
    assert "belt_top" in (await lenses(modern, spare))[1]
    hover = await modern.hover(spare, "words [0")
    assert hover is not None and "not below the top" in hover.contents.value  # type: ignore[union-attr]
    modern.open(store)
    assert "default" not in (await modern.hints(store))[8]
    assert top.exists()


async def test_a_file_in_no_sources_says_so(modern: Editor, belt: Path) -> None:
    write_design(belt)
    spare = belt / "spare_store.sv"
    spare.write_text(STORE.replace("module line_store", "module spare_store"))
    modern.open(spare)
    assert "in no project's sources" in (await lenses(modern, spare))[1]
    hover = await modern.hover(spare, "words [0")
    assert hover is not None and "in no project's sources" in hover.contents.value  # type: ignore[union-attr]


async def test_outlines(modern: Editor, editor: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    params = types.DocumentSymbolParams(identity(store))
    modern.open(store)
    (unit,) = await modern.ask(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, params)
    (memory,) = unit.children
    assert (unit.name, memory.name) == ("line_store", "words")
    assert memory.detail.startswith("2 x 1 to 2 = 3 bulk")
    assert modern.covered(store, memory.selection_range) == "words"
    for inner, outer in ((memory.selection_range, memory.range), (memory.range, unit.range)):
        assert outer.start <= inner.start and inner.end <= outer.end
    editor.open(store)
    flat = await editor.ask(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, params)
    assert [(one.name, one.container_name) for one in flat] == [("line_store", None), ("words", "line_store")]
    # A planned memory is one as well.
    modern.open(top)
    (unit,) = await modern.ask(types.TEXT_DOCUMENT_DOCUMENT_SYMBOL, types.DocumentSymbolParams(identity(top)))
    assert [one.name for one in unit.children] == ["trend"]


async def test_memories_are_found_by_letters_of_their_path(modern: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    modern.open(top)

    async def search(query: str) -> list[tuple[str, str, str]]:
        found = await modern.ask(types.WORKSPACE_SYMBOL, types.WorkspaceSymbolParams(query))
        return [(one.name.partition(":")[0], one.container_name, one.location.uri) for one in found]

    assert await search("longwords") == [("words", "belt_top.u_long", store.as_uri())]
    assert {name for name, _, _ in await search("")} == {"words", "trend"}
    assert not await search("nowhere")


async def places(editor: Editor, path: Path, marked: str, into: int = 0) -> list[tuple[str, int, int]]:
    """Definitions, as file name, line from 1 and column from 0."""
    params = types.DefinitionParams(**editor.at(path, marked, into))
    found = await editor.ask(types.TEXT_DOCUMENT_DEFINITION, params)
    return [shown(one) for one in found or ()]


def shown(place: types.Location) -> tuple[str, int, int]:
    return place.uri.rpartition("/")[2], place.range.start.line + 1, place.range.start.character


async def test_definitions(modern: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    modern.open(top)
    modern.open(store)
    line = next(
        number
        for number, text in enumerate(PROFILE.read_text().splitlines(), start=1)
        if text.replace(" ", "").startswith('name="bulk"')
    )
    assert await places(modern, store, "bulk;") == [("sorter-m.toml", line, 0)]
    assert await places(modern, store, "proc_clk; read") == [("line_store.sv", 2, 33)]
    assert await places(modern, top, "words: in") == [("line_store.sv", 8, 17)]
    assert await places(modern, top, "clocks c", len("clocks ")) == [("belt_top.sv", 1, 29)]
    assert not await places(modern, top, "module belt_top", 8)


async def test_references(modern: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    modern.open(top)
    modern.open(store)

    async def uses(path: Path, marked: str, declaration: bool = False) -> list[tuple[str, int]]:
        params = types.ReferenceParams(types.ReferenceContext(declaration), **modern.at(path, marked))
        found = await modern.ask(types.TEXT_DOCUMENT_REFERENCES, params)
        return sorted({shown(one)[:2] for one in found or ()})

    assert await uses(store, "bulk;") == [
        ("belt_top.sv", 2), ("belt_top.sv", 3), ("belt_top.sv", 6), ("line_store.sv", 7)
    ]  # fmt: skip
    assert await uses(store, "proc_clk; read") == [("line_store.sv", 7), ("line_store.sv", 10)]
    assert ("line_store.sv", 2) in await uses(store, "proc_clk; read", declaration=True)
    # The array: declared, written, read, and what speaks for it.
    assert await uses(store, "words [0") == [
        ("belt_top.sv", 6), ("line_store.sv", 7), ("line_store.sv", 8), ("line_store.sv", 9), ("line_store.sv", 10)
    ]  # fmt: skip


async def test_links_lead_to_files_that_are_there(modern: Editor, belt: Path) -> None:
    from memlint.server.places import path_of

    _, store = write_design(belt)
    modern.open(store)
    found = await modern.ask(types.TEXT_DOCUMENT_DOCUMENT_LINK, types.DocumentLinkParams(identity(store)))
    covered = {modern.covered(store, one.range): one.target for one in found}
    assert set(covered) == {"bulk", "shallow-wide"}
    for target in covered.values():
        path = path_of(target.partition("#")[0])
        assert path is not None and path.is_file()
    from memlint.rules.base import rule_named
    from memlint.rules.docs import documentation

    rule = rule_named("shallow-wide")
    assert rule is not None
    page = Path(path_of(covered["shallow-wide"]) or "").read_text(encoding="utf-8")
    assert page.startswith("# shallow-wide\n") and documentation(rule).why in page


async def test_who_instantiates_whom(modern: Editor, belt: Path) -> None:
    top, store = write_design(belt)
    modern.open(top)
    params = types.CallHierarchyPrepareParams(**modern.at(top, "u_long"))
    (item,) = await modern.ask(types.TEXT_DOCUMENT_PREPARE_CALL_HIERARCHY, params)
    assert (item.name, item.uri) == ("line_store", store.as_uri())
    # One block and two.
    assert item.detail == "2 x together 3 bulk"
    calls = types.CallHierarchyIncomingCallsParams(item)
    (caller,) = await modern.ask(types.CALL_HIERARCHY_INCOMING_CALLS, calls)
    assert caller.from_.name == "belt_top" and caller.from_.detail == "4 bulk"
    assert [modern.covered(top, place) for place in caller.from_ranges] == ["u_short", "u_long"]
    again = types.CallHierarchyOutgoingCallsParams(caller.from_)
    (called,) = await modern.ask(types.CALL_HIERARCHY_OUTGOING_CALLS, again)
    assert called.to.name == "line_store" and len(called.from_ranges) == 2


@pytest.mark.parametrize(
    ("marked", "parts"),
    [
        ("in bulk; clocks c", ["The tier", "96 blocks of 327,680 bits", "belt_top.u_long.words"]),
        # 2,048 x 40 bits.
        ("shape 2 * 1024", ["Words times bits", "81,920 bits"]),
        ("budget bulk", ["most blocks", "4 of 3 bulk"]),
        ("plan trend", ["no RTL yet"]),
        ("clocks c", ["c is belt_top.c"]),
        ("words: in", ["dotted path", "belt_top.u_long.words"]),
    ],
)
async def test_hover_on_a_clause(editor: Editor, belt: Path, marked: str, parts: list[str]) -> None:
    top, _ = write_design(belt)
    editor.open(top)
    hover = await editor.hover(top, marked, 1)
    assert hover is not None and isinstance(hover.contents, types.MarkupContent)
    for part in parts:
        assert part in hover.contents.value, hover.contents.value


@pytest.mark.parametrize("marked", ["@mem on words", "// @mem on words"])
async def test_hover_on_the_marker_says_for_what_an_intent_speaks(
    editor: Editor, belt: Path, marked: str
) -> None:
    top, _ = write_design(belt)
    editor.open(top)
    hover = await editor.hover(top, marked, 1)
    assert hover is not None and isinstance(hover.contents, types.MarkupContent)
    assert "Speaks for" in hover.contents.value and "belt_top.u_long.words: 2 bulk" in hover.contents.value


async def test_hover_on_an_acceptance_explains_the_rule(editor: Editor, belt: Path) -> None:
    from memlint.rules.base import rule_named
    from memlint.rules.docs import documentation

    _, store = write_design(belt)
    editor.open(store)
    hover = await editor.hover(store, "accept", 1)
    rule = rule_named("shallow-wide")
    assert rule is not None and hover is not None and isinstance(hover.contents, types.MarkupContent)
    assert documentation(rule).summary.replace("`", "") in hover.contents.value


async def test_instances_with_other_shapes_are_listed(editor: Editor, belt: Path) -> None:
    _, store = write_design(belt)
    editor.open(store)
    hover = await editor.hover(store, "words [0")
    assert hover is not None and isinstance(hover.contents, types.MarkupContent)
    assert "belt_top.u_short.words: 8,192 x 40: 1 bulk" in hover.contents.value


async def command(editor: Editor, name: str, *arguments: Any) -> Any:
    params = types.ExecuteCommandParams(name, arguments=list(arguments))
    return await editor.ask(types.WORKSPACE_EXECUTE_COMMAND, params)


async def test_which_configuration(modern: Editor, belt: Path, tmp_path: Path) -> None:
    top, _ = write_design(belt)
    (belt / "memlint.toml").write_text(
        'device = "sorter-m/sorter-l"\nsources = ["rtl/*.sv"]\ntop = "belt_top"\n'
    )
    modern.open(top)
    said = await command(modern, "memlint.whichConfiguration", top.as_uri())
    assert (said["configuration"], said["top"]) == (str(belt / "memlint.toml"), "belt_top")
    assert said["device"] == "sorter-m/sorter-l"
    # One block for 8,192 words, two for 16,384, one for the plan; the profile's member has 160.
    assert said["fill"] == [{"root": "belt_top", "tier": "bulk", "blocks": 4, "of": 160}]
    assert "4 of 160 bulk" in said["message"]
    modern.open_uri("untitled:note", TOP)
    said = await command(modern, "memlint.whichConfiguration", "untitled:note")
    assert said["configuration"] is None and "no memlint.toml" in said["message"]
    # An editor asks as often as it likes: nothing pops up.
    assert not [one for one in modern.shown if "judged by" in one]
    for name, arguments in (
        ("memlint.no", [top.as_uri()]),
        ("memlint.overview", [7]),
        ("memlint.overview", ["x:y"]),
    ):
        with pytest.raises(Exception, match=r"memlint\.no|takes the URI|not open"):
            await command(modern, name, *arguments)


async def test_a_command_without_a_document_is_about_the_newest(modern: Editor, belt: Path) -> None:
    """How users type it in an editor that knows no more of commands than to send them: they see the answer."""
    top, store = write_design(belt)
    for name in ("memlint.whichConfiguration", "memlint.overview"):
        with pytest.raises(Exception, match="none is open"):
            await command(modern, name)
    modern.open(top)
    modern.open(store)
    said = await command(modern, "memlint.whichConfiguration")
    assert said["message"].startswith("line_store.sv is judged by")
    await modern.until(lambda: said["message"] in modern.shown)
    modern.replace(top, ("u_long", "u_longer"))
    said = await command(modern, "memlint.whichConfiguration")
    assert said["message"].startswith("belt_top.sv is judged by")


async def test_half_blocks_are_told_as_they_are(modern: Editor, belt: Path) -> None:
    """256 x 24 in `block` of sorter-m takes half a block (its profile: half_shapes)."""
    count = belt / "rtl" / "reject_count.sv"
    (belt / "rtl" / "line_store.sv").unlink()
    modern.open(count, REJECT_COUNT.replace("[0:1023]", "[0:511]"))
    said = await command(modern, "memlint.whichConfiguration", count.as_uri())
    (fill,) = said["fill"]
    assert (fill["tier"], fill["blocks"]) == ("block", 0.5)


async def test_the_overview_is_a_page_that_is_shown(modern: Editor, belt: Path) -> None:
    from memlint.server.places import path_of

    top, _ = write_design(belt)
    modern.open(top)
    page = (await command(modern, "memlint.overview", top.as_uri()))["uri"]
    path = path_of(page)
    assert path is not None and "u_long" in path.read_text(encoding="utf-8")
    await modern.until(lambda: page in modern.shown)
