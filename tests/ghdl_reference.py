"""An independent elaboration of VHDL, by the simulator GHDL, for comparison.

GHDL prints every object of every instance with its value before the simulation starts; the shape of an
array is read off that value, which is printed in full: `("UU", "UU", "UU")` has 3 words of 2 bits.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path

GHDL = shutil.which("ghdl")
REASON = "the reference simulator `ghdl` is not installed"
_FLAGS = ("--std=08", "-frelaxed")
_LINE = re.compile(r"^( *)ghdl_rtik_(\w+)(?:, D=\d+)?(?:, sloc=\d+:\d+)?[:;] ?(.*)$")
_OBJECTS = frozenset(("signal", "variable", "shared", "constant"))
_TOKEN = re.compile(r'"[^"]*"|\'.\'|=>|[(),]|[^\s(),"]+')

Shape = tuple[int, "int | None"]


def analyse(files: Iterable[Path], folder: Path, library: str = "work") -> None:
    """Analyse files in the order given; fails on the first error GHDL reports."""
    for file in files:
        _run(["-a", *_FLAGS, f"--work={library}", str(file)], folder)


def arrays(top: str, folder: Path, generics: Mapping[str, object] | None = None) -> dict[str, Shape]:
    """Path → (words, bits of a word, None where the value does not show them) of all arrays below a top.

    Words of several dimensions are multiplied. Arrays that are fields of records are there too
    (`top.r.words`), multiplied by the words of an array of such records. Arrays of a package or a
    subprogram are left out.
    """
    given = [f"-g{name}={value}" for name, value in (generics or {}).items()]
    dump = _run(["-r", *_FLAGS, top, *given, "--dump-rti", "--stop-time=0ns", "--max-stack-alloc=0"], folder)
    found: dict[str, Shape] = {}
    for path, value in _objects(dump):
        for name, times, inner in _with_fields(f"{top}{path}", 1, value):
            shape = _shape(inner)
            if shape is not None:
                found[name] = (shape[0] * times, shape[1])
    return found


def _with_fields(path: str, times: int, value: str) -> Iterator[tuple[str, int, str]]:
    """A value and those of its fields, each with how many records it stands in."""
    yield path, times, value
    if not value.startswith("("):
        return
    parts = list(_parts(value[1:-1]))
    if all(name for name, _ in parts):
        for name, inner in parts:
            yield from _with_fields(f"{path}.{name}", times, inner)
    elif parts[0][1].startswith("(") and "=>" in parts[0][1]:
        deeper = list(_with_fields(path, times * len(parts), parts[0][1]))
        yield from (one for one in deeper if one[0] != path)


def _parts(text: str) -> Iterator[tuple[str, str]]:
    """The (name, value) pairs of an aggregate without its parentheses; the name `` in an array."""
    depth, start, name = 0, 0, ""
    for match in re.finditer(r'"[^"]*"|\'.\'|=>|[(),]', f"{text},"):
        token = match[0]
        if token in "()":
            depth += 1 if token == "(" else -1
        elif depth == 0 and token == "=>":
            name, start = text[start : match.start()].strip(), match.end()
        elif depth == 0 and token == ",":
            yield name, text[start : match.start()].strip()
            name, start = "", match.end()


def _run(words: list[str], folder: Path) -> str:
    assert GHDL is not None
    done = subprocess.run([GHDL, *words], cwd=folder, capture_output=True, encoding="latin-1", check=False)
    assert done.returncode == 0, done.stderr[-2000:] or done.stdout[-2000:]
    return done.stdout


def _objects(dump: str) -> Iterator[tuple[str, str]]:
    """(path, value) of the signals, variables and constants of the top's architecture and below."""
    at: list[tuple[int, str]] = []
    for line in dump.splitlines():
        match = _LINE.match(line)
        if match is None:
            continue
        indent, kind, rest = len(match[1]), match[2], match[3].strip()
        while at and at[-1][0] >= indent:
            at.pop()
        if kind == "architecture" and indent == 0:
            at.append((-1, ""))
        elif not at:
            # Packages come before the top's architecture.
            continue
        elif kind in ("instance", "block", "if_generate", "case_generate", "for_generate"):
            at.append((indent, f".{rest}"))
        elif kind == "process":
            # GHDL numbers the processes without a label: P0, P1, …
            at.append((indent, "" if re.fullmatch(r"P\d+", rest) else f".{rest}"))
        elif kind == "iterator":
            at.append((indent - 1, f"[{rest.rpartition(':= ')[2]}]"))
        elif kind in _OBJECTS:
            name, _, after = rest.partition(": ")
            yield "".join(part for _, part in at) + f".{name}", after.partition(" := ")[2]


def _shape(value: str) -> Shape | None:
    """Words and bits of a word of a value; None for what is no array of more than bits."""
    tokens = _TOKEN.findall(value)
    if len(tokens) == 1 and value[0] == '"':
        # A vector, or an array of bits.
        return len(value) - 2, 1
    if "&" in tokens[:2]:
        # An array of an enumeration is printed as `a & b & c`.
        return tokens.count("&") + 1, None
    if len(tokens) < 3 or tokens[0] != "(" or "=>" in tokens[:3]:
        return None
    words = 0
    widths: set[int | None] = set()
    depth, at = 0, 0
    while at < len(tokens):
        token = tokens[at]
        if token == "(" and "=>" in tokens[at : at + 3]:
            at, width = _record(tokens, at)
            words += 1
            widths.add(width)
            continue
        if token in "()":
            depth += 1 if token == "(" else -1
        elif token != ",":
            words += 1
            widths.add(_bits(token))
        at += 1
    assert depth == 0, value[:200]
    return words, widths.pop() if len(widths) == 1 else None


def _record(tokens: list[str], at: int) -> tuple[int, int | None]:
    """The place after a record's value, and its bits."""
    depth, width = 0, 0
    known = True
    while True:
        token = tokens[at]
        at += 1
        if token in "()":
            depth += 1 if token == "(" else -1
            if depth == 0:
                return at, width if known else None
        elif token not in ",=>" and tokens[at] != "=>":
            bits = _bits(token)
            known = known and bits is not None
            width += bits or 0


def _bits(token: str) -> int | None:
    """The bits of a vector's or one bit's value; None for a number, a name or a text."""
    if token[0] == '"':
        return len(token) - 2 if set(token[1:-1]) <= set("UX01ZWLH-") else None
    return 1 if token[0] == "'" else None
