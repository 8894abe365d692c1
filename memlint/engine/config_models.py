"""The models memlint.toml is validated by. `[rules]` and `[assume]` have free keys: see `config_checks`."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

_MACRO = re.compile(r"[A-Za-z_][A-Za-z0-9_$]*")
_PORTS = re.compile(r"\s*(?:rom|\d+(?:w|r|rw)(?:\s+\d+(?:w|r|rw))*)\s*")


def _refused(message: str, remedy: str) -> PydanticCustomError:
    return PydanticCustomError("refused", "{message}", {"message": message, "remedy": remedy})


def _text(value: str) -> str:
    if not value.strip():
        raise _refused("This text is empty.", "Write a text, or leave the key out.")
    if "\0" in value:
        raise _refused("This text holds a NUL character.", "Remove it.")
    return value


def _one_or_many(value: Any) -> Any:
    if isinstance(value, str):
        return [value]
    if not isinstance(value, list):
        raise _refused("This is neither a text nor a list of texts.", 'Write "one" or ["one", "another"].')
    return value


def _constant(value: Any) -> int | str:
    """A parameter's value: TOML's true and false stand for 1 and 0."""
    if not isinstance(value, int | str):
        raise _refused("This is neither a whole number nor a text.", 'Write one, such as 4096 or "fast".')
    return int(value) if isinstance(value, bool) else value


def _defines(value: Any) -> Any:
    """`["NAME", "NAME=TEXT"]` or a table, as a table of texts; a macro without text is "1"."""
    match value:
        case list():
            return dict(_define(entry) for entry in value)
        case dict():
            return {_macro(name): _macro_text(name, text) for name, text in value.items()}
        case _:
            return value


def _define(entry: Any) -> tuple[str, str]:
    if not isinstance(entry, str):
        raise _refused("An element is not a text.", 'Write texts, such as "SYNTHESIS" or "WIDTH=32".')
    name, is_given, text = entry.partition("=")
    return _macro(name), text if is_given else "1"


def _macro(name: str) -> str:
    if not _MACRO.fullmatch(name):
        raise _refused(f"`{name}` is no macro name.", "Write NAME or NAME=TEXT, without a sign before it.")
    return name


def _macro_text(name: str, text: Any) -> str:
    match text:
        case True:
            return "1"
        case False:
            raise _refused(f"`{name} = false` defines nothing.", "Leave it out: then it is not defined.")
        case int() | str():
            return str(text)
        case _:
            raise _refused(f"The text of `{name}` is neither a text nor a whole number.", "Write one.")


def _expression(value: Any) -> str:
    if isinstance(value, bool) or not isinstance(value, int | str):
        raise _refused(
            "This is neither a whole number nor an expression.", 'Write one, such as 512 or "2 ** ADDR_BITS".'
        )
    return _text(str(value))


def _ports(value: str) -> str:
    if not _PORTS.fullmatch(value):
        raise _refused(f'"{value}" does not say ports.', 'Write "1w 1r", "2rw" or "rom", as in an intent.')
    return value


def _nets(value: list[str]) -> list[str]:
    if len(value) < 2:
        raise _refused("One net alone is equal to nothing.", 'Write those that are: ["top.a", "top.b"].')
    return value


Text = Annotated[str, AfterValidator(_text)]
Texts = Annotated[list[Text], BeforeValidator(_one_or_many)]
Constant = Annotated[Any, AfterValidator(_constant)]
Expression = Annotated[Any, AfterValidator(_expression)]
Amount = Annotated[float, Field(ge=0, allow_inf_nan=False)]


class _Table(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, strict=True)


class ClocksTable(_Table):
    same: list[Annotated[list[Text], AfterValidator(_nets)]] = []


class AssumedTierTable(_Table):
    registers_bits: Amount | None = None
    fabric_bits: Amount | None = None
    fabric_depth: Amount | None = None


class IntentTable(_Table):
    memory: Text
    intent: Text


class BlackBoxTable(_Table):
    unit: Text
    depth: Expression
    width: Expression
    ports: Annotated[str, AfterValidator(_ports)] = "1w 1r"
    clocks: Texts = []
    tier: Text | None = None


class ReconcileTable(_Table):
    path: Text = "path"
    tier: Text = "tier"
    blocks: Text = "blocks"
    tiers: dict[str, Text] = {}


class MeasuredTable(_Table):
    memory: Text
    tier: Text
    blocks: Amount
    because: Text


class ProjectTable(_Table):
    """memlint.toml as a whole."""

    device: Text | None = None
    target_mhz: Annotated[float, Field(gt=0, allow_inf_nan=False)] | None = None
    sources: Texts = []
    exclude: Texts = []
    file_lists: Texts = []
    include_dirs: Texts = []
    defines: Annotated[dict[str, str], BeforeValidator(_defines)] = {}
    top: Texts = []
    libraries: dict[str, Texts] = {}
    parameters: dict[str, Constant] = {}
    assume: dict[str, Any] = {}
    clocks: ClocksTable = ClocksTable()
    reserve: dict[str, Amount] = {}
    rules: dict[str, Any] = {}
    rules_for: list[dict[str, Any]] = []
    assumed_tier: AssumedTierTable = AssumedTierTable()
    attributes: dict[str, Text] = {}
    intent: list[IntentTable] = []
    black_box: list[BlackBoxTable] = []
    reconcile: ReconcileTable = ReconcileTable()
    measured: list[MeasuredTable] = []
