"""Entries on disk: a damaged, foreign or half-written one is not there; nothing that goes wrong is an error."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from killed_runs import killed_runs, killed_writers
from runs import CommandLine

from memlint.engine.cache import store as storing
from memlint.engine.cache.packing import pack, unpack
from memlint.engine.cache.store import Store

KEY = b"the run"


def the_entry(folder: Path) -> Path:
    [entry] = folder.glob("*.entry")
    return entry


@given(st.lists(st.binary(max_size=40)))
def test_what_is_packed_is_unpacked(parts: list[bytes]) -> None:
    assert unpack(pack(parts)) == parts


@given(st.binary(max_size=60))
def test_any_bytes_are_a_list_or_refused(data: bytes) -> None:
    try:
        parts = unpack(data)
    except ValueError:
        return
    assert unpack(pack(parts)) == parts


def test_every_byte_counts(tmp_path: Path) -> None:
    store = Store(str(tmp_path))
    assert store.put(KEY, b"what it said")
    entry = the_entry(tmp_path)
    whole = entry.read_bytes()
    for at in range(len(whole)):
        for flipped in (whole[at] ^ 1, whole[at] ^ 0x80):
            entry.write_bytes(whole[:at] + bytes([flipped]) + whole[at + 1 :])
            assert store.get(KEY) is None
        entry.write_bytes(whole[:at])
        assert store.get(KEY) is None
    entry.write_bytes(whole + b"\0")
    assert store.get(KEY) is None
    entry.write_bytes(whole)
    assert store.get(KEY) == b"what it said"


def test_an_entry_in_another_s_place_is_none(tmp_path: Path) -> None:
    store = Store(str(tmp_path))
    store.put(KEY, b"what it said")
    whole = the_entry(tmp_path).read_bytes()
    store.put(b"another run", b"something else")
    for entry in tmp_path.glob("*.entry"):
        entry.write_bytes(whole)
    assert store.get(b"another run") is None
    assert store.get(KEY) == b"what it said"


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="this system does not know whose a file is")
def test_somebody_else_s_entry_is_none(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    store = Store(str(tmp_path))
    store.put(KEY, b"what it said")
    mine = os.getuid()
    monkeypatch.setattr(storing.os, "getuid", lambda: mine + 1)
    assert store.get(KEY) is None


def test_a_run_survives_every_damaged_byte(memlint: CommandLine, cache: Path) -> None:
    right = memlint("check", "--no-cache").answer
    memlint("check")
    entry = the_entry(cache)
    whole = entry.read_bytes()
    for at in range(0, len(whole), max(1, len(whole) // 40)):
        entry.write_bytes(whole[:at] + bytes([whole[at] ^ 0x55]) + whole[at + 1 :])
        ran = memlint("check")
        assert not ran.from_cache
        assert ran.answer == right


def test_the_longest_unused_go_first(tmp_path: Path) -> None:
    store = Store(str(tmp_path), most_bytes=10_000)
    for at in range(9):
        store.put(b"%d" % at, bytes(1000))
        for entry in tmp_path.glob("*.entry"):
            status = entry.stat()
            os.utime(entry, (status.st_atime - 10, status.st_mtime - 10))
    assert store.get(b"0") is not None  # used just now
    store.put(b"one more", bytes(1000))
    assert sum(entry.stat().st_size for entry in tmp_path.iterdir()) <= 7_500
    assert store.get(b"0") is not None
    assert store.get(b"one more") is not None
    assert store.get(b"1") is None


def test_what_a_killed_run_left_goes_after_an_hour(tmp_path: Path) -> None:
    old, new = tmp_path / "a.entry.1-1.tmp", tmp_path / "b.entry.2-2.tmp"
    for file in (old, new):
        file.write_bytes(b"half")
    status = old.stat()
    os.utime(old, (status.st_atime, status.st_mtime - 3601))
    Store(str(tmp_path)).put(KEY, b"")
    assert not old.exists()
    assert new.exists()


class FullDisk:
    """A file that takes `room` bytes and then says that the disk is full."""

    def __init__(self, file: object, room: int) -> None:
        self.file, self.room = file, room

    def __enter__(self) -> FullDisk:
        return self

    def __exit__(self, *_: object) -> None:
        self.file.close()  # type: ignore[attr-defined]

    def write(self, data: bytes) -> None:
        self.file.write(data[: self.room])  # type: ignore[attr-defined]
        raise OSError(errno.ENOSPC, "No space left on device")


def full_disk(path: str, mode: str) -> object:
    file = open(path, mode)  # noqa: SIM115
    return FullDisk(file, 40) if "x" in mode else file


@pytest.mark.parametrize("step", ["folder", "open", "write", "replace", "list"])
@pytest.mark.parametrize("reason", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EDQUOT])
def test_no_step_of_writing_may_end_a_run(
    step: str, reason: int, memlint: CommandLine, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    right = memlint("check", "--no-cache").answer

    def refuse(*_: object, **__: object) -> object:
        raise OSError(reason, os.strerror(reason))

    target = {"folder": "makedirs", "replace": "replace", "list": "scandir"}.get(step)
    with monkeypatch.context() as patch:
        if step == "list":
            patch.setattr(Store, "_bound", lambda self: None)
        elif target is not None:
            patch.setattr(storing.os, target, refuse)
        elif step == "open":
            patch.setattr(storing, "open", refuse, raising=False)
        else:
            patch.setattr(storing, "open", full_disk, raising=False)
        assert memlint("check").answer == right
    assert memlint("check").answer == right
    assert not list(cache.glob("*.tmp"))


def test_a_file_stands_where_the_folder_should(memlint: CommandLine, cache: Path) -> None:
    cache.parent.mkdir()
    cache.write_text("no folder")
    right = memlint("check", "--no-cache").answer
    assert memlint("check").answer == memlint("check").answer == right


@pytest.mark.skipif(
    not sys.platform.startswith("linux") or os.geteuid() != 0, reason="only root of Linux mounts a file system"
)
@pytest.mark.parametrize("room", ["4k", "8k", "12k"])
def test_a_full_file_system(room: str, memlint: CommandLine, tmp_path: Path) -> None:
    small = tmp_path / "small"
    small.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={room}", "tmpfs", str(small)]
    if subprocess.run(mount, capture_output=True).returncode != 0:
        pytest.skip("this place may not mount")
    try:
        right = memlint("check", "--no-cache").answer
        for _ in range(6):
            for top in ("grain_lines", "none"):
                arguments = ("check", "--cache-dir", str(small), *(("--top", top) if top != "none" else ()))
                assert memlint(*arguments).code == right[0]
        assert memlint("check", "--cache-dir", str(small)).answer == right
        assert not list(small.glob("*.tmp"))
    finally:
        subprocess.run(["umount", str(small)], check=True)


def test_two_runs_at_once(folder: Path, cache: Path, memlint: CommandLine) -> None:
    right = memlint("check", "--no-cache").answer
    command = [sys.executable, "-m", "memlint", "check"]
    for _ in range(2):
        both = [
            subprocess.Popen(command, cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
            for _ in range(2)
        ]
        for one in both:
            out, err = one.communicate()
            assert (one.returncode, out, err) == right


def test_runs_that_are_killed_leave_nothing_wrong(folder: Path, cache: Path, memlint: CommandLine) -> None:
    right = memlint("check", "--no-cache").answer
    killed_runs(folder, 4, seed=7, right=right)


def test_a_writer_that_is_killed_leaves_whole_entries_only(tmp_path: Path) -> None:
    assert killed_writers(tmp_path, 20, seed=7) > 0
