"""The printed words of one card, sewn on a table: where each seam goes, and every figure told of it."""

import re
from collections.abc import Mapping, Sequence

from kit.checks.cutting_grammar import flatten
from kit.checks.page_reader import PageReader, set_upright
from kit.checks.sewing_grammar import PRESSED, READY, SOME_READY, SeamOrder, read_card, write_number
from kit.checks.sewing_table import NEAR, LaidStep, SewingTable, find_side, name_facing
from kit.errors import CheckError
from kit.geometry.outlines import Outline
from kit.model.printed_sewing import PrintedCard, PrintedPicture, ReadySeam
from kit.model.sewing import UNTOLD
from kit.rehearsal.cut_cloth import along, as_points

LETTERS = "abcdefghjkmnpqrstuvwxyz"
"""The letters of ends, in their order; after the last come aa, ab and so on."""


class CardReader:
    """Sews the seams of one card."""

    def __init__(self, reader: PageReader, table: SewingTable, card: PrintedCard) -> None:
        self.reader, self.table, self.card = reader, table, card
        self.picture: PrintedPicture = card.picture
        self.known: list[str] = []
        self.before: SeamOrder | None = None

    def follow(self) -> None:
        """Sew every seam of the card."""
        if self.card.ready:
            self._follow_ready()
            return
        orders = read_card(self.card)
        some = SOME_READY.match(flatten(self.card.text))
        if some:
            self.reader.check_batches(some[3], self.card.number, int(some[1]))
        for order, after in zip(orders, (*orders[1:], None), strict=True):
            self._count(order.number, order.place)
            self._check_letters(order)
            step = self._trim(order) if order.kind == "trim" else self._sew(order, after)
            self.reader.presses.append(order.press)
            self.reader.last[order.number] = (self.table.name, step.first[0])
            self.before = order
        if set(self.known) != set(self.picture.letters):
            missing = sorted(set(self.picture.letters) - set(self.known))
            raise CheckError(
                f"{self.card.number}: the picture has the letters {', '.join(missing)}; no word names them"
            )
        self._check_result(orders[-1])

    def _follow_ready(self) -> None:
        place = self.card.number or self.table.name
        said = PRESSED.fullmatch(flatten(self.card.text)) or READY.fullmatch(flatten(self.card.text))
        if said is None:
            raise CheckError(f"{place}: “{self.card.text}” does not say that it comes ready")
        upright, words = not said["turned"], said.groupdict()
        last = self.card.ready[-1]
        if "count" in words:
            self._check_ready(place, words, last)
        for seam in self.card.ready:
            if seam.number < UNTOLD:
                self._count(seam.number, place)
            part = self._take(seam.lies, self.picture.lying.get(seam.number, ()), place, upright=upright)
            shown = self.picture.added.get(seam.number, ())
            added = self._take(seam.added, shown, place, upright=upright) if seam.added else []
            order = SeamOrder(seam.number, place, seam.kind)
            ends = complex(*seam.ends[0]), complex(*seam.ends[1])
            step = self.table.sew(order, ends, part, added)
            step.press = seam.press
            if seam.kind != "partial":
                step.stops = tuple(spot for spot, stop in zip(step.sewn, seam.stops, strict=True) if stop)
            self.table.note_ready(step)
            self.reader.presses.append("" if seam is not last else words.get("press") or "")
            self.reader.last[seam.number] = (self.table.name, step.first[0])
            self.reader.ready += 1

    def _check_ready(self, place: str, words: Mapping[str, str | None], last: ReadySeam) -> None:
        """Compare what is told of seams out of a batch: how many, which steps, the last one's pressing."""
        numbers = [seam.number for seam in self.card.ready]
        if self.card.number != write_number(numbers) or words["count"] != f"{self.table.count}":
            raise CheckError(
                f"{place}: ({words['count']}) come ready; {self.table.count} are made, {len(numbers)} steps"
            )
        self.reader.check_batches(words["batch"] or "", place, self.table.count)
        side = _name_press(words["press"] or "") if last.added else last.press
        if side != last.press:
            raise CheckError(f"{place}: “{words['press']}”; the arrow of step {last.number} points the other way")
        self._check_result(SeamOrder(last.number, place, last.kind, result=words["result"] or ""))

    def _count(self, number: int, place: str) -> None:
        self.reader.number += 1
        if number != self.reader.number:
            raise CheckError(f"{place}: step {number} follows step {self.reader.number - 1}")

    def _check_letters(self, order: SeamOrder) -> None:
        """Refuse letters that the picture does not have, or that do not come in their order."""
        for letter in order.ends:
            if letter not in self.picture.letters:
                raise CheckError(f"{order.place}: the picture has no letter {letter}")
            if letter not in self.known:
                due = _name_letter(len(self.known))
                if letter != due:
                    raise CheckError(f"{order.place}: the letter {letter} is named before {due}")
                self.known.append(letter)
        if len(set(order.ends)) < len(order.ends):
            raise CheckError(f"{order.place}: one letter is told twice: {', '.join(order.ends)}")
        strange = [letter for letter in (*order.dots, *order.over) if letter not in order.ends]
        if strange:
            raise CheckError(f"{order.place}: {strange[0]} is not an end of its seam")

    def _at(self, letter: str, order: SeamOrder) -> complex:
        return set_upright(complex(*self.picture.letters[letter]), upright=not order.turned)

    def _take(self, text: str, loops: Sequence[Outline], place: str, *, upright: bool) -> list[int]:
        return self.reader.lay(self.table, text, loops, place, upright=upright)

    def _sew(self, order: SeamOrder, after: SeamOrder | None) -> LaidStep:
        table, reader = self.table, self.reader
        first = self._find_lying(order)
        second: list[int] = []
        if order.added:
            loops = self.picture.added.get(order.number, ())
            second = self._take(order.added, loops, order.place, upright=not order.turned)
            if set(second) & set(first):
                raise CheckError(f"{order.place}: “{order.added}” lies in both parts")
        ends = self._find_ends(order, second)
        step = table.sew(order, ends, first, second)
        self._check_way(order, after, step, ends)
        length = abs(ends[1] - ends[0])
        if order.stretch is not None and abs(order.stretch - length) > self.reader.told:
            raise CheckError(f"{order.place}: “over {order.stretch:g} in”; from letter to letter it is {length:.3f} in")
        self._check_over(order, step, ends)
        self._check_dots(order, step)
        step.press = self._read_press(order, step)
        reader.seams += 1
        reader.lettered += bool(order.ends)
        reader.dots += len(order.dots)
        return step

    def _find_lying(self, order: SeamOrder) -> list[int]:
        """Return the part that a seam is sewn to: the one that is named, or the work so far."""
        if order.lies:
            loops = self.picture.lying.get(order.number, ())
            return self._take(order.lies, loops, order.place, upright=not order.turned)
        if not self.table.steps:
            raise CheckError(f"{order.place}: nothing lies there yet")
        return self.table.find_part(self.table.steps[-1].first[0])

    def _find_ends(self, order: SeamOrder, second: Sequence[int]) -> tuple[complex, complex]:
        if order.ends:
            return self._at(order.ends[0], order), self._at(order.ends[1], order)
        loops = self.picture.added.get(order.number, ())
        if not loops or not second:
            raise CheckError(f"{order.place}: the picture shows no {order.side} edge of an added part")
        edges = find_side(as_points(loops[0]), order.side)
        if len(loops) > 1 or len(edges) != 1:
            raise CheckError(f"{order.place}: {len(edges)} edges of the added part face the {order.side}")
        a, b = edges[0]
        return set_upright(a, upright=not order.turned), set_upright(b, upright=not order.turned)

    def _check_way(
        self, order: SeamOrder, after: SeamOrder | None, step: LaidStep, ends: tuple[complex, complex]
    ) -> None:
        """Refuse letters that are told the wrong way round: the added part lies to the right, a leg goes on."""
        before = self.before
        if not order.ends or order.kind == "partial":
            return
        if order.added:
            a, b = self.table.find_edge(*step.along_first[0])
            leads = (
                after is not None and not after.added and after.kind == "set in" and set(after.ends) & set(order.ends)
            )
            if not leads and ((b - a) / (ends[1] - ends[0])).real < 0:
                raise CheckError(
                    f"{order.place}: from {order.ends[0]} to {order.ends[1]} the added part lies to the left"
                )
        if before is not None and before.ends and order.kind == "set in" and not order.added:
            shared = set(before.ends) & set(order.ends)
            if len(shared) == 1 and (before.ends[1] not in shared or order.ends[0] not in shared):
                raise CheckError(
                    f"{order.place}: it goes from {order.ends[0]}; the seam before ends at {before.ends[1]}"
                )

    def _check_over(self, order: SeamOrder, step: LaidStep, ends: tuple[complex, complex]) -> None:
        """Compare how far the added part reaches beyond the ends of its seam with what is told."""
        if not order.ragged:
            if order.over:
                raise CheckError(f"{order.place}: an end reaches beyond, and the ends are not uneven")
            return
        way = (ends[1] - ends[0]) / abs(ends[1] - ends[0])
        spots = [along(p, ends[0], way) for k, label in step.along_second for p in self.table.find_edge(k, label)]
        beyond = 0.0 if order.kind == "partial" else max(spots) - abs(ends[1] - ends[0])
        over = (-min(spots), beyond)
        for letter, measured in zip(order.ends, over, strict=True):
            told = order.over.get(letter, 0.0)
            if abs(told - max(0.0, measured)) > self.reader.told:
                raise CheckError(
                    f"{order.place}: “{told:g} in beyond {letter}”; it reaches {measured:.3f} in beyond it"
                )

    def _check_dots(self, order: SeamOrder, step: LaidStep) -> None:
        """Compare the dots that are told with those in the picture, and note them as stops."""
        drawn = [
            letter for letter in order.ends
            if any(abs(complex(*dot) - complex(*self.picture.letters[letter])) < NEAR for dot in self.picture.dots)
        ]  # fmt: skip
        if order.kind == "partial" and order.dots != order.ends[1:]:
            raise CheckError(f"{order.place}: a partial seam stops at its end {order.ends[1]}, at the dot")
        if set(order.dots) - set(drawn):
            raise CheckError(f"{order.place}: no dot is drawn at {', '.join(sorted(set(order.dots) - set(drawn)))}")
        if order.kind != "partial":
            base = step.sewn
            spots = {order.ends[0]: base[0], order.ends[1]: base[1]} if order.ends else {}
            step.stops = tuple(spots[letter] for letter in order.dots)

    def _read_press(self, order: SeamOrder, step: LaidStep) -> str:
        """Return "first", "second" or "open", the first part being that to the left of the seam as it was sewn."""
        usual, _, other = order.press.partition(", but ")
        usual = usual.removesuffix(" in the picture")
        if usual.startswith("spun"):
            self._check_spin(order)
            return "spun"
        if not usual or usual.startswith("open"):
            return "open" if usual else ""
        if order.added:
            side = _name_press(usual)
            if not side or (other and _name_press(other.partition(" in ")[0]) in ("", side)):
                raise CheckError(f"{order.place}: “{order.press}” does not say to which part")
            return side
        a, b = self.table.find_edge(*step.along_first[0])
        left = (b - a) * 1j * (-1j if order.turned else 1)
        sides = {f"toward the {name_facing(left)}": "first", f"toward the {name_facing(-left)}": "second"}
        if usual not in sides:
            raise CheckError(f"{order.place}: “{order.press}” is along the seam, not to a side of it")
        return sides[usual]

    def _check_spin(self, order: SeamOrder) -> None:
        """Compare the way round that is told, as the back shows it, with the arrows on either side of the centre."""
        arrows = [(complex(*tail), complex(*head)) for tail, head in self.picture.spins.get(order.number, ())]
        if not arrows and order.number not in self.picture.spins and self.card.rows:
            return
        centre = sum(tail for tail, _ in arrows) / max(1, len(arrows))
        seen = {((tail - centre).conjugate() * (head - tail)).imag > 0 for tail, head in arrows}
        if len(arrows) != 2 or seen != {"counter-clockwise" not in order.press}:
            raise CheckError(f"{order.place}: the arrows do not show the seam “{order.press}”")

    def _trim(self, order: SeamOrder) -> LaidStep:
        name = self._name_unit(order.lies, order.place)
        if name != self.table.name or not self.table.steps:
            raise CheckError(f"{order.place}: “{order.lies}” is not what lies there")
        corners = [self._at(letter, order) for letter in order.ends]
        part = self.table.find_part(self.table.steps[-1].first[0])
        return self.table.trim(order, corners, part, self.reader.allowance)

    def _check_result(self, order: SeamOrder) -> None:
        name, _, rest = order.result.partition(", ")
        if self._name_unit(name, order.place) != self.table.name:
            raise CheckError(f"{order.place}: “{order.result}” is not a {self.table.name}")
        if rest != "begun" and not rest.endswith(" unfinished"):
            raise CheckError(f"{order.place}: “{order.result}” does not say what is there")

    def _name_unit(self, text: str, place: str) -> str:
        """Return the unit of "the column" or "(3) column", after a look at its number."""
        many = re.fullmatch(r"\((\d+)\) (.+)", text)
        if (int(many[1]) if many else 1) != self.table.count or (self.table.count == 1) != text.startswith("the "):
            raise CheckError(f"{place}: “{text}”, and {self.table.count} are made")
        return many[2] if many else text.removeprefix("the ")


def _name_press(said: str) -> str:
    """Return "first", "second" or "open" for the words of a seam that adds a part; empty for other words."""
    usual = said.partition(", but ")[0]
    if usual.startswith("open"):
        return "open"
    return {"toward": "second", "away from": "first"}.get(usual.removesuffix(" the added part").removesuffix(" it"), "")


def _name_letter(number: int) -> str:
    first, last = divmod(number, len(LETTERS))
    return (LETTERS[first - 1] if first else "") + LETTERS[last]
