"""What git knows of a folder, asked by its own command. Nothing here changes a repository or its files."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from memlint.engine.settings import ProjectError

_OF_ANOTHER_FOLDER = ("GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_COMMON_DIR")
"""What git sets for hooks: it speaks of where the hook runs, not of the folder asked about."""


@dataclass(frozen=True, slots=True)
class Entry:
    """A file of a revision: the repository that holds it, its object, whether it is a link."""

    repository: Path
    object: str
    is_link: bool


def top_of(folder: Path) -> tuple[Path, str]:
    """The top of the working tree that a folder lies in, and the way from there to it, with `/`.

    Raises ProjectError where there is none.
    """
    found = _run(folder, "rev-parse", "--show-toplevel", "--show-prefix")
    if found.returncode:
        said = _said(found)
        if "not a git repository" in said:
            said = "it is in no git repository"
        raise ProjectError(f"{folder}: No revision can be read here: {said}. Run it in a git repository.")
    top, _, prefix = os.fsdecode(found.stdout).removesuffix("\n").rpartition("\n")
    return Path(top), prefix.rstrip("/")


def commit_of(folder: Path, revision: str) -> str:
    """The full hash of the commit that a revision means. Raises ProjectError where there is none."""
    arguments = ("rev-parse", "--verify", "--quiet", f"{revision}^{{commit}}")
    found = None if revision.startswith("-") or "\0" in revision else _run(folder, *arguments)
    if found is None or found.returncode:
        if not _run(folder, "rev-list", "--max-count=1", "--all").stdout.strip():
            raise ProjectError(
                f"There is no commit yet in the repository of {folder}, so no revision `{revision}`. "
                "Commit the sources first."
            )
        raise ProjectError(
            f"There is no revision `{revision}` in the repository of {folder}. `git log --oneline` lists "
            "those there are; a clone made for CI may have to fetch it first."
        )
    return os.fsdecode(found.stdout).strip()


def files_of(repository: Path, commit: str, prefix: str = "") -> Iterator[tuple[str, Entry | None]]:
    """The files of a commit by their path from `prefix`; None for a submodule, before its files.

    A submodule's files are those of the commit it is pinned to, and none where that is not there.
    """
    listed = _run(repository, "ls-tree", "-r", "-z", "--full-tree", commit)
    if listed.returncode:
        return
    for line in listed.stdout.split(b"\0")[:-1]:
        facts, _, name = line.partition(b"\t")
        mode, kind, found = facts.decode("ascii").split(" ")
        path = prefix + os.fsdecode(name)
        if kind == "commit":
            yield path, None
            inner = repository / os.fsdecode(name)
            if (inner / ".git").exists():
                yield from files_of(inner, found, f"{path}/")
        else:
            yield path, Entry(repository, found, mode == "120000")


def ignored_by(repository: Path) -> frozenset[str]:
    """Files and folders that git is told to ignore, by their path from the top."""
    listed = _run(repository, "ls-files", "-z", "--others", "--ignored", "--exclude-standard", "--directory")
    names = os.fsdecode(listed.stdout).split("\0")
    return frozenset(name.rstrip("/") for name in names if name)


class Objects:
    """Reads file contents out of repositories. To be closed: a process of git waits for each."""

    def __init__(self) -> None:
        self._readers: dict[Path, subprocess.Popen[bytes]] = {}

    def read(self, entry: Entry) -> bytes:
        """The bytes of a file; raises OSError where the repository does not have them."""
        reader = self._reader(entry.repository)
        assert reader.stdin is not None and reader.stdout is not None
        reader.stdin.write(f"{entry.object}\n".encode("ascii"))
        reader.stdin.flush()
        said = reader.stdout.readline().split()
        if len(said) != 3:
            raise FileNotFoundError(f"{entry.object} is not in {entry.repository}")
        size = int(said[2])
        # A line end follows the contents.
        return reader.stdout.read(size + 1)[:size]

    def close(self) -> None:
        """Ends the processes."""
        for reader in self._readers.values():
            reader.communicate()
        self._readers.clear()

    def _reader(self, repository: Path) -> subprocess.Popen[bytes]:
        if repository not in self._readers:
            self._readers[repository] = subprocess.Popen(
                ["git", "-C", str(repository), "cat-file", "--batch"],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env=_environment(os.environ),
            )
        return self._readers[repository]


def _run(folder: Path, *arguments: str) -> subprocess.CompletedProcess[bytes]:
    command = ["git", "-C", str(folder), *arguments]
    try:
        return subprocess.run(
            command, capture_output=True, stdin=subprocess.DEVNULL, env=_environment(os.environ), check=False
        )
    except FileNotFoundError:
        raise ProjectError("There is no `git` command, which revisions are read by. Install git.") from None
    except OSError as failed:
        raise ProjectError(f"`git` cannot be run: {failed.strerror or failed}. Install it anew.") from None


def _environment(environ: Mapping[str, str]) -> dict[str, str]:
    kept = {name: value for name, value in environ.items() if name not in _OF_ANOTHER_FOLDER}
    return {**kept, "LC_ALL": "C", "GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0"}


def _said(found: subprocess.CompletedProcess[bytes]) -> str:
    """Git's own first line, as a clause."""
    lines = found.stderr.decode("utf-8", "replace").strip().splitlines()
    return lines[0].removeprefix("fatal: ").rstrip(".") if lines else "git says nothing"
