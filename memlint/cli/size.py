"""`memlint size`: what one shape takes on every tier of a device, without HDL."""

from __future__ import annotations

import argparse
import re
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path

from memlint.cli import common
from memlint.device.facts import Device
from memlint.device.profile import load_profile
from memlint.engine.config import find_config, load_settings
from memlint.engine.settings import ProjectError
from memlint.mapping.demand import Demand
from memlint.mapping.place import PREFERENCES
from memlint.reading.intent.clauses import Holds
from memlint.reading.intent.reader import parse_holds, parse_shape
from memlint.reports.size_json import size_json
from memlint.reports.size_text import size_text
from memlint.reports.sizing import Sizing, only_shape, sizing

_PORT = re.compile(r"\s*(\d*)\s*(rw|w|r)\s*(?:\(\s*(\d+)\s*\))?\s*,?", re.IGNORECASE)
_SMALL_UNIT = re.compile(r"(?<=\d)([km])(?![A-WYZa-wyz0-9])")
_PORTS_HELP = "Write them like 1w1r, 2rw, 1w3r, rom or 1w(32)1r(8)."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint size`."""
    parser.add_argument("shapes", metavar="SHAPE", nargs="*", help="depth x width, such as 32Kx40")
    parser.add_argument(
        "--ports", metavar="PORTS", default="1w1r", help="1w1r (default), 1rw, 2rw, 1w3r, rom"
    )
    parser.add_argument("--clocks", metavar="N", type=int, default=1, help="clocks the ports use (default 1)")
    parser.add_argument("--asynchronous", action="store_true", help="read without a clock")
    parser.add_argument("--lanes", metavar="BITS", help="write lanes: 10 (each), or 1+20+11")
    parser.add_argument("--ecc", action="store_true", help="add check bits: correct one error, detect two")
    parser.add_argument("--initial-contents", action="store_true", help="must hold given data at power-up")
    parser.add_argument("--holds", metavar="AMOUNT", help='what it must hold: "12 lines x 3840 x 30 bit"')
    parser.add_argument("--block-shape", metavar="SHAPE", help="use this shape of a block only")
    parser.add_argument("--prefer", choices=PREFERENCES, default="blocks", help="what to put first")
    parser.add_argument("--device", metavar="NAME", help="a device profile, family/member, or a .toml file")
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of --format json")


def run(args: argparse.Namespace) -> int:
    """Prints the answer for each shape and returns 0.

    Raises ProjectError for an argument that cannot be read, ProfileError for the device.
    """
    if args.schema:
        from memlint.reports.schemas import schema_text

        common.emit(schema_text("size"))
        return 0
    holds = None if args.holds is None else _holds(args.holds)
    if not args.shapes:
        raise ProjectError(_no_shape(holds))
    device = _device(args.device)
    if args.block_shape is not None:
        depth, width = _shape(args.block_shape, "--block-shape")
        device = only_shape(device, depth, width)
    sizings = [_sizing(_demand(text, args), device, args.prefer, holds) for text in args.shapes]
    report = size_json(sizings) if args.format == "json" else size_text(sizings, common.page())
    common.emit(report)
    return 0


def _sizing(demand: Demand, device: Device, prefer: str, holds: Holds | None) -> Sizing:
    try:
        return sizing(demand, device, prefer, holds)
    except ValueError as wrong:
        raise ProjectError(f"{wrong}. Correct the arguments.") from wrong


def _device(name: str | None) -> Device:
    """The device that is named, else memlint.toml's, else the default."""
    here = Path.cwd()
    if name is not None:
        return load_profile(name, here)
    settings = load_settings(find_config(here), here)
    device = load_profile(settings.device, settings.root)
    return device if settings.target_mhz is None else replace(device, target_mhz=settings.target_mhz)


def _demand(text: str, args: argparse.Namespace) -> Demand:
    depth, width = _shape(text, "shape")
    demand = _ports(args.ports, Demand(depth, width))
    ports = demand.writes + demand.reads + demand.readwrites
    if not 1 <= args.clocks <= ports:
        remedy = "Give 1 clock." if ports == 1 else f"Give 1 to {ports} clocks."
        raise ProjectError(
            f"--clocks {args.clocks}: the memory has {ports} port{'s' * (ports > 1)}. {remedy}"
        )
    is_rom = demand.writes + demand.readwrites == 0
    return replace(
        demand,
        clocks=args.clocks,
        asynchronous=args.asynchronous,
        lanes=_lanes(args.lanes, width),
        ecc="added" if args.ecc else "none",
        contents="given" if args.initial_contents or is_rom else "none",
    )


def _shape(text: str, what: str) -> tuple[int, int]:
    try:
        shape = parse_shape(text)
    except ValueError as wrong:
        raise ProjectError(f"{what} `{text}`: {_meant(text) or wrong}.") from wrong
    return shape.depth, shape.width


def _meant(text: str) -> str:
    """What to write for a shape with `k`, `m`, `X` or a multiplication sign in it; empty for any other."""
    capital = _SMALL_UNIT.sub(lambda unit: unit[1].upper(), text)
    clean = re.sub("[X×]", "x", capital)
    try:
        shape = parse_shape(clean)
    except ValueError:
        return ""
    said = f"write `{clean}`, which is {shape.depth:,} x {shape.width:,}"
    if capital == text:
        return said
    thousands = _SMALL_UNIT.sub(lambda unit: "000" if unit[1] == "k" else "000000", text)
    return f"{said}; K is 2^10 and M is 2^20, both in capitals. For thousands write `{thousands}`"


def _holds(text: str) -> Holds:
    try:
        return parse_holds(text)
    except ValueError as wrong:
        raise ProjectError(f"--holds `{text}`: {wrong}.") from wrong


def _no_shape(holds: Holds | None) -> str:
    if holds is None:
        return "no shape is given. Write depth x width, such as: memlint size 32Kx40"
    shapes = ", ".join(f"{-(-holds.bits // width)}x{width}" for width in (8, 32, 64))
    return f"no shape is given. {holds.text} is {holds.bits:,} bits, for example {shapes}"


def _ports(text: str, demand: Demand) -> Demand:
    """The demand with the ports of `1w1r`, `1rw`, `rom`, `1w(32) 1r(8)`."""
    if text.strip().lower() == "rom":
        return replace(demand, writes=0, reads=1)
    counts: dict[str, int] = {}
    widths: dict[str, int] = {}
    at = 0
    while at < len(text):
        match = _PORT.match(text, at)
        if match is None:
            raise ProjectError(f"--ports `{text}`: `{text[at:].strip()}` is no port. {_PORTS_HELP}")
        number, kind, width = match[1] or "1", match[2].lower(), match[3]
        if kind in counts:
            raise ProjectError(f"--ports `{text}`: {kind} ports are given twice. {_PORTS_HELP}")
        if not 1 <= int(number) <= 999 or (width is not None and int(width) < 1) or (width and kind == "rw"):
            raise ProjectError(f"--ports `{text}`: `{match[0].strip()}` is no port. {_PORTS_HELP}")
        counts[kind] = int(number)
        if width:
            widths[kind] = int(width)
        at = match.end()
    if not counts:
        raise ProjectError(f"--ports is empty. {_PORTS_HELP}")
    return replace(
        demand,
        writes=counts.get("w", 0),
        reads=counts.get("r", 0),
        readwrites=counts.get("rw", 0),
        write_width=widths.get("w"),
        read_width=widths.get("r"),
    )


def _lanes(text: str | None, width: int) -> tuple[int, ...]:
    """Lanes lowest first: `10` divides the word, `1+20+11` lists them as a word is read, highest first."""
    if text is None:
        return ()
    parts = [part.strip() for part in text.split("+")]
    if not all(part.isascii() and part.isdigit() and 0 < int(part) <= width for part in parts):
        raise ProjectError(
            f"--lanes `{text}`: lanes are 1 to {width} bits wide here. Write one width for all, such as "
            f"{min(8, width)}, or list them with `+`."
        )
    lanes = [int(part) for part in parts]
    if len(lanes) == 1:
        return _divided(lanes[0], width)
    if sum(lanes) != width:
        raise ProjectError(f"--lanes `{text}`: they come to {sum(lanes)} bits, the word has {width}.")
    return tuple(reversed(lanes))


def _divided(each: int, width: int) -> tuple[int, ...]:
    whole: Sequence[int] = [each] * (width // each)
    rest = width % each
    return (*whole, rest) if rest else tuple(whole)
