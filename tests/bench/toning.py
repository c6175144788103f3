"""Four simple estimators of the next print's toning time, by their error on simulated editions. `python -m tests.bench.toning`.

An edition is 8 prints of a base time of 45 to 120 s. The toner tires: 0 to 6 % a print, straight or growing; in one
edition of four it is topped up half way and starts from the beginning. The eye scatters by 5 % (log-normal), and one
print of ten is forgotten or pulled early by a quarter. The figures are a model, not a measurement.
"""

import random
from collections.abc import Callable, Sequence
from itertools import combinations
from statistics import fmean, median

from assistant.trade.toning_drift import hint

EDITIONS, PRINTS = 4000, 8
Estimator = Callable[[Sequence[int]], float]


def last(times: Sequence[int]) -> float:
    return float(times[-1])


def mean_of_three(times: Sequence[int]) -> float:
    return fmean(times[-3:])


def median_of_three(times: Sequence[int]) -> float:
    """What `trade.toning_drift` takes."""
    found = hint(times)
    assert found is not None
    return float(found.expected)


def theil_sen_of_six(times: Sequence[int]) -> float:
    """The line of the median pairwise slope (Theil 1950, Sen 1968), carried one print on."""
    times = times[-6:]
    slope = median((b - a) / (j - i) for (i, a), (j, b) in combinations(enumerate(times), 2))
    return median(time - slope * place for place, time in enumerate(times)) + slope * len(times)


ESTIMATORS: dict[str, Estimator] = {
    "the last print": last,
    "mean of the last three": mean_of_three,
    "median of the last three": median_of_three,
    "Theil-Sen line, last six": theil_sen_of_six,
}


def edition(chance: random.Random) -> list[int]:
    """One simulated edition, ms."""
    base, tires, grows = chance.uniform(45_000, 120_000), chance.uniform(0, 0.06), chance.random() < 0.5
    renewed = chance.randint(3, 6) if chance.random() < 0.25 else None
    times = []
    for place in range(PRINTS):
        worn = place - renewed if renewed is not None and place >= renewed else place
        true = base * ((1 + tires) ** worn if grows else 1 + tires * worn)
        seen = true * chance.lognormvariate(0, 0.05)
        times.append(round(seen * chance.choice((0.75, 1.25)) if chance.random() < 0.1 else seen))
    return times


def errors(seed: int = 1907, editions: int = EDITIONS) -> dict[str, tuple[float, float]]:
    """Estimator -> mean and 90th percentile of its error, per cent of the next print's time, from the third print on."""
    chance, off = random.Random(seed), {name: [] for name in ESTIMATORS}
    for _ in range(editions):
        times = edition(chance)
        for place in range(2, PRINTS):
            for name, estimate in ESTIMATORS.items():
                off[name].append(100 * abs(estimate(times[:place]) - times[place]) / times[place])
    return {name: (fmean(one), sorted(one)[int(0.9 * len(one))]) for name, one in off.items()}


def inside(seed: int = 1907, editions: int = EDITIONS) -> float:
    """In how many of a hundred the next print fell inside the hint's width."""
    chance, hits = random.Random(seed), []
    for _ in range(editions):
        times = edition(chance)
        for place in range(2, PRINTS):
            found = hint(times[:place])
            assert found is not None
            hits.append(found.look_from <= times[place] <= found.until)
    return 100 * fmean(hits)


if __name__ == "__main__":
    for name, (mean, ninth) in errors().items():
        print(f"{name:<26} {mean:5.2f} % on average, nine in ten within {ninth:4.1f} %")
    print(f"pulled inside the hint's width: {inside():.0f} of 100")
