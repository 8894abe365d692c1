"""The parts of memlint.toml whose keys are names of rules, settings and units."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from memlint.device.errors import Mistake, Path
from memlint.engine.settings import RuleSettings
from memlint.rules.base import Rule, all_rules
from memlint.rules.finding import Severity
from memlint.rules.near import close_name

SEVERITIES: Mapping[str, Severity | None] = {
    "off": None,
    "note": Severity.NOTE,
    "warning": Severity.WARNING,
    "error": Severity.ERROR,
}
_WORDS = '"off", "note", "warning" or "error"'
Assumed = int | str


def rule_mistakes(data: Mapping[str, Any]) -> Iterator[Mistake]:
    """What is wrong in `[rules]` and every `[[rules_for]]`; what is no table is left to the models."""
    match data.get("rules"):
        case dict() as table:
            yield from _table_mistakes(table, ("rules",))
    match data.get("rules_for"):
        case list() as tables:
            for index, table in enumerate(tables):
                if isinstance(table, dict):
                    yield from _paths_mistakes(table, ("rules_for", index))
                    rest = {key: value for key, value in table.items() if key != "paths"}
                    yield from _table_mistakes(rest, ("rules_for", index))


def rule_settings(data: Mapping[str, Any]) -> tuple[RuleSettings, ...]:
    """`[rules]`, then each `[[rules_for]]`, of tables without mistakes."""
    everywhere = [_settings(data["rules"], ())] if data.get("rules") else []
    return (
        *everywhere,
        *(
            _settings({key: value for key, value in table.items() if key != "paths"}, _globs(table["paths"]))
            for table in data.get("rules_for", [])
        ),
    )


def assumption_mistakes(data: Mapping[str, Any]) -> Iterator[Mistake]:
    """What is wrong in `[assume]`."""
    table = data.get("assume")
    seen: set[str] = set()
    for path, name, value in _assumptions(table if isinstance(table, dict) else {}):
        if not isinstance(value, Assumed):
            yield Mistake(
                path,
                f"{_shown(value)} is no parameter's value.",
                "Write a whole number or a text; a unit's parameters stand under [assume.UNIT].",
            )
        if name in seen:
            yield Mistake(path, f"`{name}` is assumed twice.", "Keep one of the two.")
        seen.add(name)


def assumptions(data: Mapping[str, Any]) -> dict[str, Assumed]:
    """`[assume]` by `unit.NAME` or `NAME`, of a table without mistakes."""
    return {
        name: int(value) if isinstance(value, bool) else value
        for _, name, value in _assumptions(data.get("assume", {}))
    }


def _assumptions(table: Mapping[str, Any]) -> Iterator[tuple[Path, str, Any]]:
    for key, value in table.items():
        if isinstance(value, dict):
            for inner, innermost in value.items():
                yield ("assume", key, inner), f"{key}.{inner}", innermost
        else:
            yield ("assume", key), key, value


def _paths_mistakes(table: Mapping[str, Any], path: Path) -> Iterator[Mistake]:
    remedy = 'Write globs relative to memlint.toml: paths = ["rtl/legacy/**"].'
    match table.get("paths"):
        case None:
            yield Mistake(path, "`paths` is missing.", remedy)
        case str() | list() as paths if paths and all(isinstance(one, str) and one for one in paths):
            return
        case _:
            yield Mistake((*path, "paths"), "This is no list of paths.", remedy)


def _table_mistakes(table: Mapping[str, Any], path: Path) -> Iterator[Mistake]:
    rules = {rule.name: rule for rule in all_rules()}
    for name, value in table.items():
        here = (*path, name)
        if name not in rules:
            yield Mistake(here, f"There is no rule `{name}`.", _nearest_rule(name, rules))
        elif isinstance(value, dict):
            yield from _setting_mistakes(rules[name], value, here)
        elif not _is_severity(value):
            yield _no_severity(here, value)


def _setting_mistakes(rule: Rule, table: Mapping[str, Any], path: Path) -> Iterator[Mistake]:
    for key, value in table.items():
        here = (*path, key)
        if key == "severity":
            if not _is_severity(value):
                yield _no_severity(here, value)
        elif key not in rule.settings:
            yield Mistake(here, f"The rule {rule.name} has no setting `{key}`.", _nearest_setting(key, rule))
        elif isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value < float("inf"):
            yield Mistake(here, f"{_shown(value)} is no threshold.", "Write a number of at least 0.")


def _is_severity(value: Any) -> bool:
    return isinstance(value, str) and value in SEVERITIES


def _no_severity(path: Path, value: Any) -> Mistake:
    word = close_name(value, SEVERITIES) if isinstance(value, str) else None
    remedy = f'Did you mean "{word}"? ' if word else ""
    return Mistake(path, f"{_shown(value)} is no severity.", f"{remedy}Write {_WORDS}.")


def _nearest_rule(name: str, rules: Mapping[str, Rule]) -> str:
    near = close_name(name, rules)
    if near is not None:
        return f"Did you mean `{near}`?"
    return f"The rules are {', '.join(rules)}."


def _nearest_setting(key: str, rule: Rule) -> str:
    known = ["severity", *rule.settings]
    near = close_name(key, known)
    return (f"Did you mean `{near}`? " if near else "") + f"Keys known here: {', '.join(known)}."


def _settings(table: Mapping[str, Any], paths: tuple[str, ...]) -> RuleSettings:
    severities: dict[str, Severity | None] = {}
    thresholds: dict[str, float] = {}
    for rule, value in table.items():
        if isinstance(value, str):
            severities[rule] = SEVERITIES[value]
            continue
        for key, setting in value.items():
            if key == "severity":
                severities[rule] = SEVERITIES[setting]
            else:
                thresholds[f"{rule}.{key}"] = setting
    return RuleSettings(severities, thresholds, paths)


def _globs(paths: str | list[str]) -> tuple[str, ...]:
    """The globs of some paths; one without a wildcard also means everything below a folder of that name."""
    globs: list[str] = []
    for path in [paths] if isinstance(paths, str) else paths:
        globs.append(path)
        if not any(mark in path for mark in "*?["):
            globs.append(f"{path.rstrip('/')}/*")
    return tuple(globs)


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return "A table"
    return json.dumps(value, ensure_ascii=False, default=str)
