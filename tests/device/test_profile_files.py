"""Names that lead nowhere, files that cannot be read, files that are damaged."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from memlint.device.profile import ProfileError, builtin_names, load_profile

BOARD = """\
[device]
name = "board"
[[source]]
id = "invented"
title = "invented for the tests"
facts = ["tier.*"]
[[tier]]
name = "bulk"
role = "bulk"
block_bits = 327680
blocks = 96
splits = 2
unknown = ["ecc"]
[tier.modes.single]
shapes = [[8192, 40], [16384, 20, 1]]
half_shapes = [[4096, 40]]
enables = [[40, 10]]
[tier.chain]
longest = 16
modes = ["single"]
[[tier.columns]]
blocks = 16
count = 6
[[member]]
name = "large"
blocks = { bulk = 160 }
columns = { bulk = [[16, 10]] }
"""


def refusal(folder: Path, text: str) -> str:
    """What a person reads who loads this text as board.toml."""
    (folder / "board.toml").write_text(text, encoding="utf-8")
    with pytest.raises(ProfileError) as refused:
        load_profile("board.toml", folder)
    return str(refused.value)


def test_an_unknown_name_lists_the_built_in_ones_nearest_first() -> None:
    with pytest.raises(ProfileError) as refused:
        load_profile("sortr-m")
    text = str(refused.value)
    assert text.startswith('There is no device profile "sortr-m". Built in, nearest first: sorter-m, ')
    assert all(name in text for name in builtin_names())


def test_an_unknown_member_lists_the_members_nearest_first(tmp_path: Path) -> None:
    with pytest.raises(ProfileError, match=r'no member "sorter-x"\. Its members, nearest first: sorter-'):
        load_profile("sorter-m/sorter-x")
    (tmp_path / "plain.toml").write_text(BOARD[: BOARD.index("[[member]]")])
    with pytest.raises(ProfileError, match=r'The family board has no member "large"\. It lists no members\.'):
        load_profile("plain.toml/large", tmp_path)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(
        ProfileError, match=r"profile boards/none\.toml cannot be read: No such file or directory"
    ):
        load_profile("boards/none.toml", tmp_path)


def test_a_folder_is_no_profile(tmp_path: Path) -> None:
    (tmp_path / "folder.toml").mkdir()
    with pytest.raises(ProfileError, match=r"folder\.toml cannot be read"):
        load_profile("folder.toml", tmp_path)


def test_a_file_in_another_encoding_is_named_with_the_line(tmp_path: Path) -> None:
    (tmp_path / "board.toml").write_bytes(BOARD.replace("the tests", "die Prüfung").encode("latin-1"))
    with pytest.raises(ProfileError, match=r"^board\.toml:5: The file is not UTF-8\. Save it as UTF-8\.$"):
        load_profile("board.toml", tmp_path)


def test_an_unfinished_file_is_named_with_its_last_line(tmp_path: Path) -> None:
    assert refusal(tmp_path, 'extend = "sorter-m"\n[device]\nname = ').startswith(
        "board.toml:3: This is not TOML: "
    )


def test_endless_nesting_is_refused_not_a_crash(tmp_path: Path) -> None:
    assert "board.toml" in refusal(tmp_path, "a = " + "[" * 100_000)


@given(st.data())
def test_a_damaged_profile_loads_or_is_refused_but_never_crashes(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    start = data.draw(st.integers(0, len(BOARD)))
    end = data.draw(st.integers(start, min(len(BOARD), start + 40)))
    piece = data.draw(
        st.sampled_from(["", "[", "]]", "[[tier]]\n", '"', "= 0\n", "-1", "{}", "[]", "#", "tier = 5\n"])
    )
    folder = tmp_path_factory.mktemp("damaged")
    (folder / "board.toml").write_text(BOARD[:start] + piece + BOARD[end:])
    try:
        device = load_profile("board.toml", folder)
    except ProfileError as refused:
        assert all(problem.remedy for problem in refused.problems)
    else:
        assert device.sources
