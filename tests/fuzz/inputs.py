"""Inputs that nobody would write, made from ones that somebody did: by bytes, by tokens, by lines.

Input `number` of a `seed` is the same on every machine and in every run.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

TESTS = Path(__file__).resolve().parent.parent
ROOT = TESTS.parent
_TOKEN = re.compile(r"\s+|\w+|[^\w\s]")

HOSTILE = (
    *"( ) [ ] { } ; , . : ' \" ` # @ $ ? * + - / \\ < > = & | ^ ~ ! % \n \t \r \0 \x0b \x85 \u2028 \ud800".split(" "),
    *"'{ (* *) /* */ // -- := => <= ** <<< :: .* +: -: ` `` `\" (( )) [[ ]] // @mem -- @mem /*@mem".split(),
    *"0 1 -1 2**40 (1<<40) 1<<1000000000 99999999999999999999 64'hffffffffffffffff 1'bx '1 '0 'x 1e999 16#FFFF#".split(),
    *"1_000_000 0.0 {1000000{1'b1}} [0:-1] [-1:0] [1<<30:0] (others=>'0') to downto $clog2(0) $bits(x) $size(q)".split(),
    *"module endmodule begin end if else case endcase for generate endgenerate function endfunction".split(),
    *"always @(posedge assign wire reg logic parameter localparam typedef struct packed enum union".split(),
    *"interface endinterface modport package endpackage import initial forever while return".split(),
    *"`define `ifdef `else `endif `include `undef `__LINE__ `default_nettype `line".split(),
    *"entity is architecture of process signal variable constant type array range record component".split(),
    *"generic port map when others loop library use all body procedure alias attribute block".split(),
    *"in shape ports clocks read within cycles write lanes ecc same address before fifo holds plan".split(),
    *"times budget accept because why on initial contents 1w 1r 2rw rom 32K x 40 K M kbit Mibit ms Gbit/s".split(),
    *"[[ ]] = \"**/*.sv\" true false nan inf -inf 1979-05-27 0x10 \"\"\" ''' device tier modes extend".split(),
    *"-f -F -y -v +incdir+ +define+ +libext+ ${HOME} $X".split(),
)


@dataclass(frozen=True)
class Case:
    """A text, and the kind of file it stands for: sv, vhd, intent, toml, profile, list."""

    kind: str
    text: str


@cache
def seeds() -> tuple[Case, ...]:
    """What somebody wrote: samples, the demo project, profiles, and the intents in all of them."""
    found: list[Case] = []
    for folder in (TESTS / "samples", ROOT / "fixtures"):
        for path in sorted(folder.rglob("*")):
            kind = {".sv": "sv", ".v": "sv", ".svh": "sv", ".vhd": "vhd", ".toml": "toml", ".f": "list"}.get(path.suffix)
            if kind is not None and path.is_file():
                found.append(Case(kind, path.read_text(encoding="utf-8")))
    for path in sorted((ROOT / "memlint" / "device").rglob("*.toml")):
        found.append(Case("profile", path.read_text(encoding="utf-8")))
    intents = {
        line.partition("@mem")[2].strip()
        for case in found
        for line in case.text.splitlines()
        if "@mem" in line
    }
    found.extend(Case("intent", one) for one in sorted(intents))
    config = (ROOT / "memlint" / "engine" / "config.py").read_text(encoding="utf-8")
    # The docstring is a memlint.toml with every key.
    found.append(Case("toml", config.partition("\n\n")[2].partition('"""')[0]))
    found.append(Case("list", "+incdir+inc\n-f more.f\nrtl/a.sv // one\n+define+A=1+B\n-y lib +libext+.v\n"))
    return tuple(found)


def case(seed: int, number: int) -> Case:
    """Input `number` of a seed."""
    chosen = random.Random(f"{seed}:{number}")
    # By kind first: there are many more sources than memlint.toml.
    kind = chosen.choice(("sv", "sv", "sv", "vhd", "vhd", "intent", "toml", "profile", "list"))
    same = [one for one in seeds() if one.kind == kind]
    text = chosen.choice(same).text
    if len(text) > 4000:
        # A part of a long one: the short ones say as much in less time.
        start = chosen.randrange(len(text) - 3000)
        text = text[start : start + 3000]
    for _ in range(chosen.choice((1, 1, 1, 2, 3, 8))):
        text = chosen.choice(_CHANGES)(text, chosen, [one.text for one in same])
    return Case(kind, text[:20_000])


def _bytes(text: str, chosen: random.Random, _same: list[str]) -> str:
    data = bytearray(text.encode("utf-8", "surrogatepass"))
    for _ in range(chosen.choice((1, 2, 8))):
        at = chosen.randrange(len(data) + 1)
        match chosen.randrange(3):
            case 0:
                data[at:at] = bytes([chosen.randrange(256)])
            case 1:
                del data[at : at + chosen.choice((1, 1, 4, 40))]
            case _:
                data[at : at + 1] = bytes([chosen.randrange(256)])
    return data.decode("latin-1") if chosen.random() < 0.2 else data.decode("utf-8", "replace")


def _tokens(text: str, chosen: random.Random, same: list[str]) -> str:
    tokens = _TOKEN.findall(text) or [""]
    for _ in range(chosen.choice((1, 2, 5))):
        at = chosen.randrange(len(tokens))
        match chosen.randrange(6):
            case 0:
                tokens[at] = chosen.choice(HOSTILE)
            case 1:
                tokens.insert(at, chosen.choice(HOSTILE))
            case 2:
                tokens[at] = ""
            case 3:
                other = chosen.randrange(len(tokens))
                tokens[at], tokens[other] = tokens[other], tokens[at]
            case 4:
                tokens[at:at] = tokens[at : at + chosen.choice((1, 3, 30))] * chosen.choice((1, 2, 20))
            case _:
                tokens[at] = chosen.choice(_TOKEN.findall(chosen.choice(same)) or [""])
    return "".join(tokens)


def _lines(text: str, chosen: random.Random, same: list[str]) -> str:
    lines = text.splitlines(keepends=True) or [""]
    at = chosen.randrange(len(lines))
    match chosen.randrange(6):
        case 0:
            del lines[at]
        case 1:
            del lines[at:]
        case 2:
            del lines[:at]
        case 3:
            lines[at:at] = lines[chosen.randrange(len(lines)) :][:10]
        case 4:
            other = chosen.choice(same).splitlines(keepends=True) or [""]
            lines[at:at] = other[chosen.randrange(len(other)) :][: chosen.choice((1, 5, 50))]
        case _:
            lines[at] = lines[at].rstrip()[: chosen.randrange(len(lines[at]) + 1)] + "\n"
    return "".join(lines)


def _grown(text: str, chosen: random.Random, _same: list[str]) -> str:
    """Something many times: what nests, and what only repeats."""
    piece = chosen.choice(HOSTILE) + chosen.choice(("", " ", "x", "\n"))
    at = chosen.randrange(len(text) + 1)
    return text[:at] + piece * chosen.choice((20, 160, 1000)) + text[at:]


_Change = Callable[[str, random.Random, list[str]], str]
_CHANGES: tuple[_Change, ...] = (_bytes, _bytes, _tokens, _tokens, _tokens, _tokens, _lines, _lines, _grown)
