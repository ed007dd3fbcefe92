"""Notices: what a plan assumes, warns of or advises, as values with their figures; the sentences are made in output."""

from dataclasses import dataclass
from typing import Literal, TypeAlias, Union

NoticeKind: TypeAlias = Literal[
    # of the study's pattern
    "cloth-short", "clashes", "clashes-helped", "idle-pins", "bias-outside", "crib-size", "idle-fabrics",
    "unlike-corners", "sizes-rounded",
    # of a placement of prints: why it cannot be without clashes, and what would help
    "pins-clash", "crowd", "odd-ring", "no-placement", "no-room", "more-fabric", "more-fabrics", "no-limit",
    "milder-rule", "share-an-edge", "meet-at-a-corner", "too-few-steps-apart", "in-one-unit",
    # of the cutting
    "cloth-yardage", "cloth-precut", "cloth-lot", "cloth-washed", "cloth-nap", "cloth-as-it-lies",
    "cloth-some-turned",
    "cloth-no-quarter-turn", "cloth-repeat", "cloth-repeat-along", "cloth-repeat-across", "cloth-motif-along",
    "cloth-motif-across", "cloth-stripes-along", "cloth-stripes-across", "cloth-stack", "cloth-stack-short",
    "cloth-print-more",
    "cloth-long-repeats", "cloth-joined", "cloth-margin", "cloth-joins", "cloth-joins-spared",
    "cloth-nested", "size-redrafted", "counts-redrafted", "count-redrafted", "cloth", "washed-and-unwashed",
    # of plans that a check refused, made in a simpler way
    "made-singly", "cut-in-rows", "quilted-plainly",
    # of units made several at a time
    "no-such-part", "set-squaring", "oversize", "directed-print", "larger-than-cloth", "two-skies", "off-the-ruler",
    # of the rehearsal by hand
    "seams-too-deep", "cuts-off", "eased-in",
    # of the finishing
    "no-wide-cloth", "wide-cloth", "finishing-cloth", "overhang", "binding-extra", "thread-waste", "losses",
    "batting-limit", "prewashed", "path-estimated", "no-sleeve", "count-needles", "close-cutter", "made-for-sale",
    "ease-too-much", "top-off", "border-cloth-short", "join-near-corner", "gap-over-limit",
    # of the finishing: joins that a little more cloth spares, or would spare
    "border-joins-spared", "backing-seams-spared", "backing-wider", "binding-wider",
    # of the backing: why a way does not serve
    "print-on-its-side", "wide-cloth-missing", "no-single-cut", "nothing-on-hand", "too-little-on-hand",
]  # fmt: skip
"""What a notice can be about; each has its sentence in output."""

Figure: TypeAlias = Union[float, str, tuple[str, ...], tuple[float, ...], "Notice", tuple["Notice", ...]]
"""Lengths in inches, counts, parts of one, names, or notices that are a part of this one."""


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing that the maker should know.

    Attributes
    ----------
    kind
        What it is about.
    figures
        Name and value of each figure that belongs to it.
    """

    kind: NoticeKind
    figures: tuple[tuple[str, Figure], ...] = ()

    def __getitem__(self, name: str) -> Figure:
        """Return the figure of this name."""
        return dict(self.figures)[name]


def notice(kind: NoticeKind, **figures: Figure) -> Notice:
    """Return a notice with its figures by name.

    Examples
    --------
    >>> notice("gap-over-limit", gap=8.1, limit=8.0)["gap"]
    8.1
    """
    return Notice(kind, tuple(figures.items()))
