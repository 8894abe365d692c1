"""Preprocessing compared with an independent implementation: random texts and real files."""

from __future__ import annotations

import re
from importlib.util import find_spec
from pathlib import Path
from random import Random

import pytest
import slang_tokens
from hypothesis import given
from hypothesis import strategies as st

from memlint.reading.verilog.preprocess import MacroTable, Preprocessed, PreprocessOptions, preprocess
from memlint.text.source import SourceText, decode

# What a `translate_off` comment means is no part of the standard: pyslang reads on.
OPTIONS = PreprocessOptions(translate_off=())


def ours(done: Preprocessed) -> str:
    """Tokens as one text: strings without their content, since theirs keep escape sequences."""
    return "".join('""' if token.kind == "str" else token.text for token in done.tokens)


def theirs(found: list[str]) -> str:
    return "".join(
        '""'
        if text.startswith('"')
        else "".join(text.removeprefix("\\").split())
        if text[:1] == "\\"
        else text
        for text in found
    )


def read(text: str) -> Preprocessed:
    return preprocess(SourceText("f.sv", text), MacroTable(), lambda *_: None, OPTIONS)


def macro_body(random: Random, formals: list[str], macros: list[tuple[str, int]], longest: int) -> str:
    """Names, numbers, formals, uses of macros, pastes and strings, in a random order."""
    text = ""
    for _ in range(random.randint(0, longest)):
        kind = random.choice(("formal", "name", "sign", "paste", "use", "quote", "string"))
        part = {"name": random.choice(("a", "b", "x1", "_t")), "string": '"s x"'}.get(kind, "")
        if kind == "sign":
            part = random.choice(("+", "-", "(a)", "[3]", ".", "1", "8", "4'd2"))
        if kind == "formal" and formals:
            part = random.choice(formals)
        if kind == "paste" and text and not text.endswith("``"):
            text += "``"
            continue
        if kind == "use" and macros:
            name, count = random.choice(macros)
            actuals = (macro_body(random, formals, macros[:-1], 2) for _ in range(count))
            part = f"`{name}({','.join(actuals)})" if count else f"`{name}"
        if kind == "quote":
            part = f'`"q {random.choice(formals or ["z"])} w`"'
        if '"' in part:
            # Pasting to a string has no meaning that two implementations need share.
            text = text.removesuffix("``")
        text += part if text.endswith("``") else f" {part}"
    return text.removesuffix("``").strip()


@given(st.randoms(use_true_random=False))
def test_random_macros_give_the_same_tokens(random: Random) -> None:
    macros: list[tuple[str, int]] = []
    text = ""
    for name in "ABCD":
        formals = ["x", "y"][: random.choice((0, 0, 1, 2))]
        head = f"{name}({','.join(formals)})" if formals else name
        text += f"`define {head} {macro_body(random, formals, macros, 6)}\n"
        macros.append((name, len(formals)))
    name, count = macros[-1]
    actuals = ",".join(macro_body(random, [], macros[:-1], 3) for _ in range(count))
    text += f"module m; `{name}{f'({actuals})' if count else ''} ; endmodule\n"
    found, errors = slang_tokens.preprocessed(text)
    if any("Macro" in error or "Directive" in error for error in errors):
        return
    assert ours(read(text)) == theirs(found), text


def conditional_text(random: Random, depth: int) -> str:
    text = ""
    for _ in range(random.randint(0, 4)):
        name = random.choice("PQR")
        kind = random.randint(0, 9)
        if kind < 3:
            text += f"wire w{random.randint(0, 99)};\n"
        elif kind < 7:
            text += (
                f"`define {name} 1\n",
                f"`undef {name}\n",
                "// `endif\n/* `else\n`endif */\n",
                'string s = "`endif";\n',
            )[kind - 3]
        elif depth < 4:
            text += f"`{random.choice(('ifdef', 'ifndef'))} {name}\n{conditional_text(random, depth + 1)}"
            for _ in range(random.choice((0, 0, 1, 2))):
                text += f"`elsif {random.choice('PQR')}\n{conditional_text(random, depth + 1)}"
            if random.random() < 0.5:
                text += f"`else\n{conditional_text(random, depth + 1)}"
            if random.random() < 0.97:
                text += "`endif\n"
    return text + (random.choice(("`endif\n", "`else\n", "`elsif P\n")) if random.random() < 0.03 else "")


@given(st.randoms(use_true_random=False))
def test_random_conditionals_give_the_same_tokens_and_the_same_verdict(random: Random) -> None:
    text = f"module m;\n{conditional_text(random, 0)}endmodule\n"
    done = read(text)
    found, errors = slang_tokens.preprocessed(text)
    wrong = [error for error in errors if "Directive" in error]
    assert bool(done.problems) == bool(wrong), text
    if not wrong:
        assert ours(done) == theirs(found), text


PACKAGES = {
    "pythondata_cpu_picorv32": 20,
    "pythondata_cpu_serv": 30,
    "pythondata_cpu_mor1kx": 40,
    "pythondata_cpu_ibex": 40,
    "pythondata_cpu_cv32e40p": 40,
    "libsv": 10,
}
_INCLUDE = re.compile(r'`include\s*"([^"]+)"')


@pytest.mark.parametrize("package", PACKAGES)
def test_real_files_give_the_same_tokens(package: str) -> None:
    spec = find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        pytest.skip(f"{package} is not installed")
    root = Path(spec.submodule_search_locations[0])
    headers = {
        path.name: path for path in sorted(root.rglob("*")) if path.suffix in (".vh", ".svh", ".v", ".sv")
    }

    def find(name: str, including: str) -> SourceText | None:
        beside = Path(including).parent / name
        path = beside if beside.is_file() else headers.get(Path(name).name)
        return SourceText(str(path), decode(path.read_bytes())) if path else None

    compared = 0
    for path in sorted(root.rglob("*.v")) + sorted(root.rglob("*.sv")):
        if path.stat().st_size > 100_000:
            continue
        source = SourceText(str(path), decode(path.read_bytes()))
        done = preprocess(source, MacroTable(), find, OPTIONS)
        folders = tuple(sorted({str(Path(each.file).parent) for each in (source, *done.sources)}))
        found, errors = slang_tokens.preprocessed(path=str(path), folders=folders)
        if not errors:
            compared += 1
            assert ours(done) == theirs(found), path
    assert compared >= PACKAGES[package]
