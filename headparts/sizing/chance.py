"""Shares of samples as probabilities, with what is not decided and with the play of chance."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

NORMAL = 1.959963984540054
"""Two-sided 95 % point of the normal distribution."""


@dataclass(frozen=True)
class Chance:
    """Probability that a limit is broken.

    ``how`` is "never" or "always" (proven for every value within the half-widths, nothing sampled) or "sampled".
    Of ``samples`` at least ``surely`` and at most ``perhaps`` break it; they differ where bounds have not met.
    ``interval``: 95 % interval by Wilson's score of both (E. B. Wilson, J. Am. Stat. Assoc. 22, 1927, 209-212;
    recommended by L. Brown, T. Cai and A. DasGupta, Statistical Science 16, 2001, 101-133).
    """

    how: str
    samples: int = 0
    surely: int = 0
    perhaps: int = 0

    @property
    def value(self) -> float:
        """The probability; the larger where bounds have not met."""
        if self.how != "sampled":
            return 1.0 if self.how == "always" else 0.0
        return self.perhaps / self.samples

    @property
    def bounds(self) -> tuple[float, float]:
        """Share of the samples that break it for sure, and that may."""
        if self.how != "sampled":
            return self.value, self.value
        return self.surely / self.samples, self.perhaps / self.samples

    @property
    def interval(self) -> tuple[float, float]:
        """Where the probability lies with 95 % confidence."""
        if self.how != "sampled":
            return self.value, self.value
        return wilson(self.surely, self.samples)[0], wilson(self.perhaps, self.samples)[1]


def wilson(count: int, samples: int) -> tuple[float, float]:
    """95 % score interval of a share.

    >>> [round(end, 4) for end in wilson(0, 10)], [round(end, 4) for end in wilson(5, 10)]
    ([0.0, 0.2775], [0.2366, 0.7634])
    """
    share, square = count / samples, NORMAL**2 / samples
    middle = (share + square / 2.0) / (1.0 + square)
    half = sqrt(square * share * (1.0 - share) + square**2 / 4.0) / (1.0 + square)
    low, high = max(0.0, middle - half), min(1.0, middle + half)
    return (0.0 if count == 0 else low), (1.0 if count == samples else high)
