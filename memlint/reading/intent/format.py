"""Intents as text, one spelling for each: for fixes and for formatting."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from memlint.reading.intent.clauses import (
    Accept,
    Budget,
    Clause,
    Clocks,
    Ecc,
    Fifo,
    Holds,
    In,
    InitialContents,
    Intent,
    Plan,
    Ports,
    ReadWithin,
    SameAddress,
    Shape,
    Times,
    Why,
    WriteLanes,
)


def format_intent(intent: Intent) -> str:
    """An intent without its marker, on one line; reading it gives an equal intent."""
    clauses = "; ".join(format_clause(clause) for clause in intent.clauses)
    return f"on {intent.on}: {clauses}" if intent.on else clauses


def format_clause(clause: Clause) -> str:
    """One clause. Quotes cannot hold a double quote or a line end: they become `'` and a blank."""
    match clause:
        case In():
            return f"in {' or '.join(clause.tiers)}"
        case Shape():
            return f"shape {_number(clause.depth)} x {clause.width}"
        case Ports():
            return f"ports {_ports(clause)}"
        case Clocks():
            return "one clock" if clause.one else f"clocks {', '.join(clause.names)}"
        case ReadWithin():
            return f"read within {clause.cycles} cycle{'' if clause.cycles == 1 else 's'}"
        case WriteLanes():
            return f"write lanes {clause.each or ' + '.join(map(str, clause.widths))}"
        case Ecc():
            return "ecc in word" if clause.in_word else "ecc"
        case SameAddress():
            return f"same address {clause.gives}"
        case Fifo():
            return "fifo"
        case InitialContents():
            return "initial contents"
        case Holds():
            return f"holds {clause.text}"
        case Plan():
            return f"plan {clause.name}"
        case Times():
            return f"times {clause.count}"
        case Budget():
            return f"budget {', '.join(f'{tier} <= {_blocks(most)}' for tier, most in clause.limits)}"
        case Accept():
            return f"accept {clause.rule} because {_quoted(clause.reason)}"
        case Why():
            return f"why {_quoted(clause.text)}"


def _number(value: int) -> str:
    for letter, scale in (("M", 2**20), ("K", 2**10)):
        if value % scale == 0:
            return f"{value // scale}{letter}"
    return str(value)


def _ports(ports: Ports) -> str:
    if ports.rom:
        return "rom"
    kinds = (("w", ports.w, ports.write_width), ("r", ports.r, ports.read_width), ("rw", ports.rw, None))
    return " ".join(f"{count}{kind}{f'({width})' if width else ''}" for kind, count, width in kinds if count)


def _blocks(most: Fraction) -> str:
    """A finite decimal; thirds of a block, which have none, are rounded up at the third place."""
    if most.denominator == 1:
        return str(most.numerator)
    places = next((places for places in range(1, 40) if (most * 10**places).denominator == 1), 3)
    whole, part = divmod(ceil(most * 10**places), 10**places)
    return f"{whole}.{part:0{places}d}"


def _quoted(text: str) -> str:
    line = " ".join(text.replace('"', "'").split())
    return f'"{line}"'
