"""Structure of a TOML file: what its models refuse, in sentences of ours."""

from __future__ import annotations

import difflib
import json
import re
from typing import Any, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from memlint.device.errors import Mistake, Path
from memlint.device.merge import Table
from memlint.device.profile_models import ProfileTable

_KINDS = {
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a number",
    "string_type": "a text in quotes",
    "bool_type": "true or false",
    "list_type": "a list",
    "dict_type": "a table",
    "model_type": "a table",
    "model_attributes_type": "a table",
    "finite_number": "a finite number",
}


def structure_mistakes(data: Table, model: type[BaseModel] = ProfileTable) -> list[Mistake]:
    """What is wrong with the keys and kinds of values; empty when the model accepts the tables."""
    try:
        model.model_validate(data)
    except ValidationError as refused:
        return [_mistake(error, model) for error in refused.errors(include_url=False)]
    return []


def _mistake(error: ErrorDetails, model: type[BaseModel]) -> Mistake:
    path: Path = error["loc"]
    value = error["input"]
    context = error.get("ctx", {})
    match error["type"]:
        case "extra_forbidden":
            return _unknown_key(path, model)
        case "missing":
            return Mistake(path, f"`{path[-1]}` is missing.", f"Add `{path[-1]} = …`.")
        case "literal_error":
            return _unknown_word(path, value, re.findall(r"'([^']*)'", context["expected"]))
        case "greater_than":
            return _too_small(path, value, f"above {context['gt']:g}")
        case "greater_than_equal":
            return _too_small(path, value, f"of at least {context['ge']:g}")
        case "refused":
            return Mistake(path, context["message"], context["remedy"])
        case kind if kind in _KINDS:
            return Mistake(path, f"{_shown(value)} is not {_KINDS[kind]}.", f"Write {_KINDS[kind]}.")
        case _:
            return Mistake(path, f"{_shown(value)} is refused: {error['msg']}.", "Correct the value.")


def _too_small(path: Path, value: Any, limit: str) -> Mistake:
    return Mistake(path, f"{_shown(value)} is too small.", f"Write a number {limit}.")


def _unknown_key(path: Path, model: type[BaseModel]) -> Mistake:
    known = _known_keys(path[:-1], model)
    key = str(path[-1])
    nearest = difflib.get_close_matches(key, known, n=1, cutoff=0.5)
    remedy = f"Did you mean `{nearest[0]}`? " if nearest else ""
    return Mistake(path, f"Unknown key `{key}`.", f"{remedy}Keys known here: {', '.join(known)}.")


def _unknown_word(path: Path, value: Any, words: list[str]) -> Mistake:
    nearest = difflib.get_close_matches(str(value), words, n=1, cutoff=0.5)
    remedy = f"Did you mean {_shown(nearest[0])}? " if nearest else ""
    listed = " or ".join(_shown(word) for word in words)
    return Mistake(path, f"{_shown(value)} is not one of the words known here.", f"{remedy}Write {listed}.")


def _known_keys(path: Path, model: type[BaseModel]) -> list[str]:
    """The keys of the model that reads the table at `path` below the one of the whole file."""
    for step in path:
        if isinstance(step, str) and step in model.model_fields:
            model = _model_within(model.model_fields[step].annotation) or model
    return list(model.model_fields)


def _model_within(annotation: Any) -> type[BaseModel] | None:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in get_args(annotation) if (found := _model_within(part))), None)


def _shown(value: Any) -> str:
    if isinstance(value, dict):
        return "A table"
    return json.dumps(value, ensure_ascii=False, default=str)
