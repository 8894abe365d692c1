"""The line scanner finds every key the standard TOML parser finds, on the line where it was written."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from memlint.device.lines import line_map, line_of

SAMPLE = '''\
# a comment with [brackets] and key = "value"
extend = "sorter-m"   # line 2

[device]
name = """
three lines # no comment
[not.a.table]"""
target_mhz = 200      # line 8

[[source]]
id = 'invented'
facts = [             # line 12
  "a.*",  # ]
  'b # "c"',
]
"quoted key".'inner key' = { x = 1, y = [1, 2] }

[[tier]]
name = "block"
[tier.modes.single]
shapes = [[1024, 16], [2048, 8]]
[[tier.columns]]
blocks = 4
[[tier.columns]]
blocks = 5
[[tier]]              # line 26
name = "bulk"
modes.rom.reads = 2
when = 1979-05-27 07:32:00Z
[[tier.columns]]
blocks = 6
'''


def paths_of(value: Any, prefix: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every key and element path in parsed TOML."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, part in inner:
        yield (*prefix, step)
        yield from paths_of(part, (*prefix, step))


def test_lines_of_a_written_sample() -> None:
    lines = line_map(SAMPLE)
    assert lines["extend",] == 2
    assert lines["device",] == 4
    assert lines["device", "name"] == 5
    assert lines["device", "target_mhz"] == 8
    assert lines["source", 0] == 10
    assert lines["source", 0, "facts", 0] == 13
    assert lines["source", 0, "facts", 1] == 14
    assert lines["source", 0, "quoted key", "inner key", "y", 1] == 16
    assert lines["tier", 0, "modes", "single"] == 20
    assert lines["tier", 0, "modes", "single", "shapes", 1, 0] == 21
    assert lines["tier", 0, "columns", 1, "blocks"] == 25
    assert lines["tier", 1] == 26
    assert lines["tier", 1, "modes", "rom", "reads"] == 28
    assert lines["tier", 1, "columns", 0] == 30


def test_a_sample_yields_the_keys_the_standard_parser_yields() -> None:
    assert set(line_map(SAMPLE)) == set(paths_of(tomllib.loads(SAMPLE)))


def test_line_endings_of_another_system_change_nothing() -> None:
    assert line_map(SAMPLE.replace("\n", "\r\n")) == line_map(SAMPLE)


def test_the_nearest_written_ancestor_stands_in_for_a_missing_key() -> None:
    lines = line_map(SAMPLE)
    assert line_of(lines, ("tier", 1, "role")) == (2, 26)
    assert line_of(lines, ("member", 0)) == (0, None)


# A document is drawn as pieces whose lines are counted while they are written: nothing is parsed back.
KEYS = st.text("abcxyz_-09", min_size=1, max_size=4)
SCALARS = st.one_of(
    st.integers(-99, 99).map(str),
    st.sampled_from(["true", "1.5e3", "1979-05-27", "07:32:00", '"plain"', "'literal # ]'"]),
    st.sampled_from(
        ['"esc \\" ] # \\\\"', '"""two\n"quoted" # lines"""', "'''it''s\n]\n'''", '""""x"""""', '""']
    ),
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(KEYS, inner.filter(lambda value: "\n" not in str(value)), max_size=3),
    ),
    max_leaves=8,
)
TABLES = st.lists(
    st.tuples(st.sampled_from(["table", "array"]), KEYS, st.dictionaries(KEYS, VALUES, max_size=4)),
    max_size=5,
)


class Writer:
    """Writes TOML and notes the line of each key at the moment it writes it."""

    def __init__(self) -> None:
        self.text = ""
        self.lines: dict[tuple[str | int, ...], int] = {}

    def note(self, path: tuple[str | int, ...]) -> None:
        self.lines.setdefault(path, self.text.count("\n") + 1)

    def value(self, value: Any, path: tuple[str | int, ...], *, one_line: bool) -> None:
        gap = " " if one_line else '\n  # ] } = "\n  '
        match value:
            case list():
                self.text += "["
                for index, element in enumerate(value):
                    self.text += gap
                    self.note((*path, index))
                    self.value(element, (*path, index), one_line=one_line)
                    self.text += " ,"
                self.text += gap + "]"
            case dict():
                self.text += "{"
                for number, (key, inner) in enumerate(value.items()):
                    self.text += ", " if number else " "
                    self.note((*path, key))
                    self.text += f"{key} = "
                    self.value(inner, (*path, key), one_line=True)
                self.text += " }"
            case _:
                self.text += value

    def pairs(self, table: dict[str, Any], prefix: tuple[str | int, ...]) -> None:
        for key, value in table.items():
            self.note((*prefix, key))
            self.text += f"{key}\t= "
            self.value(value, (*prefix, key), one_line=False)
            self.text += "  # = [x]\n\n"


@given(st.dictionaries(KEYS, VALUES, max_size=3), TABLES)
def test_lines_of_any_written_document(
    top: dict[str, Any], tables: list[tuple[str, str, dict[str, Any]]]
) -> None:
    writer = Writer()
    writer.pairs(top, ())
    kinds: dict[str, str] = dict.fromkeys(top, "value")
    counts: dict[str, int] = {}
    for kind, name, table in tables:
        if kinds.setdefault(name, kind) != kind or (kind == "table" and name in counts):
            continue  # TOML lets a name be one kind only, a table only once
        counts[name] = counts.get(name, 0) + 1
        writer.note((name,))
        prefix: tuple[str | int, ...] = (name,)
        if kind == "array":
            prefix = (name, counts[name] - 1)
            writer.note(prefix)
        writer.text += f"[[ {name} ]]\n" if kind == "array" else f"[{name}] # [[x]]\n"
        writer.pairs(table, prefix)
    tomllib.loads(writer.text)
    assert line_map(writer.text) == writer.lines
