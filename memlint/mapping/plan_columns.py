"""Whether the chains that a plan brings to each tier fit its columns, each question asked once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from memlint.device.facts import Column
from memlint.mapping.columns import Arrangement, arrange
from memlint.mapping.plan_numbers import Option

TRIES = 20_000
"""Steps of one search: a plan asks many."""


class ColumnQuestions:
    """`open` is set once a question could not be answered: then nothing is proven that rests on a no."""

    __slots__ = ("_columns", "_known", "open")

    def __init__(self, columns: Mapping[str, tuple[Column, ...]]) -> None:
        self._columns = columns
        self._known: dict[tuple[str, tuple[int, ...]], Arrangement] = {}
        self.open = False

    @property
    def tiers(self) -> tuple[str, ...]:
        """The tiers with columns."""
        return tuple(self._columns)

    def ask(self, tier: str, chains: Iterable[int]) -> Arrangement:
        """The chains in the tier's columns."""
        lengths = tuple(sorted(chains, reverse=True))
        known = self._known.get((tier, lengths))
        if known is None:
            known = arrange(lengths, 0, self._columns[tier], TRIES)
            self._known[tier, lengths] = known
        if known.fits is None:
            self.open = True
        return known

    def columns(self, tier: str) -> tuple[Column, ...]:
        """The tier's columns."""
        return self._columns[tier]

    def all_fit(self, picked: Sequence[Option]) -> bool:
        """Whether every tier's chains are known to fit."""
        return all(self.ask(tier, chains_on(picked, tier)).fits is True for tier in self._columns)

    def shown(self, picked: Sequence[Option]) -> dict[str, tuple[tuple[int, ...], ...]]:
        """The arrangement of each tier."""
        return {tier: self.ask(tier, chains_on(picked, tier)).columns for tier in self._columns}


def chains_on(picked: Iterable[Option], tier: str) -> list[int]:
    """The chains that options bring to a tier."""
    return [length for one in picked if one.tier == tier for length in one.chains]
