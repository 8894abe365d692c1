"""Bytes of a TOML file as text and tables, with what is wrong said by line."""

from __future__ import annotations

import re
import tomllib
from typing import Any

from memlint.device.errors import Problem, ProfileError

_TOML_LINE = re.compile(r"\(at line (\d+), column \d+\)")


def parse_toml(raw: bytes, shown: str) -> tuple[str, dict[str, Any]]:
    """The text and its tables; `shown` is the file's name in messages. Raises ProfileError."""
    text = ""
    try:
        text = raw.decode("utf-8-sig")
        return text, tomllib.loads(text)
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
    except RecursionError as failed:
        raise _not_toml(shown, None, "The file nests too deeply to be read", "Flatten it.") from failed


def _not_toml(shown: str, line: int | None, message: str, remedy: str) -> ProfileError:
    return ProfileError(Problem(shown, line, "", f"{message}.", remedy))
