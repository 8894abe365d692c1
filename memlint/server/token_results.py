"""What editors were sent as semantic tokens, so that the next time only what differs is sent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from lsprotocol import types


@dataclass(frozen=True, slots=True)
class _Sent:
    result: str
    data: tuple[int, ...]


class TokenResults:
    """The last tokens of each document, under the id that the editor names them by."""

    def __init__(self) -> None:
        self._sent: dict[str, _Sent] = {}
        self._results = 0

    def whole(self, uri: str, data: Sequence[int]) -> types.SemanticTokens:
        """All tokens of a document."""
        sent = self._keep(uri, data)
        return types.SemanticTokens(list(sent.data), sent.result)

    def since(
        self, uri: str, previous: str, data: Sequence[int]
    ) -> types.SemanticTokens | types.SemanticTokensDelta:
        """What differs from the tokens that the editor has; all of them if those are not known any more."""
        before = self._sent.get(uri)
        if before is None or before.result != previous:
            return self.whole(uri, data)
        sent = self._keep(uri, data)
        return types.SemanticTokensDelta(edits_between(before.data, sent.data), sent.result)

    def forget(self, uri: str) -> None:
        """A document was closed."""
        self._sent.pop(uri, None)

    def _keep(self, uri: str, data: Sequence[int]) -> _Sent:
        self._results += 1
        sent = _Sent(str(self._results), tuple(data))
        self._sent[uri] = sent
        return sent


def edits_between(before: Sequence[int], after: Sequence[int]) -> list[types.SemanticTokensEdit]:
    """One edit of everything between the first number that differs and the last; none where all are alike.

    Places are relative, so a change of one line changes the numbers of a token or two.
    """
    most = min(len(before), len(after))
    head = next((at for at in range(most) if before[at] != after[at]), most)
    tail = next((at for at in range(most - head) if before[-1 - at] != after[-1 - at]), most - head)
    if head == len(before) == len(after):
        return []
    new = list(after[head : len(after) - tail])
    return [types.SemanticTokensEdit(start=head, delete_count=len(before) - head - tail, data=new or None)]
