"""`memlint plan`: an assignment that fits the device."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, replace
from pathlib import Path

from memlint.cli import common
from memlint.cli.messages import complain
from memlint.engine import Engine
from memlint.engine.judgement import Judgement
from memlint.engine.plan_patch import Patch, diff_of, encoded_like, misread, patch_of, without_misread
from memlint.engine.planning import DevicePlan, Scenario, plan_design, scenario
from memlint.engine.settings import ProjectError
from memlint.reports.plan_json import plan_json
from memlint.reports.plan_text import plan_text

_DEVICE = "device"
_NAMED = 3
"""Memories named of those left as they are for one reason."""


@dataclass(frozen=True, slots=True)
class _Asked:
    device: str | None
    parameters: dict[str, int | str]


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declares the arguments of `memlint plan`."""
    common.add_paths(parser, "memories")
    parser.add_argument(
        "--what-if",
        metavar="NAME=VALUE",
        action="append",
        default=[],
        help="device=NAME: another device beside the project's; NAME=VALUE: a parameter of the top unit; "
        "may be repeated",
    )
    parser.add_argument(
        "--write", action="store_true", help="print `in` clauses for the plan as a patch of the sources"
    )
    parser.add_argument("--apply", action="store_true", help="with --write: change the sources")
    parser.add_argument("--format", choices=("text", "json"), default="text")
    parser.add_argument("--output", metavar="FILE", help="write the plan to a file")
    parser.add_argument("--schema", action="store_true", help="print the JSON Schema of --format json")
    common.add_project_arguments(parser)


def run(args: argparse.Namespace) -> int:
    """Prints the plan, or the patch: 0 if a plan fits (one of several), else 1."""
    if args.schema:
        from memlint.reports.schemas import schema_text

        common.emit(schema_text("plan"))
        return 0
    if args.apply and not args.write:
        raise ProjectError("--apply changes the sources, and nothing says to what. Give --write as well.")
    if args.write and (args.what_if or args.format == "json"):
        raise ProjectError("--write is about the design as it is. Leave --what-if and --format away.")
    engine = common.project(args, args.paths)
    judgement = engine.judge()
    if args.write:
        return _write(engine, judgement, plan_design(judgement), args)
    scenarios = [scenario("as it is", judgement)]
    scenarios += [_scenario(one, args, judgement) for one in _scenarios(args.what_if)]
    shown = common.is_shown(engine, args.paths)
    report = (
        plan_json(scenarios, judgement.sources, shown)
        if args.format == "json"
        else plan_text(scenarios, shown, common.page(engine, args.output))
    )
    common.emit(report, args.output)
    return int(all(one.plan.plan is None for one in scenarios))


def _scenarios(given: Sequence[str]) -> list[_Asked]:
    """One for each device named, with the parameters given; with parameters alone one on this device."""
    parameters: dict[str, int | str] = {}
    devices: list[str] = []
    for text in given:
        name, sign, value = (part.strip() for part in text.partition("="))
        if not sign or not name or not value:
            raise ProjectError(f"--what-if `{text}`: write device=NAME, or a parameter as NAME=VALUE.")
        if name == _DEVICE:
            devices.append(value)
            continue
        if name in parameters:
            raise ProjectError(f"--what-if `{text}`: {name} is given twice. Run memlint once for each value.")
        parameters[name] = _value(value)
    here = [_Asked(None, parameters)] if parameters else []
    return [*here, *(_Asked(device, parameters) for device in devices)]


def _value(text: str) -> int | str:
    try:
        return int(text, 0)
    except ValueError:
        return text


def _scenario(asked: _Asked, args: argparse.Namespace, known: Judgement) -> Scenario:
    unknown = [name for name in asked.parameters if name not in known.root_parameters]
    if unknown:
        there = ", ".join(known.root_parameters) or "none"
        raise ProjectError(
            f"--what-if: `{known.roots[0]}` has no parameter `{unknown[0]}`. Its parameters are: {there}."
        )
    changed = copy(args)
    changed.device = asked.device or args.device
    engine = common.project(changed, args.paths)
    parameters = {**engine.settings.parameters, **asked.parameters}
    top = engine.settings.top or (dict(known.instances)[known.roots[0]],)
    engine.settings = replace(engine.settings, parameters=parameters, top=top)
    judgement = engine.judge()
    said = [f"{name}={value}" for name, value in asked.parameters.items()]
    title = ", ".join([*([f"device {asked.device}"] if asked.device else []), *said])
    return scenario(title, judgement)


def _write(engine: Engine, judgement: Judgement, plan: DevicePlan, args: argparse.Namespace) -> int:
    if plan.plan is None:
        complain("there is no plan to write:")
        for text in plan.conflict:
            complain(text)
        return 1
    patch = _sound(engine, plan, patch_of(plan, judgement, engine.elaborated[0]))
    for why in dict.fromkeys(why for _, why in patch.refused):
        paths = [path for path, other in patch.refused if other == why]
        more = f" and {len(paths) - _NAMED} more" if len(paths) > _NAMED else ""
        complain(f"{', '.join(paths[:_NAMED])}{more}: left as it is: {why}")
    if args.apply:
        _apply(engine, judgement, patch)
    else:
        common.emit(diff_of(patch, judgement.sources), args.output)
    return 0


def _sound(engine: Engine, plan: DevicePlan, patch: Patch) -> Patch:
    """The patch as far as the design, read again with it, says what the plan says."""
    for file, text in patch.texts.items():
        engine.set_text(file, text)
    wrong = misread(patch, plan, engine.judge())
    for file in patch.texts:
        engine.set_text(file, None)
    return without_misread(patch, wrong) if wrong else patch


def _apply(engine: Engine, judgement: Judgement, patch: Patch) -> None:
    ready: list[tuple[Path, bytes]] = []
    for file, text in patch.texts.items():
        path = Path(engine.settings.root, file)
        try:
            raw = path.read_bytes()
        except OSError as failed:
            raise ProjectError(f"{path}: {failed.strerror or failed}. Nothing was written.") from failed
        new = encoded_like(text, raw, judgement.sources[file].text)
        if new is None:
            raise ProjectError(
                f"{path}: its encoding cannot be kept, or it changed meanwhile. Nothing was written: save it "
                "as UTF-8, or use the patch that --write prints."
            )
        ready.append((path, new))
    for path, new in ready:
        try:
            path.write_bytes(new)
        except OSError as failed:
            raise ProjectError(f"{path}: {failed.strerror or failed}. Make the file writable.") from failed
    memories, files = len(patch.written), len(ready)
    complain(f"wrote the tiers of {memories} memories into {files} files")
