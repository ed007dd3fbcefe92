"""How much is still unfound: capture-recapture from who found what.

Sources, from memory where not said otherwise. Two testers: Lincoln and Petersen's estimate n1 n2 / m, used for a proof
read by two readers by G. Polya, Probabilities in proofreading, American Mathematical Monthly 83 (1976); D. G. Chapman,
Some properties of the hypergeometric distribution with applications to zoological sample censuses (1951), with the
variance that G. A. F. Seber gives. Three or more: A. Chao, Estimating the population size for capture-recapture data
with unequal catchability, Biometrics 43 (1987) 783-791 (seen as a reference of published packages). That few readers
give too low a figure: L. C. Briand and others, A comprehensive evaluation of capture-recapture models for estimating
software defect content, IEEE Transactions on Software Engineering 26 (2000) 518-540 (summary seen).
"""

from collections import Counter
from collections.abc import Iterable
from collections.abc import Set as AbstractSet
from math import sqrt

from kit.errors import KitError
from kit.model.findings import Unfound

FEW = 7
"""Places in common below which an estimate is rough (D. S. Robson and H. A. Regier 1964, from
memory)."""


def estimate_unfound(found: Iterable[AbstractSet[object]]) -> Unfound:
    """Estimate how many places with faults nobody has found yet.

    Two testers: the estimate of Lincoln and Petersen, `n1 * n2 / m` in all, with Chapman's form
    `(n1 + 1) * (n2 + 1) / (m + 1) - 1` beside it. Three or more: Chao's, `S + (t - 1) / t * f1**2 / (2 * f2)` for t
    testers, S places of which f1 were found once and f2 twice; where f2 is zero its form
    `S + (t - 1) / t * f1 * (f1 - 1) / 2`. It is a lower bound: places differ in how easily they are found.

    Parameters
    ----------
    found
        For each tester the places found: any hashable marks, equal for one place.

    Returns
    -------
    Unfound
        With what must be said of it; `whole` is None for one tester, for no findings, and for two without any place
        in common, of which the estimate would be infinite.

    Raises
    ------
    KitError
        No testers.

    Examples
    --------
    >>> estimate_unfound([set(range(12)), set(range(6, 15))]).whole
    18.0
    """
    sets = [frozenset(one) for one in found]
    if not sets:
        raise KitError("There are no testers", needed="what one tester found, or several", do="read at least one form")
    times = Counter(place for one in sets for place in one)
    counts, seen = tuple(len(one) for one in sets), len(times)
    common = sum(count > 1 for count in times.values())
    limits = ["independent", "by-place"]
    if len(sets) == 1 or not seen:
        return Unfound("none", seen, counts, common, None, None, None, ("one-tester" if seen else "nothing-found",))
    if len(sets) == 2:
        first, second = counts
        corrected = (first + 1) * (second + 1) / (common + 1) - 1
        squared = (first + 1) * (second + 1) * (first - common) * (second - common)
        spread = sqrt(squared / ((common + 1) ** 2 * (common + 2)))
        if not common:
            said = ("none-in-common", *limits)
            return Unfound("none", seen, counts, common, None, corrected, spread, said)
        limits += ["few-in-common"] if common < FEW else []
        return Unfound(
            "Lincoln-Petersen", seen, counts, common, first * second / common, corrected, spread, tuple(limits)
        )
    once, twice = (sum(count == number for count in times.values()) for number in (1, 2))
    share = (len(sets) - 1) / len(sets)
    more = share * once**2 / (2 * twice) if twice else share * once * (once - 1) / 2
    limits += ["at-least", *(["few-in-common"] if common < FEW else [])]
    limits += ["none-twice"] if once and not twice else []
    return Unfound("Chao", seen, counts, common, seen + more, None, None, tuple(limits))
