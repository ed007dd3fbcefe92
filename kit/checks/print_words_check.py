"""The printed words about prints, followed: where each strip begins and each piece lies, and what motif it shows."""

import re
from collections.abc import Iterator, Sequence
from itertools import pairwise

from kit.checks.cutting_grammar import SLIP, CutOrder, read_lengths
from kit.errors import CheckError
from kit.lengths import read_length
from kit.model.printed import PrintedCloth

SEEN = 0.07
"""Inches: how far a motif may lie off its place, and the printed figures of it may be off; a little over 1/16."""
FIGURE = 0.002
"""Inches: a printed distance may be so far off the true one, hundredths of a centimetre."""


def is_placed(order: CutOrder) -> bool:
    """Return True if a line says where along the cloth its strips begin."""
    return " the squared end" in order.text


class PrintedPlaces:
    """The strips of one cloth by their places along it, as its lines tell them, and the motif in every piece."""

    def __init__(self, cloth: PrintedCloth) -> None:
        self.along, self.across = (read_length(text) if text else None for text in cloth.repeat)
        self.motif_along, self.motif_across = (
            read_length(text, zero_allowed=True) if text else None for text in cloth.motif
        )
        self.taken: list[tuple[float, float, str]] = []
        self.ground: float | None = None
        self.shown: dict[tuple[str, str], tuple[float, float]] = {}
        self.lengths: dict[tuple[str, float], tuple[float, float]] = {}

    def cut(self, place: str, above: CutOrder, size: tuple[float, float]) -> Iterator[tuple[CutOrder, int]]:
        """Cut the strips of a line where it says; yield each line below with how many times it is done."""
        height, length = size
        text = above.text
        if not above.below:
            raise CheckError(f"{place}: nothing is cut from it")
        start, every = _read_place(text, r"beginning {} above the squared end"), _read_every(text)
        if above.count > 1 and not every:
            raise CheckError(f"{place}: {above.count} strips, and no word says how far apart they begin")
        self._refuse_off(place, every, self.along, above.count)
        self.taken += [(start + k * every, start + k * every + height, text) for k in range(above.count)]
        phase = self._find_phase(place, text, start)
        for order in above.below:
            here = f"{place} “{order.text}”"
            if order.act not in ("pieces", "part"):
                raise CheckError(f"{here} gives no piece")
            wide = _measure_box(order, height, here, lengthwise=above.act == "lengthwise")
            left, apart = _read_place(order.text, r"{} from the left edge"), _read_every(order.text)
            if self.across is not None and "the left edge" not in order.text:
                raise CheckError(f"{here} does not say where in the strip it lies")
            self._refuse_off(here, apart, self.across, order.count)
            times = above.count if above.each else 1
            self._refuse_many(here, order, (wide, left, apart or wide), length, 1 if above.each else above.count)
            if order.act == "pieces":
                self._compare(here, order, (phase, left), height)
            else:
                self.lengths[order.piece, round(wide, 2)] = (phase, left)
            yield order, times

    def check_row(self, place: str, piece: str, row: Sequence[float], allowance: float) -> None:
        """Refuse lengths, in the order in which they are sewn, over whose seams the print would not run on."""
        at: tuple[float, float] | None = None
        for length in row:
            begin = self.lengths.get((piece, round(length, 2)))
            if begin is None:
                raise CheckError(f"{place}: no length of {length:g} in is cut")
            for k, repeat in enumerate((self.along, self.across)):
                if at is not None and repeat is not None and _measure_off(begin[k] - at[k], repeat) > SEEN:
                    raise CheckError(f"{place}: the print does not run on where {length:g} in is sewn on")
            at = begin[0], begin[1] + length - 2 * allowance

    def close(self, fabric: str) -> float:
        """Return the inches from the first strip to the last, zero without places; refuse strips that overlap."""
        order = sorted(self.taken)
        for (_, end, one), (start, _, other) in pairwise(order):
            if start < end - FIGURE * len(order) - SLIP:
                raise CheckError(
                    f"{fabric}: “{other}” begins {start:g} in above the squared end, “{one}” reaches to {end:g} in"
                )
        if order and order[0][0] > SLIP:
            raise CheckError(f"{fabric}: no strip begins at the squared end")
        return max((end for _, end, _ in order), default=0.0) - FIGURE * len(order)

    def _find_phase(self, place: str, text: str, start: float) -> float:
        """Return where in the repeat a strip begins, seen from the motif; refuse a motif said to lie elsewhere."""
        rise = re.search(rf"motif lies ({_LENGTH}) above the lower edge", text)
        begins = "runs through the middle of a motif" in text
        if self.along is None:
            return 0.0
        if self.motif_along is not None:
            if not rise and not begins:
                raise CheckError(f"{place} does not say where the motif lies")
            ground = start + (_read(rise[1]) if rise else 0.0)
            if self.ground is not None and _measure_off(ground - self.ground, self.along) > SEEN:
                raise CheckError(f"{place}: the motif lies elsewhere than in the strips before")
            self.ground = ground if self.ground is None else self.ground
        return start

    def _refuse_off(self, place: str, every: float, repeat: float | None, count: int) -> None:
        if every and repeat is not None and _measure_off(every, repeat) > FIGURE * max(1, round(every / repeat)):
            raise CheckError(
                f"{place}: {every:g} in apart is not a whole number of repeats of {repeat:g} in ({count} in a row)"
            )

    def _refuse_many(
        self, place: str, order: CutOrder, box: tuple[float, float, float], length: float, strips: int
    ) -> None:
        wide, left, apart = box
        if apart < wide - SLIP:
            raise CheckError(f"{place}: pieces {wide:g} in wide lie {apart:g} in apart")
        most = int((length - left - wide + SLIP + FIGURE) / apart) + 1 if left + wide <= length + SLIP else 0
        if self.across is not None and "one every" not in order.text:
            most = min(most, 1)
        if order.count > strips * most:
            raise CheckError(f"{place}: {strips * most} fit, {order.count} are asked for")
        if order.count <= (strips - 1) * most:
            raise CheckError(f"{place}: {strips} strips are cut, fewer would do")

    def _compare(self, place: str, order: CutOrder, begin: tuple[float, float], height: float) -> None:
        """Refuse a piece that shows another motif than the others of its shape, or not the wanted one."""
        lies = " ".join((*(match[0] for match in PILE.finditer(order.text)), f"{height:g}"))
        first = self.shown.setdefault((order.piece, lies), begin)
        for k, repeat in enumerate((self.along, self.across)):
            if repeat is not None and (off := _measure_off(begin[k] - first[k], repeat)) > SEEN:
                raise CheckError(f"{place}: the motif lies {off:g} in off that of the other pieces {order.piece}")
        if self.motif_across is None or self.across is None:
            return
        aside = re.search(rf"the middle of the motif ({_LENGTH}) from the left side", order.text)
        begins = "the left side of each through the middle of a motif" in order.text
        if not aside and not begins:
            raise CheckError(f"{place} does not say where the motif lies")
        here = begin[1] + (_read(aside[1]) if aside else 0.0)
        if (off := _measure_off(here - self.motif_across, self.across)) > SEEN:
            raise CheckError(f"{place}: the motif would lie {off:g} in off its place across the cloth")


PILE = re.compile(r", (rising|falling)|an? (level|upright) long side|of each the (\w+ \w+|\w+) one kept")
"""How the pieces of a line lie: cloth with a top gives each way of lying a line of its own."""
_LENGTH = r"[\d.½¼¾⅛⅜⅝⅞⁄/\u202f]+ (?:in|cm)"


def _read(text: str) -> float:
    return read_lengths(text)[0]


def _read_place(text: str, words: str) -> float:
    found = re.search(words.format(f"({_LENGTH})"), text)
    return _read(found[1]) if found else 0.0


def _read_every(text: str) -> float:
    found = re.search(rf"then one every ({_LENGTH})", text)
    return _read(found[1]) if found else 0.0


def _measure_off(distance: float, repeat: float) -> float:
    return abs(distance - round(distance / repeat) * repeat)


def _measure_box(order: CutOrder, height: float, place: str, *, lengthwise: bool) -> float:
    """Return the inches along the strip that one piece takes."""
    if order.act == "part":
        if abs(order.lengths[0] - height) > SLIP:
            raise CheckError(f"{place}: the strip is {height:g} in wide, the length {order.lengths[0]:g} in")
        return order.lengths[1]
    box = re.search(rf", each from ({_LENGTH}) × ({_LENGTH})", order.text)
    if box or "template" in order.text:
        wide, high = (_read(box[1]), _read(box[2])) if box else order.lengths[:2]
        if high > height + SLIP or (high < height - SLIP and not lengthwise):
            raise CheckError(f"{place}: the strip is {height:g} in wide, the piece takes {high:g} in")
        return wide
    square = "square" in order.text
    sides = (order.lengths[0],) * 2 if square else order.lengths[:2]
    along = [sides[1 - k] for k in (0, 1) if abs(sides[k] - height) < SLIP]
    if along:
        return min(along)
    if lengthwise and max(sides) <= height + SLIP:
        return min(sides)
    raise CheckError(f"{place}: no side is as wide as the strip, {height:g} in")
