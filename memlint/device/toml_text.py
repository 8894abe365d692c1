"""Bytes of a TOML file as text and tables, with what is wrong said by line."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from memlint.device.errors import Path, Problem, ProfileError
from memlint.device.lines import line_map, line_of

# Keys of a hundred parts, as which the standard parser takes a time that grows with the square.
_PART = r"""(?>[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_LONG_KEY = re.compile(rf"(?<![A-Za-z0-9_-]){_PART}(?>[ \t]*+\.[ \t]*+{_PART}){{100}}")
_LONG_NUMBER = re.compile(r"\d[\d_]{4000,}")
_LARGEST = 1 << 20
_DEEPEST = 50
_INTEGERS = range(-(1 << 63), 1 << 63)
_TOML_LINE = re.compile(r"\(at line (\d+), column \d+\)")


def parse_toml(raw: bytes, shown: str) -> tuple[str, dict[str, Any]]:
    """The text and its tables; `shown` is the file's name in messages. Raises ProfileError."""
    if len(raw) > _LARGEST:
        raise _not_toml(shown, None, f"The file has {len(raw):,} bytes, the most is {_LARGEST:,}", "Cut it.")
    text = ""
    try:
        text = raw.decode("utf-8-sig")
        data = _tables(text, shown)
    except UnicodeDecodeError as failed:
        line = raw.count(b"\n", 0, failed.start) + 1
        raise _not_toml(shown, line, "The file is not UTF-8", "Save it as UTF-8.") from failed
    except tomllib.TOMLDecodeError as failed:
        at = _TOML_LINE.search(str(failed))
        line = int(at[1]) if at else max(1, len(text.splitlines()))
        reason = re.sub(r" \(at .*\)$", "", str(failed))
        raise _not_toml(
            shown, line, f"This is not TOML: {reason}", "Mend this line or the one before."
        ) from failed
    except ProfileError:
        raise
    except ValueError as failed:
        # Python's own limit: it reads no integer of thousands of digits.
        digits = _LONG_NUMBER.search(text)
        at_line = text.count("\n", 0, digits.start()) + 1 if digits else None
        raise _not_toml(shown, at_line, "A number has thousands of digits", "Write fewer digits.") from failed
    except RecursionError as failed:
        raise _not_toml(shown, None, "The file nests too deeply to be read", "Flatten it.") from failed
    _check_values(data, text, shown)
    return text, data


def _tables(text: str, shown: str) -> dict[str, Any]:
    long_key = _LONG_KEY.search(text)
    if long_key is None:
        return tomllib.loads(text)
    line = text.count("\n", 0, long_key.start()) + 1
    raise _not_toml(shown, line, "A key has more than 100 parts", "Write shorter ones.")


def _check_values(data: dict[str, Any], text: str, shown: str) -> None:
    """Raises ProfileError for what TOML 1.0 or its readers cannot hold: long integers, deep nesting."""
    waiting: list[tuple[Any, Path]] = [(data, ())]
    while waiting:
        value, path = waiting.pop()
        if len(path) > _DEEPEST:
            key = next((one for one in reversed(path) if isinstance(one, str)), "")
            raise _not_toml(shown, None, f"`{key}` nests more than {_DEEPEST} deep", "Flatten it.")
        match value:
            case dict():
                waiting.extend((inner, (*path, name)) for name, inner in value.items())
            case list():
                waiting.extend((inner, (*path, at)) for at, inner in enumerate(value))
            case int() if value not in _INTEGERS:
                key = next((one for one in reversed(path) if isinstance(one, str)), "")
                message = f"`{key}` is an integer of more than 64 bits, which TOML 1.0 does not have"
                line = line_of(line_map(text), path)[1]
                raise _not_toml(shown, line, message, "Write a smaller one, or a text.")


def _not_toml(shown: str, line: int | None, message: str, remedy: str) -> ProfileError:
    return ProfileError(Problem(shown, line, "", f"{message}.", remedy))
