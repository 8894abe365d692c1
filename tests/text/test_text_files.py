"""What is read from a user's disk, and what is refused with a reason instead."""

import os
import sys
from pathlib import Path

import pytest

from memlint.text.files import FileTooLargeError, read_file

LIMIT = 33_554_432  # 32 MiB: 32 x 2^20 bytes (IEC 80000-13)


def test_a_file_and_a_link_to_it_give_its_bytes(tmp_path: Path) -> None:
    belt = tmp_path / "belt.sv"
    belt.write_bytes(b"// \xe9jecteur\r\n")
    link = tmp_path / "link.sv"
    link.symlink_to(belt)
    assert read_file(belt) == read_file(str(link)) == b"// \xe9jecteur\r\n"


def test_a_file_of_the_greatest_size_is_read_whole(tmp_path: Path) -> None:
    dump = tmp_path / "dump.v"
    with dump.open("wb") as file:
        file.truncate(LIMIT)
    assert len(read_file(dump)) == LIMIT


def test_a_byte_more_is_refused_with_both_numbers(tmp_path: Path) -> None:
    dump = tmp_path / "dump.v"
    with dump.open("wb") as file:
        file.truncate(LIMIT + 1)
    with pytest.raises(FileTooLargeError, match="it has 33,554,433 bytes, the most is 33,554,432") as raised:
        read_file(dump)
    assert raised.value.filename == str(dump)


@pytest.mark.skipif(sys.platform == "win32", reason="has no named pipes in folders")
def test_a_pipe_that_nobody_writes_to_is_refused_at_once(tmp_path: Path) -> None:
    pipe = tmp_path / "belt.sv"
    os.mkfifo(pipe)
    with pytest.raises(OSError, match="it is no regular file") as raised:
        read_file(pipe)
    assert raised.value.filename == str(pipe)


def test_what_is_not_there_is_said_by_the_system(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        read_file(tmp_path / "absent.sv")
