"""Files are written back whole, with the encoding, the line ends and the permissions they had."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from memlint.engine.rewriting import encoded, rewrite
from memlint.engine.settings import ProjectError
from memlint.text.source import decode


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (b"// 4K\r\n// \xc3\xa9\r\n", b"// 8K\r\n// \xc3\xa9\r\n"),
        (b"\xef\xbb\xbf// 4K\n", b"\xef\xbb\xbf// 8K\n"),
        (b"// 4K \xe9t\xe9\n", b"// 8K \xe9t\xe9\n"),
        (b"// 4K\r// no line end", b"// 8K\r// no line end"),
    ],
)
def test_only_the_changed_bytes_change(tmp_path: Path, before: bytes, after: bytes) -> None:
    file = tmp_path / "a.sv"
    file.write_bytes(before)
    text = decode(before)
    rewrite(file, text, text.replace("4K", "8K"))
    assert file.read_bytes() == after
    assert os.listdir(tmp_path) == ["a.sv"]


def test_latin_1_that_would_be_taken_for_utf_8_becomes_utf_8() -> None:
    # The two letters are a UTF-8 sequence; only the third byte showed that the file was Latin-1.
    assert decode(encoded("Ã©", b"\xc3\xa9\xe9")) == "Ã©"


def test_a_file_that_changed_meanwhile_is_left_alone(tmp_path: Path) -> None:
    file = tmp_path / "a.sv"
    file.write_bytes(b"// new\n")
    with pytest.raises(ProjectError, match="has changed since"):
        rewrite(file, "// old\n", "// mine\n")
    assert file.read_bytes() == b"// new\n"


def test_a_character_the_encoding_lacks_is_refused(tmp_path: Path) -> None:
    file = tmp_path / "a.sv"
    file.write_bytes(b"// \xe9\n")
    with pytest.raises(ProjectError, match="UTF-8"):
        rewrite(file, "// é\n", "// 粒é\n")
    assert file.read_bytes() == b"// \xe9\n"


@pytest.mark.skipif(os.name == "nt", reason="permissions and links of this kind are POSIX's")
def test_permissions_and_links_stay(tmp_path: Path) -> None:
    file, link = tmp_path / "a.sv", tmp_path / "b.sv"
    file.write_bytes(b"x\n")
    file.chmod(0o640)
    link.symlink_to(file)
    rewrite(link, "x\n", "y\n")
    assert file.read_bytes() == b"y\n"
    assert link.is_symlink()
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


def test_a_folder_that_cannot_be_written_is_a_clear_error(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = tmp_path / "a.sv"
    file.write_bytes(b"x\n")

    def refused(*_: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("os.replace", refused)
    with pytest.raises(ProjectError, match=r"a\.sv: the file cannot be written: Permission denied"):
        rewrite(file, "x\n", "y\n")
    assert os.listdir(tmp_path) == ["a.sv"]
