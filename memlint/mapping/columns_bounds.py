"""Proofs that chains cannot share columns, without trying arrangements.

Give every chain length a weight, and find the greatest weight that one column can hold. If all chains
together weigh more than all columns together can hold, there is no arrangement, whatever the weights.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

MOST_STEPS = 24
"""Step functions tried: a weight that grows in k steps over the tallest column, k = 2 … this."""


def beyond_any_arrangement(lengths: Sequence[int], heights: Sequence[int]) -> bool:
    """Whether some weights prove that the chains do not fit; False says nothing."""
    if not lengths or not heights:
        return bool(lengths)
    counts, columns = Counter(lengths), Counter(heights)
    for weights in _weights(sorted(counts), max(heights)):
        load = sum(weights[length] * count for length, count in counts.items())
        best = heaviest(weights, counts, max(columns))
        if load > sum(best[height] * count for height, count in columns.items()):
            return True
    return False


def heaviest(weights: Mapping[int, int], counts: Mapping[int, int], tallest: int) -> list[int]:
    """The greatest weight a column of each height up to `tallest` can hold of the chains there are."""
    best = [0] * (tallest + 1)
    for length, weight in weights.items():
        if weight <= 0:
            continue
        for _ in range(min(counts[length], tallest // length)):
            improved = False
            for height in range(tallest, length - 1, -1):
                heavier = best[height - length] + weight
                if heavier > best[height]:
                    best[height] = heavier
                    improved = True
            if not improved:
                break
    return best


def _weights(lengths: Sequence[int], tallest: int) -> Iterator[dict[int, int]]:
    """Weights that are known to tell much of bin packing: long chains count as the whole column and short
    ones as nothing; lengths rounded down to steps."""
    yield {length: length for length in lengths}
    for small in sorted({*lengths, *(tallest - length + 1 for length in lengths)}):
        if 1 < small <= tallest // 2:
            yield {
                length: 0 if length < small else tallest if length > tallest - small else length
                for length in lengths
            }
    for steps in range(2, MOST_STEPS + 1):
        yield {length: length * steps // tallest for length in lengths}
    for length in lengths:
        yield {other: other // length for other in lengths}
