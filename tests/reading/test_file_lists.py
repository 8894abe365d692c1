"""File lists. Their options are common practice, no source."""

from __future__ import annotations

from collections.abc import Mapping

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memlint.reading.file_lists import FileList, read_file_list


def read(text: str, lists: Mapping[str, str] | None = None, missing: str = "", **environ: str) -> FileList:
    """The list `build/sorter.f` with this text; all sources exist but `missing`."""
    every = {"build/sorter.f": text, **(lists or {})}
    return read_file_list("build/sorter.f", every.get, environ, lambda path: path != missing)


def files(found: FileList) -> list[str]:
    assert [problem.message for problem in found.problems] == []
    return [listed.text for listed in found.files]


def only_problem(found: FileList, text: str) -> tuple[str, str]:
    """The message of the one problem and the word it points at."""
    assert len(found.problems) == 1
    problem = found.problems[0]
    assert problem.span.file == "build/sorter.f"
    assert problem.help
    return problem.message, text[problem.span.start : problem.span.end]


def test_sources_are_relative_to_the_project_root_in_order_and_once() -> None:
    found = read("rtl/a.v\n  rtl/sub/../b.sv rtl\\c.v\nrtl/a.v\n/abs/d.v C:\\e.v")
    assert files(found) == ["rtl/a.v", "rtl/b.sv", "rtl/c.v", "/abs/d.v", "C:/e.v"]


def test_each_source_knows_the_place_that_lists_it() -> None:
    text = "rtl/a.v // first\nrtl/b.v"
    spans = [text[listed.span.start : listed.span.end] for listed in read(text).files]
    assert spans == ["rtl/a.v", "rtl/b.v"]


@pytest.mark.parametrize(
    "text",
    [
        "a.v // x.v\nb.v",
        "a.v # x.v\r\nb.v",
        "/* x.v\n y.v */ a.v /**/ b.v",
        "// x.v\ra.v\rb.v",
        "a.v \\\n b.v /* never closed x.v",
        "\"a.v\" 'b.v'",
    ],
)
def test_comments_and_quotes(text: str) -> None:
    assert files(read(text)) == ["a.v", "b.v"]


def test_a_comment_starts_only_where_a_word_could() -> None:
    assert files(read("rtl//a.v rtl/x#1.v 'my rtl/c.v' \"d e.v\"")) == [
        "rtl/a.v",
        "rtl/x#1.v",
        "my rtl/c.v",
        "d e.v",
    ]


def test_include_folders_macros_and_libraries() -> None:
    text = """+incdir+rtl/include+sim
+define+LANES=4+FAST+NAME=\\"sorter\\"+NOTE="a+b"
+define+LANES=8
-y lib -v cells.v +libext+.v+.sv +incdir+sim
"""
    found = read(text)
    assert files(found) == []
    assert found.include_dirs == ("rtl/include", "sim")
    assert found.defines == {"LANES": "8", "FAST": "1", "NAME": '"sorter"', "NOTE": "a+b"}
    assert found.libraries == ("lib",)
    assert [listed.text for listed in found.library_files] == ["cells.v"]
    assert found.extensions == (".v", ".sv")


def test_lists_named_with_f_are_relative_to_the_root_with_capital_f_to_themselves() -> None:
    lists = {
        "ip/rows.f": "rtl/rows.v -F deep/more.f +incdir+inc",
        "ip/deep/more.f": "more.v ../up.v -f flat.f",
        "ip/deep/flat.f": "flat.v",
        "ip/root.f": "rtl/root.v",
    }
    found = read("a.v -F ip/rows.f\n-f ip/root.f b.v", lists)
    assert files(found) == [
        "a.v",
        "ip/rtl/rows.v",
        "ip/deep/more.v",
        "ip/up.v",
        "flat.v",
        "rtl/root.v",
        "b.v",
    ]
    assert found.include_dirs == ("ip/inc",)
    assert found.files[1].span.file == "ip/rows.f"


def test_environment_variables_in_their_three_spellings() -> None:
    found = read("$RTL/a.v ${RTL}/b.v $(RTL)_2/c.v +incdir+$RTL", RTL="src/rtl")
    assert files(found) == ["src/rtl/a.v", "src/rtl/b.v", "src/rtl_2/c.v"]
    assert found.include_dirs == ("src/rtl",)


def test_a_variable_not_set_is_reported_and_its_entry_left_out() -> None:
    text = "a.v $RTL/b.v"
    found = read(text)
    message, where = only_problem(found, text)
    assert "RTL is not set" in message
    assert where == "$RTL/b.v"
    assert [listed.text for listed in found.files] == ["a.v"]


@pytest.mark.parametrize(
    ("text", "expected", "where"),
    [
        ("a.v\nrtl/gone.v", "rtl/gone.v is not found", "rtl/gone.v"),
        ("-v rtl/gone.v", "rtl/gone.v is not found", "rtl/gone.v"),
        ("a.v -f none.f", "file list none.f is not found", "none.f"),
        ("a.v -f", "-f names nothing", "-f"),
        ("+incdir+", "+incdir+ names nothing", "+incdir+"),
        ("+define+=4", "no macro", "+define+=4"),
        ("-f build/sorter.f", "in a loop: build/sorter.f, which names build/sorter.f", "build/sorter.f"),
    ],
)
def test_what_is_missing_is_reported_where_it_is_named(text: str, expected: str, where: str) -> None:
    message, at = only_problem(read(text, missing="rtl/gone.v"), text)
    assert expected in message
    assert at == where


def test_a_missing_list_is_reported_when_it_is_the_first() -> None:
    found = read_file_list("none.f", lambda _: None, {}, lambda _: True)
    assert [problem.span.file for problem in found.problems] == ["none.f"]


def test_a_loop_through_other_lists_is_reported_and_the_rest_is_read() -> None:
    found = read("-f b.f c.v", {"b.f": "-f build/sorter.f b.v"})
    assert len(found.problems) == 1
    assert "build/sorter.f, which names b.f, which names build/sorter.f" in found.problems[0].message
    assert found.problems[0].span.file == "b.f"
    assert [listed.text for listed in found.files] == ["b.v", "c.v"]


def test_a_list_may_be_named_twice() -> None:
    assert files(read("-f b.f -f b.f", {"b.f": "b.v"})) == ["b.v"]


def test_lists_without_bound_are_stopped() -> None:
    deep = {f"{at}.f": f"-f {at + 1}.f {at}.v" for at in range(300)}
    assert "more than 64 deep" in read("-f 0.f", deep).problems[0].message
    wide = {f"{at}.f": f"-f {at + 1}.f -f {at + 1}.f" for at in range(60)} | {"60.f": "a.v"}
    assert "more than 1000 file lists" in read("-f 0.f", wide).problems[0].message


def test_options_nobody_here_knows_are_noted_with_their_values() -> None:
    found = read("-top sorter -quiet\na.v -work lib +vhdl93+x b.v -c c.v")
    assert files(found) == ["a.v", "b.v", "c.v"]
    assert [listed.text for listed in found.ignored] == [
        "-top sorter",
        "-quiet",
        "-work lib",
        "+vhdl93+x",
        "-c",
    ]


@given(st.text(st.sampled_from("ab.v/\\\"'+-fFy=#*$({}) \t\r\nincdrel"), max_size=50))
def test_any_text_is_read_without_failing(text: str) -> None:
    found = read(text, {"a": text})
    for listed in (*found.files, *found.library_files, *found.ignored):
        assert 0 <= listed.span.start < listed.span.end <= len(text)
