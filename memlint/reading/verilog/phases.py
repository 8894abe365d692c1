"""The problems of a file's intents, by when they are found."""

from __future__ import annotations

from dataclasses import dataclass

from memlint.reading.facts.items import Problem


@dataclass(frozen=True, slots=True)
class Phases:
    """What is wrong with a file's intents, in the order it is found: their text, those that belong to no
    statement, those that repeat what others say of one, and those that need a unit around them."""

    text: tuple[Problem, ...] = ()
    unattached: tuple[Problem, ...] = ()
    repeated: tuple[Problem, ...] = ()
    lost: tuple[Problem, ...] = ()

    @property
    def all(self) -> tuple[Problem, ...]:
        """All of them, in that order."""
        return (*self.text, *self.unattached, *self.repeated, *self.lost)
