"""How many come of those who are asked, each with a chance of their own.

The chances are taken as independent of each other, exactly and without approximation; shared cars
break that, so the answer is a guide and not a promise.
"""

from __future__ import annotations

from collections.abc import Sequence

from roster.domain.ranges import within


def chance_at_least(m: int, probabilities: Sequence[float]) -> float:
    """The chance that at least `m` of these people come."""
    if m <= 0:
        return 1.0
    if m > len(probabilities):
        return 0.0
    return _reached(m, probabilities)[-1]


def people_to_call(m: int, probabilities: Sequence[float], confidence: float) -> int | None:
    """How many of the call list, from its top, to ask so that at least `m` come that surely.

    "Ask 11 to get 8." None if the whole list is not enough. 0 if nobody is wanted.
    """
    within("confidence", confidence, 0, 1)
    if m <= 0:
        return 0
    reached = _reached(m, probabilities)
    return next((asked for asked, chance in enumerate(reached) if chance >= confidence), None)


def sure_to_come(probabilities: Sequence[float], confidence: float) -> int:
    """The largest number that comes at least that surely if all of these are asked."""
    within("confidence", confidence, 0, 1)
    sure = 0
    while sure < len(probabilities) and chance_at_least(sure + 1, probabilities) >= confidence:
        sure += 1
    return sure


def _reached(m: int, probabilities: Sequence[float]) -> list[float]:
    """The chance that `m` came, after nobody was asked, after the first, after the second, ...

    counts[k] is the chance that exactly k of those asked so far come, for k below m; what passes
    m is added up and stays.
    """
    counts, chance = [1.0] + [0.0] * (m - 1), 0.0
    reached = [chance]
    for probability in probabilities:
        p = float(within("probability", probability, 0, 1))
        chance += counts[m - 1] * p
        for k in range(m - 1, 0, -1):
            counts[k] = counts[k] * (1 - p) + counts[k - 1] * p
        counts[0] *= 1 - p
        reached.append(min(1.0, chance))
    return reached
