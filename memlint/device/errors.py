"""What is wrong with a device profile, said once for every front."""

from __future__ import annotations

import re
from dataclasses import dataclass

Path = tuple[str | int, ...]
"""A place in a profile: `("tier", "bulk", "modes", "single", "shapes", 0)`. Tiers, members and
sources stand under their name; under their index only where the name is missing or not unique."""

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def dotted(path: Path) -> str:
    """The path as people write it: `tier.bulk.modes.single.shapes[0]`."""
    text = ""
    for step in path:
        if isinstance(step, int):
            text += f"[{step}]"
        else:
            text += ("." if text else "") + (step if _BARE.fullmatch(step) else f'"{step}"')
    return text


@dataclass(frozen=True, slots=True)
class Mistake:
    """A mistake before anyone has looked up its line: message and remedy are whole sentences."""

    path: Path
    message: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Problem:
    """A mistake in a file. `file` is empty and `line` None where there is no such place."""

    file: str
    line: int | None
    key: str
    message: str
    remedy: str

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        return ": ".join(part for part in (place, self.key, f"{self.message} {self.remedy}".strip()) if part)


class ProfileError(ValueError):
    """A profile that cannot be used, with every problem found; the attributes are the first one's.

    `str` gives one line a problem, in the order of the lines of the file.
    """

    def __init__(self, *problems: Problem) -> None:
        self.problems = tuple(
            sorted(problems, key=lambda one: (one.file, one.line is None, one.line or 0, one.key))
        )
        super().__init__("\n".join(str(problem) for problem in self.problems))
        first = self.problems[0]
        self.file = first.file
        self.line = first.line
        self.key = first.key
        self.message = first.message
        self.remedy = first.remedy
