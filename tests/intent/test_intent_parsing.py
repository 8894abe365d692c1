"""Our loop over the intent grammar's table reads what lark reads, and knows as well what could stand there."""

import os
import subprocess
import sys
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from lark import Lark, Transformer
from lark.exceptions import UnexpectedInput, UnexpectedToken

from memlint.reading.grammars import parser
from memlint.reading.intent.arithmetic import Number, place
from memlint.reading.intent.parsing import Stuck, Tree, Trees, parse
from memlint.reading.intent.refusal import Refusal
from memlint.reading.starts import STARTS

WORKS = Path(__file__).parents[2]
WORDS = """in or shape ports one clock clocks read within write lanes ecc word same address fifo initial contents
holds plan times budget accept why on at because cycles cycle before after any never rom 1w 2r 1rw x 32K 40 0x
3.5 2Mbit byte Gbit/s bulk line-store u.mem[3] u[*].m ( ) + - * , : <= " "text" ; = § Ä name 9999999999999999999
32Kx40 1_000 in-bulk wr_clk a$b 12lines""".split()


class _Trees(Trees, Transformer[Any, Any]):
    pass


@cache
def theirs() -> Lark:
    return parser("intent", STARTS["intent"], transformer=_Trees())


def plain(node: Any) -> Any:
    """What a parse gave, in numbers and texts with their places."""
    if isinstance(node, Tree):
        return node.data, [plain(one) for one in node.children]
    if isinstance(node, Number):
        return node.value, node.start, node.end
    return str(node), getattr(node, "start", getattr(node, "start_pos", None))


def by_lark(text: str, start: str) -> Any:
    try:
        return plain(theirs().parse(text, start=start))
    except Refusal as refusal:
        return str(refusal), refusal.start, refusal.end
    except UnexpectedInput as error:
        accepts: Any = error.interactive_parser.accepts()  # type: ignore[no-untyped-call]
        ended = isinstance(error, UnexpectedToken) and error.token.type == "$END"
        return None if ended else error.pos_in_stream, {*accepts}


def by_us(text: str, start: str) -> Any:
    try:
        return plain(parse(text, start))
    except Refusal as refusal:
        return str(refusal), refusal.start, refusal.end
    except Stuck as stuck:
        return stuck.at, {*stuck.accepts}


@pytest.fixture(autouse=True)
def words_have_places(monkeypatch: pytest.MonkeyPatch) -> None:
    """lark's tokens call `start_pos` what our words call `start`."""
    monkeypatch.setattr(
        "memlint.reading.intent.arithmetic.place",
        lambda word: place(word) if hasattr(word, "start") else (word.start_pos, word.start_pos + len(word)),
    )


@pytest.mark.parametrize("start", STARTS["intent"])
@given(words=st.lists(st.sampled_from(WORDS), max_size=8), glue=st.sampled_from([" ", "", "  \n"]))
@example(words=["shape", "32K", "x", "40"], glue=" ")
@example(words=["holds", "12", "name", "x", "3.5", "byte"], glue=" ")
@example(words=["ports", "1w", "(", "8", ")"], glue=" ")
def test_it_reads_as_lark_reads(start: str, words: list[str], glue: str) -> None:
    text = glue.join(words)
    assert by_us(text, start) == by_lark(text, start)


@given(st.text(max_size=20))
def test_any_text_reads_as_lark_reads_it(text: str) -> None:
    assert by_us(text, "clause") == by_lark(text, "clause")


def test_deep_parentheses_and_long_sums() -> None:
    deep = "(" * 3000 + "2" + ")" * 3000
    assert plain(parse(f"{deep} x 1{'+1' * 1500}", "size")) == (
        "size",
        [(2, 3000, 3001), (1501, 6004, 6005 + 3000)],
    )


def test_a_check_of_the_demo_imports_no_lark() -> None:
    """What makes parse tables takes longer to import than all of the demo takes to read."""
    run = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "memlint", "check", "fixtures/sorter", "--no-cache"],
        cwd=WORKS,
        env={**os.environ, "PYTHONPATH": str(WORKS)},
        capture_output=True,
        text=True,
        check=False,
    )
    imported = {line.rpartition("|")[2].strip() for line in run.stderr.splitlines() if "|" in line}
    assert "memlint.reading.intent.reader" in imported, run.stderr[-500:]
    assert not {one for one in imported if one.split(".")[0] == "lark"}
