"""The file lists that HDL projects keep for their builds: sources, include folders, macros, libraries."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from memlint.reading.facts.items import Problem
from memlint.text.source import SourceText, Span

_RULE = "source-not-read"
_MOST_LISTS = 1000
_MOST_WORDS = 200_000
_DEEPEST = 64
_VARIABLE = re.compile(r"\$(?:\{(\w+)\}|\((\w+)\)|([A-Za-z_]\w*))")
_LINE_END = re.compile(r"[\r\n]")
_DRIVE = re.compile(r"[A-Za-z]:/")
_SOURCE = re.compile(r"\.(?:v|sv|vh|svh|vhd|vhdl)$", re.IGNORECASE)
# A comment starts only where a word could: `src//core/*.v` is a path.
_SPACE = re.compile(r"(?:\s|\\(?=[\r\n])|//[^\r\n]*|#[^\r\n]*|/\*[\s\S]*?(?:\*/|\Z))+")
_WORD = re.compile(r"""(?:\\["']|"(?:\\"|[^"\r\n])*"?|'[^'\r\n]*'?|\\(?![\r\n])|[^\s"'\\])+""")
_QUOTED = re.compile(r"""\\(["'])|"((?:\\"|[^"\r\n])*)"?|'([^'\r\n]*)'?""")
# Stands for a + within quotes, which separates nothing.
_PLUS = "\0"


@dataclass(frozen=True, slots=True)
class Listed:
    """A path, or an option nobody here knows, and where a list says it."""

    text: str
    span: Span


@dataclass(frozen=True, slots=True)
class FileList:
    """What a list and the lists it names say, in order, each path once.

    Paths are relative to the project root (or absolute), with `/`. A macro given without text is "1".
    `libraries` are folders (-y) and `library_files` files (-v) to look for units in, `extensions` those
    of +libext+. `ignored` are options that say nothing about the sources, with their values.
    """

    files: tuple[Listed, ...]
    include_dirs: tuple[str, ...]
    defines: Mapping[str, str]
    libraries: tuple[str, ...]
    library_files: tuple[Listed, ...]
    extensions: tuple[str, ...]
    ignored: tuple[Listed, ...]
    problems: tuple[Problem, ...]


def read_file_list(
    path: str,
    read_text: Callable[[str], str | None],
    environ: Mapping[str, str],
    exists: Callable[[str], bool],
) -> FileList:
    """Read the list at `path`, relative to the project root. Never raises for any text.

    `read_text` gives a list's text, None where there is none; `exists` tells whether a source is there.
    Paths in a list, and in lists it names with -f, are relative to the project root; in one named with
    -F, to that list's own folder.
    """
    reading = _Reading(read_text, environ, exists)
    _read_list(reading, path, "", (), Span(path, 0, 0))
    return FileList(
        tuple(reading.files.values()),
        tuple(reading.include_dirs),
        reading.defines,
        tuple(reading.libraries),
        tuple(reading.library_files.values()),
        tuple(reading.extensions),
        tuple(reading.ignored),
        tuple(reading.problems),
    )


@dataclass(slots=True)
class _Reading:
    read_text: Callable[[str], str | None]
    environ: Mapping[str, str]
    exists: Callable[[str], bool]
    files: dict[str, Listed] = field(default_factory=dict)
    include_dirs: dict[str, None] = field(default_factory=dict)
    defines: dict[str, str] = field(default_factory=dict)
    libraries: dict[str, None] = field(default_factory=dict)
    library_files: dict[str, Listed] = field(default_factory=dict)
    extensions: dict[str, None] = field(default_factory=dict)
    ignored: list[Listed] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    lists: int = 0
    words: int = 0

    def report(self, message: str, span: Span, *remedies: str) -> None:
        self.problems.append(Problem(_RULE, message, span, remedies))


def _read_list(reading: _Reading, path: str, base: str, above: tuple[str, ...], named_at: Span) -> None:
    if path in above:
        loop = ", which names ".join([*above[above.index(path) :], path])
        reading.report(f"file lists name each other in a loop: {loop}", named_at, "remove one of the entries")
        return
    if len(above) >= _DEEPEST:
        reading.report(f"file lists nest more than {_DEEPEST} deep", named_at, "name the inner ones directly")
        return
    reading.lists += 1
    if reading.lists > _MOST_LISTS:
        if reading.lists == _MOST_LISTS + 1:
            reading.report(
                f"more than {_MOST_LISTS} file lists; no more are read", named_at, "name each once"
            )
        return
    text = reading.read_text(path)
    if text is None:
        reading.report(f"file list {path} is not found", named_at, "correct the path", "remove the entry")
        return
    words = _words(reading, SourceText(path, text))
    for word in words:
        reading.words += 1
        if reading.words > _MOST_WORDS:
            if reading.words == _MOST_WORDS + 1:
                message = f"file lists have more than {_MOST_WORDS:,} entries; no more are read"
                reading.report(message, word.span, "name each list once")
            return
        option, span = word.text, word.span
        if option in ("-f", "-F", "-y", "-v"):
            value = next(words, None)
            if value is None:
                reading.report(f"{option} names nothing: the list ends behind it", span, "name what it needs")
                return
            where = _path(base, value.text)
            if option == "-y":
                reading.libraries[where] = None
            elif option == "-v":
                _add_file(reading, reading.library_files, where, value.span)
            else:
                inner = posixpath.dirname(where) if option == "-F" else ""
                _read_list(reading, where, inner, (*above, path), value.span)
        elif option.startswith("+"):
            _plus_option(reading, option, base, span)
        elif option.startswith("-"):
            reading.ignored.append(Listed(option, span))
        else:
            _add_file(reading, reading.files, _path(base, option), span)


def _plus_option(reading: _Reading, option: str, base: str, span: Span) -> None:
    _, name, *values = option.split("+")
    values = [value.replace(_PLUS, "+") for value in values if value]
    match name:
        case "incdir":
            reading.include_dirs.update((_path(base, value), None) for value in values)
        case "define":
            for value in values:
                macro, equals, text = value.partition("=")
                if not macro:
                    reading.report("+define+ gives a text and no macro", span, "write +define+NAME=text")
                    continue
                reading.defines[macro] = text if equals else "1"
        case "libext":
            reading.extensions.update((value, None) for value in values)
        case _:
            reading.ignored.append(Listed(option.replace(_PLUS, "+"), span))
            return
    if not values:
        reading.report(f"+{name}+ names nothing", span, f"write +{name}+ and what it names, without a space")


def _add_file(reading: _Reading, files: dict[str, Listed], path: str, span: Span) -> None:
    if path in files:
        return
    if not reading.exists(path):
        reading.report(f"source file {path} is not found", span, "correct the path", "remove the entry")
        return
    files[path] = Listed(path, span)


def _path(base: str, written: str) -> str:
    written = written.replace(_PLUS, "+").replace("\\", "/")
    absolute = _DRIVE.match(written)
    return posixpath.normpath(written if absolute else posixpath.join(base, written))


def _words(reading: _Reading, source: SourceText) -> Iterator[Listed]:
    """The words of a list, variables replaced and quotes gone; an unknown option takes its value along."""
    text = source.text
    at = 0
    option: Listed | None = None
    while at < len(text):
        space = _SPACE.match(text, at)
        at = space.end() if space else at
        found = _WORD.match(text, at)
        if found is None:
            at += 1
            continue
        at = found.end()
        span = Span(source.file, found.start(), at)
        word = _with_variables(reading, _QUOTED.sub(_unquoted, found[0]), span)
        if word is None:
            continue
        listed = Listed(word, span)
        if option is not None:
            same_line = not _LINE_END.search(text, option.span.end, span.start)
            if same_line and word[:1] not in ("-", "+") and not _SOURCE.search(word):
                yield Listed(f"{option.text} {word}", option.span.to(span))
                option = None
                continue
            yield option
            option = None
        if word.startswith("-") and word not in ("-f", "-F", "-y", "-v"):
            option = listed
        else:
            yield listed
    if option is not None:
        yield option


def _unquoted(match: re.Match[str]) -> str:
    content: str = match[1] or match[2] or match[3] or ""
    return content.replace('\\"', '"').replace("+", _PLUS)


def _with_variables(reading: _Reading, word: str, span: Span) -> str | None:
    """The word with environment variables replaced; None, and a problem, where one is not set."""
    missing = [name for name in _variables(word) if name not in reading.environ]
    for name in missing:
        reading.report(
            f"environment variable {name} is not set; this entry is not read",
            span,
            f"set {name} before the run",
            "write the path out",
        )
    if missing:
        return None
    return _VARIABLE.sub(lambda match: reading.environ[match[1] or match[2] or match[3]], word)


def _variables(word: str) -> list[str]:
    return list(dict.fromkeys(match[1] or match[2] or match[3] for match in _VARIABLE.finditer(word)))
