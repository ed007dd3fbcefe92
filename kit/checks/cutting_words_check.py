"""The printed cutting followed word by word: cloth is cut virtually, and what comes of it is compared with the list.

It knows the printed grammar and nothing of planners, plans, designs or output: a strip as wide as it says, pieces cut
off it one after another, its end cut along into lower strips, lengths sewn end to end, and the drawing where a line
names one. Whatever cannot be done so is refused with its line.
"""

from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence

from kit.checks.cutting_check import parts_by_straight_cuts
from kit.checks.cutting_grammar import BOLT, SLIP, CutOrder, read_lengths, read_orders, read_row
from kit.checks.print_words_check import PrintedPlaces, is_placed
from kit.checks.template_rows import measure_head_to_foot, measure_same_way_up
from kit.errors import STILL, CheckError
from kit.lengths import read_length
from kit.model.printed import Box, PrintedCloth, PrintedCutting, PrintedPiece, WordsCut

NARROWER = 0.13
"""Inches: a piece rounded up may be this much wider than the pre-cut strip that it comes from."""
RUNS = "head to foot", "all the same way up"
"""How the pieces of a run lie along a strip: every second one turned upside down, or none."""


def check_cutting_words(printed: PrintedCutting) -> WordsCut:
    """Cut cloth by the printed lines alone, and refuse what cannot be done.

    Raises
    ------
    CheckError
        The first line that cannot be done: its fabric, its words and both figures.
    """
    found = cut_by_words(printed)
    if found.faults:
        raise CheckError(found.faults[0], needed="lines that can be cut in the plain way", do=STILL)
    return found


def cut_by_words(printed: PrintedCutting) -> WordsCut:
    """Cut cloth by the printed lines alone; return what came of it, with every line that cannot be done."""
    pieces = {piece.id: piece for piece in printed.pieces}
    table = _CuttingTable(pieces, read_length(printed.allowance), read_length(printed.ruler))
    faults: list[str] = []
    for cloth in printed.cloths:
        try:
            table.cut_cloth(cloth)
        except CheckError as error:
            faults.append(error.found)
    if not faults:
        faults += [
            f"Piece {piece.id}: {table.pile[piece.id]} come of the cutting lines, {piece.count} are listed"
            for piece in printed.pieces if table.pile[piece.id] != piece.count
        ]  # fmt: skip
    lines = sum(len(cloth.lines) for cloth in printed.cloths)
    return WordsCut(lines, table.strips, table.pile.total(), table.drawn, tuple(faults), table.pile)


class _CuttingTable:
    """A cutting table: the piles of pieces so far."""

    def __init__(self, pieces: dict[str, PrintedPiece], allowance: float, ruler: float) -> None:
        self.pieces, self.allowance, self.ruler = pieces, allowance, ruler
        self.pile: Counter[str] = Counter()
        self.parts: dict[str, list[float]] = defaultdict(list)
        self.lying: Counter[tuple[str, str]] = Counter()
        self.strips = self.drawn = 0
        self.nap, self.layers = False, 1
        self.drawings: Mapping[str, Sequence[Box]] = {}
        self.places: PrintedPlaces | None = None

    def cut_cloth(self, cloth: PrintedCloth) -> None:
        """Cut one fabric: every strip from its cloth, every line from its strip."""
        self.parts.clear()
        self.lying.clear()
        self.nap, self.drawings = cloth.nap, cloth.drawings
        places = self.places = PrintedPlaces(cloth)
        first, second = (read_length(text, longest=BOLT) for text in cloth.size)
        taken = 0.0
        for order in read_orders(cloth.lines, cloth.fabric):
            place = f"{cloth.fabric}: “{order.text}”"
            if order.act == "join":
                self._join(place, order)
                continue
            if order.act == "stack":
                taken += self._cut_stack(place, order, first)
                continue
            height, length = self._size(place, order, cloth.form, (first, second))
            taken += order.count * height
            self.strips += order.count
            self._refuse_wide(place, order, height, cloth.form)
            if is_placed(order):
                for made, times in places.cut(place, order, (height, length)):
                    self._lay_by(place, made, times)
            else:
                self._cut_first(place, order, (height, length))
        taken = places.close(cloth.fabric) or taken
        self._close(cloth, taken, second)

    def _cut_first(self, place: str, order: CutOrder, size: tuple[float, float]) -> None:
        """Cut strips as their drawing has them, or else by the lines under them."""
        if order.drawing:
            self._follow_drawing(place, order, (size[1], size[0]), self.drawings.get(order.drawing))
        else:
            self._cut_strips(place, order, order.count, size)

    def _close(self, cloth: PrintedCloth, taken: float, second: float) -> None:
        """Refuse strips that take more cloth than there is, piles that the top does not need, and forgotten lengths."""
        if cloth.form == "yardage" and taken > second + SLIP:
            raise CheckError(f"{cloth.fabric}: the strips take {taken:g} in, {second:g} in of cloth are needed")
        for piece, piles in cloth.piles.items():
            for lies, count in piles.items():
                came = self.lying[piece, lies]
                if came != count:
                    raise CheckError(f"{cloth.fabric}: {came} of {piece} are {lies} ones, the top needs {count}")
        left = [piece for piece, lengths in self.parts.items() if lengths]
        if left:
            raise CheckError(f"{cloth.fabric}: lengths for piece {left[0]} are cut and never joined")

    def _size(self, place: str, order: CutOrder, form: str, size: tuple[float, float]) -> tuple[float, float]:
        """Return height and length of the strips of a line, within the cloth."""
        if (form == "yardage") != (order.act in ("strips", "lengthwise")) or order.act in ("rows", "ends", "pieces"):
            raise CheckError(f"{place} cannot begin the cutting of {form}")
        if form == "yardage":
            height, length = (*order.lengths, *(0.0, 0.0))[:2]
            if length > size[0] + SLIP:
                raise CheckError(f"{place}: the strip is {length:g} in long, the cloth {size[0]:g} in wide")
            return height, length
        if any(abs(one - other) > SLIP for one, other in zip(sorted(order.lengths), sorted(size), strict=False)):
            raise CheckError(f"{place}: what is there is {size[0]:g} × {size[1]:g} in")
        return (order.lengths[0], order.lengths[1]) if len(order.lengths) == 2 else (min(size), max(size))

    def _cut_stack(self, place: str, above: CutOrder, width: float) -> float:
        """Cut a stack through all its layers; return the inches of cloth that its layers take."""
        height, length = (*above.lengths, 0.0, 0.0)[:2]
        if length > width + SLIP:
            raise CheckError(f"{place}: the layers are {length:g} in long, the cloth {width:g} in wide")
        y, self.layers = 0.0, above.count
        for order in above.below:
            here = f"{place} “{order.text}”"
            if order.act == "spare":
                self.pile[self._find(place, order).id] -= order.count
                for lies in ("rising", "falling"):
                    self.lying[order.piece, lies] -= order.count if f" {order.count} {lies} " in order.text else 0
                continue
            low, long = self._size(here, order, "yardage", (width, height))
            y += order.count * low
            if y > height + SLIP:
                raise CheckError(f"{here}: strips take {y:g} in of a layer of {height:g} in")
            self.strips += order.count * above.count
            self._refuse_wide(here, order, low, "yardage")
            self._cut_first(here, order, (low, long))
        self.layers = 1
        return above.count * height

    def _refuse_wide(self, place: str, order: CutOrder, height: float, form: str) -> None:
        """Refuse a strip wider than the ruler, unless a piece in it has no smaller side."""
        if order.act == "lengthwise" or form != "yardage" or height <= self.ruler + SLIP:
            return
        if not any(min(one.lengths, default=0.0) > self.ruler for one in order.below):
            raise CheckError(f"{place}: the strip is {height:g} in wide, the ruler {self.ruler:g} in long")

    # Strips

    def _cut_strips(self, place: str, above: CutOrder, count: int, size: tuple[float, float], times: int = 1) -> None:
        """Cut some equal strips by the lines under them: what is said of each, or of all together."""
        if not above.below:
            raise CheckError(f"{place}: nothing is cut from it")
        if count == 1 or above.each:
            self._cut_one(place, above, size, times * count)
            return
        if len(above.below) > 1:
            raise CheckError(f"{place}: {len(above.below)} lines share {count} strips, and none says how")
        (order,) = above.below
        lengthwise = above.act == "lengthwise"
        most = self._most(place, order, size, lengthwise=lengthwise)
        if order.count > count * most:
            raise CheckError(f"{place} “{order.text}”: {count * most} fit, {order.count} are asked for")
        if order.count <= (count - 1) * self._most(place, order, size, lengthwise=lengthwise, loose=True):
            raise CheckError(f"{place} “{order.text}”: {count} strips are cut, fewer would do")
        self._lay_by(place, order, times)

    def _most(
        self, place: str, order: CutOrder, size: tuple[float, float], *, lengthwise: bool, loose: bool = False
    ) -> int:
        """Return how many of a line fit one strip; loosely, how many fit however they were counted.

        Then each round a template is a mark of the ruler wider, and on a nap angled pieces lie one way.
        """
        most = 0
        more, turned = NARROWER * (loose and _is_run(order)), not (loose and self.nap)
        while most < order.count:
            along = self._measure(place, order, size[0], most + 1, lengthwise, turned=turned) + more * (most + 1)
            if along > size[1] + SLIP:
                break
            most += 1
        return most

    def _measure(
        self, place: str, order: CutOrder, height: float, count: int, lengthwise: bool, *, turned: bool = True
    ) -> float:
        if order.act not in ("pieces", "part"):
            raise CheckError(f"{place} “{order.text}” gives no piece")
        along: float | None
        if _is_run(order):
            outline = self._find(place, order).template
            fits = bool(outline) and abs(order.lengths[1] - height) < SLIP
            measure = measure_head_to_foot if RUNS[0] in order.text else measure_same_way_up
            along = measure(outline, count, (order.lengths[0], order.lengths[1])) if fits else None
        else:
            along = order.measure_along(height, count, lengthwise=lengthwise, turned=turned)
        if along is None:
            raise CheckError(f"{place} “{order.text}”: no side is as wide as the strip, {height:g} in")
        return along

    def _cut_one(self, place: str, above: CutOrder, size: tuple[float, float], times: int) -> None:
        """Cut one strip: pieces one after another, then lower strips; times: how many strips are cut alike."""
        height, length = size
        x = y = 0.0
        orders = list(above.below)
        if above.folded:
            x, orders = self._cut_folded(place, orders, size, times)
        for order in orders:
            if order.act in ("ends", "rows"):
                low, room = order.lengths[0], length - x
                y += order.count * low
                if y > height + SLIP:
                    raise CheckError(f"{place} “{order.text}”: lower strips take {y:g} in of {height:g} in")
                if order.act == "rows" and order.lengths[1] > room + SLIP:
                    raise CheckError(f"{place} “{order.text}”: only {room:g} in are there")
                self._cut_strips(place, order, order.count, (low, room), times)
                continue
            if y:
                raise CheckError(f"{place} “{order.text}” comes after the end is cut up")
            x += self._measure(place, order, height, order.count, above.act == "lengthwise")
            if x > length + SLIP:
                raise CheckError(
                    f"{place} “{order.text}”: the strip would have to be {x:g} in long, it is {length:g} in"
                )
            self._lay_by(place, order, times)

    def _cut_folded(
        self, place: str, orders: Sequence[CutOrder], size: tuple[float, float], times: int
    ) -> tuple[float, list[CutOrder]]:
        """Cut through two layers until the fold is opened; return what they take of the strip, and the other lines."""
        at = next((i for i, order in enumerate(orders) if order.act == "open"), len(orders))
        double, x = list(orders[:at]), 0.0
        for one, other in zip(double[::2], [*double[1::2], None], strict=False):
            if other is None or one.count != other.count or {one.hand, other.hand} != {"left", "right"}:
                counts = (
                    f"({one.count}) {one.hand} and ({other.count}) {other.hand}" if other else f"({one.count}) alone"
                )
                raise CheckError(f"{place}: two layers give equal counts of both hands, not {counts}")
            if one.lengths != other.lengths:
                raise CheckError(f"{place}: “{one.text}” and “{other.text}” are not mirror images")
            x += 2 * self._measure(place, one, size[0], one.count, lengthwise=False)
            for order in (one, other):
                self._lay_by(place, order, times)
        if x > size[1] + SLIP:
            raise CheckError(f"{place}: the layers take {x / 2:g} in each, they are {size[1] / 2:g} in long")
        return x, orders[at].below if at < len(orders) else []

    # Pieces

    def _lay_by(self, place: str, order: CutOrder, times: int) -> None:
        """Put the pieces of a line on their pile, if they are what the list says."""
        piece = self._find(place, order)
        if order.layers != self.layers:
            raise CheckError(
                f"{place} “{order.text}”: the stack has {self.layers} layers, the line counts {order.layers}"
            )
        if order.act == "part":
            self.parts[order.piece] += [order.lengths[1]] * (order.count * times)
            return
        figures = read_lengths(piece.cut)
        if "template" not in order.text and not _agree(figures, order.lengths[: len(figures)]):
            raise CheckError(f"{place} “{order.text}”: the list says {piece.cut}")
        if piece.hand in ("left", "right") and order.hand != piece.hand:
            raise CheckError(f"{place} “{order.text}”: piece {piece.id} is a {piece.hand} one")
        self.pile[order.piece] += order.gives * times
        for lies in ("rising", "falling"):
            if f", {lies} from " in order.text:
                self.lying[order.piece, lies] += order.gives * times

    def _find(self, place: str, order: CutOrder) -> PrintedPiece:
        if order.piece not in self.pieces:
            raise CheckError(f"{place} “{order.text}”: piece {order.piece or '?'} is not in the list")
        return self.pieces[order.piece]

    def _join(self, place: str, order: CutOrder) -> None:
        """Sew lengths end to end, two allowances lost at each join, and cut the pieces from them."""
        lengths = self.parts.pop(order.piece, [])
        rows = order.below[0].count if order.text.startswith("For each piece") and order.below else 1
        if len(lengths) != order.count * rows:
            raise CheckError(f"{place}: {len(lengths)} lengths are there, {order.count * rows} are to be sewn")
        if len(order.below) != 1 or order.below[0].piece != order.piece:
            raise CheckError(f"{place}: one line of pieces {order.piece} should follow")
        (made,) = order.below
        whole = sum(lengths) - 2 * self.allowance * (len(lengths) - rows)
        need = made.count * max(made.lengths)
        if need > whole + SLIP:
            raise CheckError(f"{place} “{made.text}”: {need:g} in are needed, {whole:g} in are joined")
        said = read_row(order.text) * rows
        if said and any(abs(one - other) > SLIP for one, other in zip(sorted(said), sorted(lengths), strict=False)):
            raise CheckError(f"{place}: the lengths that were cut are {', '.join(f'{one:g}' for one in lengths)} in")
        if rows > 1 and self.places is not None:
            row = read_row(order.text) or lengths[: order.count]
            self.places.check_row(place, order.piece, row, self.allowance)
        self._lay_by(place, made, 1)

    # Drawings

    def _follow_drawing(
        self, place: str, above: CutOrder, size: tuple[float, float], boxes: Sequence[Box] | None
    ) -> None:
        """Cut a strip as its drawing has it, and count what the lines say of it."""
        self.drawn += 1
        if boxes is None:
            raise CheckError(f"{place}: there is no drawing “{above.drawing}”")
        sides = [(x, y, x + width, y + height) for _, x, y, width, height in boxes]
        if any(min(box[:2]) < -SLIP or box[2] > size[0] + SLIP or box[3] > size[1] + SLIP for box in sides):
            raise CheckError(f"{place}: a piece of the drawing lies outside the strip")
        if not parts_by_straight_cuts(sides):
            raise CheckError(f"{place}: the drawing cannot be cut by straight cuts from edge to edge")
        drawn = Counter(name for name, *_ in boxes)
        said: Counter[str] = Counter()
        for order in above.below:
            runs = any(words in order.text for words in ("angled piece", "60° triangle", *RUNS))
            said[order.piece] += drawn[order.piece] if runs else order.count
            self._lay_by(place, order, above.count)
        if said != drawn:
            raise CheckError(f"{place}: the lines cut {dict(said)}, the drawing has {dict(drawn)}")


def _is_run(order: CutOrder) -> bool:
    """Return True if the pieces of a line are cut round a template one after another along the strip."""
    return "template" in order.text and any(words in order.text for words in RUNS)


def _agree(figures: Sequence[float], given: Sequence[float]) -> bool:
    """Return True if printed figures are the listed ones; one of them may be the width of a narrower pre-cut."""
    off = [abs(a - b) for a, b in zip(sorted(figures), sorted(given), strict=False)]
    return len(figures) == len(given) and sum(one > SLIP for one in off) <= 1 and all(one < NARROWER for one in off)
