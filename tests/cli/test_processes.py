"""The command line as a process of its own: what it imports, its colours, pipes and locales."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from sorter_samples import DRIFTED, project

SERVER_ONLY = ("pygls", "lsprotocol")


def run(
    folder: Path, *arguments: str, options: tuple[str, ...] = (), **environ: str
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, *options, "-m", "memlint", *arguments],
        cwd=folder,
        env={**os.environ, **environ},
        capture_output=True,
        check=False,
    )


def imported(folder: Path, *arguments: str) -> set[str]:
    """The packages that a run imports."""
    done = run(folder, *arguments, options=("-X", "importtime"))
    lines = done.stderr.decode().splitlines()
    return {
        line.rpartition("|")[2].strip().partition(".")[0] for line in lines if line.startswith("import time:")
    }


def test_a_check_imports_neither_the_server_nor_what_reads_configurations(tmp_path: Path) -> None:
    project(tmp_path, config=None)
    packages = imported(tmp_path, "check", "rtl")
    assert "memlint" in packages
    assert not packages & {*SERVER_ONLY, "pydantic"}


def test_a_check_with_a_configuration_imports_no_server(tmp_path: Path) -> None:
    project(tmp_path)
    assert not imported(tmp_path, "check") & set(SERVER_ONLY)


def test_help_waits_for_nothing(tmp_path: Path) -> None:
    assert not imported(tmp_path, "--help") & {*SERVER_ONLY, "pydantic", "lark"}


def test_output_that_is_no_terminal_has_no_colours(tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    assert b"\x1b" not in run(tmp_path, "check").stdout


def in_terminal(folder: Path, **environ: str) -> bytes:
    """What a run writes to a terminal."""
    pty = pytest.importorskip("pty")
    ours, theirs = pty.openpty()
    variables = {key: value for key, value in os.environ.items() if key != "NO_COLOR"}
    process = subprocess.Popen(
        [sys.executable, "-m", "memlint", "check"],
        cwd=folder,
        env={**variables, "TERM": "xterm-256color", **environ},
        stdout=theirs,
        stderr=theirs,
    )
    os.close(theirs)
    written = b""
    while True:
        try:
            part = os.read(ours, 4096)
        except OSError:  # the terminal's other end is closed
            break
        if not part:
            break
        written += part
    os.close(ours)
    process.wait()
    return written


@pytest.mark.skipif(os.name == "nt", reason="terminals of this kind are POSIX's")
def test_a_terminal_has_colours_unless_asked_for_none(tmp_path: Path) -> None:
    project(tmp_path, DRIFTED)
    assert b"\x1b[" in in_terminal(tmp_path)
    # https://no-color.org: present and not empty, whatever its value.
    assert b"\x1b" not in in_terminal(tmp_path, NO_COLOR="1")
    assert b"\x1b[" in in_terminal(tmp_path, NO_COLOR="")
    assert b"\x1b" not in in_terminal(tmp_path, TERM="dumb")


@pytest.mark.skipif(os.name == "nt", reason="signals of this kind are POSIX's")
@pytest.mark.parametrize("arguments", [("check",), ("list", "--format", "json"), ("explain", "shallow-wide")])
def test_a_reader_that_leaves_is_no_error(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    project(tmp_path)
    reading, writing = os.pipe()
    os.close(reading)
    done = subprocess.run(
        [sys.executable, "-m", "memlint", *arguments],
        cwd=tmp_path,
        stdout=writing,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writing)
    assert done.stderr == b""
    # 128 and the number of SIGPIPE, as a shell shows a process that the signal ended (common practice).
    assert done.returncode == 141


@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="needs Linux's /dev/full, full(4)")
@pytest.mark.parametrize("arguments", [("check",), ("list", "--format", "json"), ("devices", "sorter-m")])
def test_a_full_disk_is_a_failed_run(tmp_path: Path, arguments: tuple[str, ...]) -> None:
    project(tmp_path)
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "memlint", *arguments],
            cwd=tmp_path,
            stdout=full,
            stderr=subprocess.PIPE,
            check=False,
        )
    assert done.returncode == 2
    # full(4): writing fails with ENOSPC; the text is strerror's.
    assert done.stderr == (
        b"memlint: standard output cannot be written: No space left on device. Make room, or name a file.\n"
    )


@pytest.mark.skipif(os.name == "nt", reason="closing a stream in this way is POSIX's")
@pytest.mark.parametrize("arguments", ["check", "check --diff", "list --format json", "devices"])
def test_closed_streams_leave_the_exit_code(tmp_path: Path, arguments: str) -> None:
    project(tmp_path, DRIFTED)
    line = f'"{sys.executable}" -m memlint {arguments} >&- 2>&-'
    done = subprocess.run(line, shell=True, cwd=tmp_path, capture_output=True, check=False)
    assert done.returncode == int("check" in arguments)


@pytest.mark.parametrize("encoding", ["utf-8", "latin-1", "ascii"])
def test_json_is_the_same_bytes_in_every_locale(tmp_path: Path, encoding: str) -> None:
    project(tmp_path, DRIFTED.replace("// @mem", '/* @mem why "粒" */ // @mem'))
    done = run(tmp_path, "list", "--format", "json", PYTHONIOENCODING=encoding, LC_ALL="C")
    assert done.returncode == 0
    assert done.stdout == run(tmp_path, "list", "--format", "json").stdout
    assert json.loads(done.stdout.decode("utf-8"))
    assert b"\r" not in done.stdout


def test_what_a_terminal_cannot_write_does_not_end_the_run(tmp_path: Path) -> None:
    project(tmp_path, DRIFTED.replace("[0:8191];", "[0:8191]; // 粒"))
    done = run(tmp_path, "check", PYTHONIOENCODING="ascii")
    assert done.returncode == 1
    assert b"[0:8191]; // ?" in done.stdout
    assert done.stderr == b""
