"""Answers about nodes, each with the nodes that were looked at for it, and kept while these stay."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from typing import Generic, TypeVar

from memlint.design.hierarchy import Node, Watch

Answer = TypeVar("Answer")


class LookedAt(Generic[Answer]):
    """One answer for each node."""

    def __init__(self, watch: Watch) -> None:
        self.answers: dict[Node, Answer] = {}
        self._watch = watch
        self._seen: dict[Node, set[Node]] = {}
        self._lookers: dict[Node, set[Node]] = {}

    def update(
        self,
        changed: Collection[Node],
        gone: Collection[Node],
        work: Callable[[Node, Answer | None], Answer],
    ) -> list[tuple[Node, Answer | None]]:
        """Works out anew what looked at a node that changed, from the answer before.

        Returns these nodes, and the gone ones, with the answers they had before.
        """
        before: list[tuple[Node, Answer | None]] = []
        stale: dict[Node, None] = dict.fromkeys(changed)
        for node in (*changed, *gone):
            stale.update(dict.fromkeys(self._lookers.get(node, ())))
        for node in gone:
            stale.pop(node, None)
            if node in self.answers:
                before.append((node, self.answers.pop(node)))
                self._forget(node)
        for node in stale:
            was = self.answers.get(node)
            before.append((node, was))
            self._forget(node)
            self._answer(node, was, work)
        return before

    def lookers(self, nodes: Iterable[Node]) -> set[Node]:
        """Who looked at any of these nodes."""
        return set().union(*(self._lookers.get(node, ()) for node in nodes))

    def _answer(
        self, node: Node, was: Answer | None, work: Callable[[Node, Answer | None], Answer]
    ) -> None:
        seen: set[Node] = {node}
        self._watch.seen = seen
        try:
            self.answers[node] = work(node, was)
        finally:
            self._watch.seen = None
        self._seen[node] = seen
        for one in seen:
            self._lookers.setdefault(one, set()).add(node)

    def _forget(self, node: Node) -> None:
        for one in self._seen.pop(node, ()):
            lookers = self._lookers[one]
            lookers.discard(node)
            if not lookers:
                del self._lookers[one]
