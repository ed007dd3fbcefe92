"""Shares: how many patches each fabric of a slot is to cover, by what its cloth on hand yields."""

from collections.abc import Sequence


def share_out_need(need: int, caps: Sequence[int], limits: Sequence[int | None]) -> tuple[int, ...]:
    """Return whole shares of a need that no cloth is enough for: each at least what its cloth yields.

    What is missing is shared in proportion to the yields, so that none stands idle while another is short: as
    little is missing as can be. A share goes above its limit only where the caps of all leave no other.

    Parameters
    ----------
    need
        The patches in all, at least the sum of the caps.
    caps
        What each cloth yields.
    limits
        The most patches that each may cover, None without a limit.

    Examples
    --------
    >>> share_out_need(120, (10, 30, 60), (None, None, None))
    (12, 36, 72)
    >>> share_out_need(120, (10, 30, 60), (None, None, 60))
    (15, 45, 60)
    """
    shares = list(caps)
    open_now = [i for i, limit in enumerate(limits) if limit is None or limit > caps[i]]
    while open_now and sum(shares) < need:
        missing = need - sum(shares)
        weight = sum(caps[i] or 1 for i in open_now)
        parts = {i: missing * (caps[i] or 1) / weight for i in open_now}
        whole = {i: int(part) for i, part in parts.items()}
        for i in sorted(open_now, key=lambda i: (whole[i] - parts[i], i))[: missing - sum(whole.values())]:
            whole[i] += 1
        for i, part in whole.items():
            limit = limits[i]
            shares[i] = shares[i] + part if limit is None else min(limit, shares[i] + part)
        open_now = [i for i in open_now if limits[i] is None or shares[i] < (limits[i] or 0)]
    return tuple(shares)
