"""Real VHDL sources from installed packages: nothing raises, no design unit is lost.

Three counts are compared: ours, a regular expression's, and that of the simulator ghdl (`ghdl -f`) where
it is installed. Declarations are compared with ghdl's own syntax tree (`ghdl --file-to-xml`).
"""

import importlib.util
import re
import shutil
import subprocess
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from memlint.reading.facts.expressions import Field, Unsupported
from memlint.reading.facts.items import (
    FileFacts,
    Instance,
    Port,
    Process,
    Skipped,
    Subprogram,
    Typedef,
    Variable,
)
from memlint.reading.facts.statements import SkippedStatement
from memlint.reading.vhdl.read import read_vhdl
from memlint.text.source import SourceText, Span, decode

_COMMENT_OR_STRING = re.compile(r'--[^\n]*|/\*.*?\*/|"[^"\n]*"', re.DOTALL)
_UNIT = re.compile(
    r"^[ \t]*(?:(entity|context)\s+(\w+)\s+is\b|(architecture|configuration)\s+(\w+)\s+of\b"
    r"|(package)(\s+body)?\s+(\w+)\s+is\b)",
    re.IGNORECASE | re.MULTILINE,
)
_GHDL = shutil.which("ghdl")
needs_ghdl = pytest.mark.skipif(_GHDL is None, reason="ghdl is not installed")


def folder(package: str) -> Path:
    spec = importlib.util.find_spec(package)
    if spec is None or spec.origin is None:
        pytest.skip(f"the package {package} is not installed")
    return Path(spec.origin).parent


@cache
def files(package: str) -> tuple[Path, ...]:
    return tuple(
        sorted(path for path in folder(package).rglob("*") if path.suffix.lower() in (".vhd", ".vhdl"))
    )


@cache
def facts_of(path: Path) -> FileFacts:
    return read_vhdl(SourceText(path.name, decode(path.read_bytes())))


def walk(node: Any) -> Iterator[Any]:
    if isinstance(node, tuple):
        for each in node:
            yield from walk(each)
    elif is_dataclass(node) and not isinstance(node, Span):
        yield node
        for field in fields(node):
            yield from walk(getattr(node, field.name))


def our_units(facts: FileFacts) -> Counter[tuple[str, str]]:
    configurations = [
        each for each in facts.items if isinstance(each, Skipped) and each.what == "configuration"
    ]
    return Counter((unit.kind.split("_")[0], unit.name) for unit in facts.units) + Counter(
        ("configuration", each.names[0]) for each in configurations
    )


def units_by_expression(text: str) -> Counter[tuple[str, str]]:
    """Units by a regular expression: heads at the start of a line, outside comments and strings."""
    bare = _COMMENT_OR_STRING.sub(" ", text)
    found: Counter[tuple[str, str]] = Counter()
    for match in _UNIT.finditer(bare):
        kind = next(each for each in (match[1], match[3], match[5]) if each)
        name = next(each for each in (match[2], match[4], match[7]) if each)
        # Indented package heads may be nested packages; these sources have none.
        found[kind.lower(), name.lower()] += 1
    return found


@pytest.mark.parametrize(("package", "least"), [("vunit", 231), ("pythondata_cpu_microwatt", 100)])
def test_every_file_is_read_and_no_unit_is_lost(
    package: str, least: int, capsys: pytest.CaptureFixture[str]
) -> None:
    paths = files(package)
    assert len(paths) >= least
    kinds: Counter[str] = Counter()
    skipped: Counter[str] = Counter()
    slowest = (0.0, "")
    for path in paths:
        text = decode(path.read_bytes())
        begun = time.perf_counter()
        facts = read_vhdl(SourceText(path.name, text))
        slowest = max(slowest, (time.perf_counter() - begun, path.name))
        assert our_units(facts) == units_by_expression(text), path
        for node in walk((facts.units, facts.items)):
            kinds[type(node).__name__] += 1
            if isinstance(node, Skipped | SkippedStatement | Unsupported):
                skipped[node.what] += 1
    with capsys.disabled():
        read = {
            kind: kinds[kind] for kind in ("Unit", "Variable", "Process", "Instance", "Subprogram", "Assign")
        }
        print(f"\n{package}: {len(paths)} files, slowest {slowest[1]} {slowest[0]:.2f} s; {read}")
        print(f"skipped {dict(skipped)}")
    assert set(skipped) <= {
        "protected type body",
        "configuration",
        "generic subprogram",
        "configuration specification",
    }


@needs_ghdl
@pytest.mark.parametrize("package", ["vunit", "pythondata_cpu_microwatt"])
def test_units_are_those_the_simulator_lists(package: str) -> None:
    for path in files(package):
        listed = subprocess.run(
            [str(_GHDL), "-f", "--std=08", str(path)], capture_output=True, encoding="utf-8", errors="replace"
        )
        if listed.stderr:
            # The simulator reads one of the files as something it is not: a part to be pasted into another.
            assert path.name == "no-init-mem.vhdl", listed.stderr
            continue
        expected: Counter[tuple[str, str]] = Counter()
        for line in listed.stdout.splitlines():
            kind, name = re.sub("package (body|instance)", "package", line).split()[:2]
            expected[kind, name] += 1
        assert our_units(facts_of(path)) == expected, path


_LIBRARY = (
    "decode_types utils common wishbone_types helpers insn_helpers crhelpers ppc_fx_insns plrufn cache_ram "
    "predecode rotator logical countbits multiply-32s divider"
).split()
_COMPARED = "dcache icache loadstore1 decode1 mmu register_file common".split()
_ELEMENT = re.compile(
    r'<el id="\d+" kind="(\w+)" file="([^"]+)"\s+line="(\d+)" col="(\d+)"((?:\s+\w+="[^"]*")*)'
)
_KINDS = {
    "signal_declaration": "signal",
    "variable_declaration": "variable",
    "constant_declaration": "constant",
    "interface_signal_declaration": "port",
    "element_declaration": "field",
    "type_declaration": "type",
    "subtype_declaration": "type",
    "component_instantiation_statement": "instance",
}


@needs_ghdl
def test_declarations_are_those_in_the_syntax_tree_of_the_simulator(tmp_path: Path) -> None:
    """Names and lines of every signal, variable, constant, port, field, type and instance."""
    source = folder("pythondata_cpu_microwatt") / "vhdl"
    options = ["--std=08", f"--workdir={tmp_path}"]
    for name in _LIBRARY:
        subprocess.run(
            [str(_GHDL), "-a", *options, str(source / f"{name}.vhdl")], check=True, capture_output=True
        )
    for name in _COMPARED:
        path = source / f"{name}.vhdl"
        tree = subprocess.run(
            [str(_GHDL), "--file-to-xml", *options, str(path)], check=True, capture_output=True
        )
        expected = set(_in_tree(tree.stdout.decode("latin-1"), str(path)))
        assert len(expected) > 30
        assert set(_declared(path)) == expected, name


def _in_tree(tree: str, file: str) -> Iterator[tuple[str, int, str]]:
    for kind, where, line, _, rest in _ELEMENT.findall(tree):
        if where == file and kind in _KINDS:
            identifier = re.search(r'(?:identifier|label)="([^"]*)"', rest)
            assert identifier is not None
            yield _KINDS[kind], int(line), identifier[1]


def _declared(path: Path) -> Iterator[tuple[str, int, str]]:
    source = SourceText(path.name, decode(path.read_bytes()))
    nodes = list(walk(read_vhdl(source).units))
    parameters = {id(port) for node in nodes if isinstance(node, Subprogram) for port in node.arguments}
    for node in nodes:
        if id(node) in parameters:
            continue
        kind = ""
        match node:
            case Variable():
                kind = node.kind
            case Port():
                kind = "port"
            case Field():
                kind = "field"
            case Typedef():
                kind = "type"
            case Instance():
                kind = "instance"
        if kind:
            yield kind, source.position(node.span.start).line, node.name


def test_processes_of_a_known_file_have_their_sensitivity_lists() -> None:
    """microwatt's register_file.vhdl, lines 58, 144, 178, 197 and 218."""
    path = folder("pythondata_cpu_microwatt") / "vhdl" / "register_file.vhdl"
    processes = [node for node in walk(facts_of(path).units) if isinstance(node, Process)]
    assert [(process.label, process.star, len(process.events)) for process in processes if process.label] == [
        ("register_write_0", False, 1),
        ("register_read_0", True, 0),
        ("dbg_register_read", False, 1),
        ("dump_registers", True, 0),
        ("reg_log", False, 1),
    ]
