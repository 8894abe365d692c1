"""`memlint devices`: the device profiles, their facts and where those come from."""

from __future__ import annotations

import argparse
import json
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from memlint.cli.messages import say
from memlint.device.facts import Device, Source
from memlint.device.listing import Fact, facts_of
from memlint.device.profile import Problem, ProfileError, builtin_names, load_profile, schema, starter


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint devices`."""
    what = parser.add_mutually_exclusive_group()
    what.add_argument("name", nargs="?", metavar="NAME", help="a profile, family/member, or a .toml file")
    what.add_argument("--schema", action="store_true", help="print the JSON Schema of a profile")
    what.add_argument("--starter", metavar="FILE", type=Path, help="write a commented profile to begin with")
    parser.add_argument("--format", choices=("text", "json"), default="text")


def run(args: argparse.Namespace) -> int:
    """Prints what was asked for and returns 0. Raises ProfileError for a profile that cannot be used."""
    if args.schema:
        say(f"{_json(schema())}\n")
    elif args.starter is not None:
        _write_starter(args.starter)
    elif args.name is not None:
        device = load_profile(args.name, Path.cwd())
        say(f"{_json(_device_json(device)) if args.format == 'json' else _device_text(device)}\n")
    else:
        devices = [load_profile(name) for name in builtin_names()]
        say(f"{_json(_list_json(devices)) if args.format == 'json' else _list_text(devices)}\n")
    return 0


def _write_starter(file: Path) -> None:
    try:
        with file.open("x", encoding="utf-8", newline="\n") as out:
            out.write(starter())
    except FileExistsError as exists:
        remedy = "Name a new file; nothing was written."
        raise ProfileError(Problem(str(file), None, "", "The file exists already.", remedy)) from exists
    except OSError as failed:
        message = f"The file cannot be written: {failed.strerror or failed}."
        raise ProfileError(Problem(str(file), None, "", message, "Name another place.")) from failed
    print(f'Wrote {file}. In memlint.toml say: device = "{file.as_posix()}"')


def _list_text(devices: list[Device]) -> str:
    names = max(len(device.name) for device in devices)
    titles = max(len(device.title) for device in devices)
    lines = []
    for device in devices:
        tiers = ", ".join(tier.name for tier in device.tiers)
        members = f"; a family of {len(device.members)}" if device.members else ""
        lines.append(f"{device.name:<{names}}  {device.title:<{titles}}  {tiers}{members}")
    return "\n".join(lines)


def _list_json(devices: list[Device]) -> dict[str, Any]:
    return {
        "devices": [
            {
                "name": device.name,
                "title": device.title,
                "tiers": [tier.name for tier in device.tiers],
                "members": [f"{device.name}/{member}" for member in device.members],
            }
            for device in devices
        ]
    }


def _device_text(device: Device) -> str:
    lines = [f"{device.name}: {device.title}" if device.title else device.name]
    if device.members:
        lines.append("Members: " + ", ".join(f"{device.name}/{member}" for member in device.members))
    facts = facts_of(device)
    rows = [(fact.key, _value_text(fact), _sources_text(fact)) for fact in facts]
    keys = max(len(key) for key, _, _ in rows)
    lines.append("")
    lines += [f"{key:<{keys}}  {value}  {sources}".rstrip() for key, value, sources in rows]
    lines += ["", "Sources"]
    lines += [f"[{source.id}] {_source_text(source)}" for source in device.sources]
    return "\n".join(lines)


def _value_text(fact: Fact) -> str:
    match fact.value:
        case None:
            return "unknown"
        case bool() as value:
            return "yes" if value else "no"
        case int() | float() as value:
            return f"{value:,}"
        case str() as value:
            return value
        case rows:
            return ", ".join(_row_text(fact.key, row) for row in rows)


def _row_text(key: str, row: str | Sequence[float]) -> str:
    if isinstance(row, str):
        return row
    numbers = [f"{number:g}" if isinstance(number, float) else str(number) for number in row]
    match key.rsplit(".", 1)[-1]:
        case "enables":
            return f"each {numbers[1]} of {numbers[0]} bits"
        case "columns":
            return f"{numbers[1]} of {numbers[0]} blocks"
        case "width_groups":
            return "/".join(numbers)
    cost = f" for {numbers[2]} blocks" if len(numbers) > 2 else ""
    return f"{numbers[0]} x {numbers[1]}{cost}"


def _sources_text(fact: Fact) -> str:
    if fact.value is None:
        return ""
    if not fact.is_stated:
        return "(not stated)"
    return " ".join(f"[{source.id}]" for source in fact.sources) or "(no source named)"


def _source_text(source: Source) -> str:
    return "; ".join(part for part in (source.title, source.number, source.revision, source.where) if part)


def _device_json(device: Device) -> dict[str, Any]:
    return {
        "name": device.name,
        "title": device.title,
        "family": device.family or None,
        "members": [f"{device.name}/{member}" for member in device.members],
        "facts": [
            {"key": fact.key, "value": fact.value, "sources": [source.id for source in fact.sources]}
            for fact in facts_of(device)
        ],
        "sources": [
            {
                "id": source.id,
                "title": source.title,
                "number": source.number or None,
                "revision": source.revision or None,
                "where": source.where or None,
            }
            for source in device.sources
        ],
    }


def _json(value: Any) -> str:
    return json.dumps(value, indent=2, sort_keys=True, ensure_ascii=False)
