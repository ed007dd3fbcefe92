"""The printed words of one unit after another, sewn on a table: its cards, its size, what it takes."""

import re
from collections import Counter
from collections.abc import Sequence

from kit.checks.card_reader import CardReader
from kit.checks.cutting_grammar import flatten, read_lengths
from kit.checks.page_reader import PageReader
from kit.checks.sewing_grammar import LENGTH, read_part
from kit.checks.sewing_table import DoneUnit, SewingTable
from kit.errors import CheckError
from kit.geometry.outlines import measure_box, measure_directions, offset_outline, turn_outline
from kit.model.printed_sewing import PrintedUnit

COME = re.compile(r"\((\d+)\) parts? from (.+)")
"""What comes sewn together out of batches, among what a unit takes."""


class UnitReader(PageReader):
    """Sews the units of a page one after another."""

    def sew(self, unit: PrintedUnit) -> DoneUnit:
        """Sew one unit by its cards, and compare what is told of it."""
        found = re.fullmatch(r"(.+?)(?:: make (\d+))?", flatten(unit.heading))
        if found is None or found[1][1:] != unit.name[1:]:
            raise CheckError(f"“{unit.heading}” is not a heading")
        count = int(found[2] or 1)
        table = SewingTable(unit.name, count)
        for card in unit.cards:
            if flatten(card.make) != f"make {count}":
                raise CheckError(f"{card.number}: “{card.make}”, of the {unit.name} {count} are to be made")
            CardReader(self, table, card).follow()
        if not table.is_whole():
            raise CheckError(f"Unit {unit.name} is not in one part after its last step")
        done = table.finish()
        self._check_size(unit, done)
        done.parts = self._check_parts(unit, done, table.ready)
        self._check_sets(unit, count)
        self.done[unit.name] = done
        return done

    def _check_size(self, unit: PrintedUnit, done: DoneUnit) -> None:
        said = re.fullmatch(r"Check: (.+) unfinished\.", flatten(unit.size))
        last = unit.cards[-1]
        result = re.search(r"Result: (.+?), (.+) unfinished\.$", flatten(last.result or last.text))
        pressed = last.ready and not last.number
        sized = said is not None and re.fullmatch(f"{LENGTH} × {LENGTH}", said[1])
        if said is None or not sized or not (pressed or (result and said[1] == result[2])):
            raise CheckError(f"Unit {unit.name}: “{unit.size}” is not the size of its last step")
        figures = read_lengths(said[1])
        sizes = list(_measure_sizes(done, self.allowance))
        near = self.told
        fits = [
            all(abs(a - b) < near for a, b in zip(figures, size, strict=True)) for size in sizes if len(figures) == 2
        ]
        if not any(fits):
            wide, high = sizes[0]
            raise CheckError(f"Unit {unit.name}: “{said[1]}” unfinished; it measures {wide:.3f} × {high:.3f} in")

    def _check_parts(
        self, unit: PrintedUnit, done: DoneUnit, ready_parts: Sequence[set[int]]
    ) -> tuple[tuple[str, int], ...]:
        """Compare what one unit takes with what went into it; what comes sewn together is told as parts of batches."""
        used = Counter(part.name for part in done.taken)
        units = {patch for part in done.taken if part.is_unit for patch in part.patches}
        come = [part for part in ready_parts if not part & units]
        text = flatten(unit.parts)
        ready = re.fullmatch(r"They come ready from (.+)\.", text)
        if ready:
            self.check_batches(ready[1], unit.name, done.count)
            return tuple(used.items())
        said = re.fullmatch(r"(?:Each|It) takes (.+)\.", text)
        if said is None:
            raise CheckError(f"Unit {unit.name}: “{text}” does not say what it takes")
        told, batches = Counter(one.name for one in done.taken if any(part.issuperset(one.patches) for part in come)), 0
        for part in re.split(r"(?:, | and )(?=\(\d+\) )", said[1]):
            if parts := COME.fullmatch(part):
                self.check_batches(parts[2], unit.name, done.count)
                batches += int(parts[1])
                continue
            name = read_part(part, unit.name)
            told[name.name if name.name in self.done else self.read_piece(name.name, unit.name, hand=False)] += (
                name.count
            )
        if batches != len(come):
            raise CheckError(f"Unit {unit.name}: “{said[1]}” is told, and ({len(come)}) come ready out of batches")
        if told != used:
            raise CheckError(f"Unit {unit.name}: “{said[1]}” is told, {dict(used)} went into it")
        return tuple(told.items())

    def _check_sets(self, unit: PrintedUnit, count: int) -> None:
        counts = [int(found) for found in re.findall(r"is \((\d+)\) of them", unit.sets)]
        if counts and sum(counts) != count:
            raise CheckError(f"Unit {unit.name}: its sets hold {sum(counts)}, {count} are to be made")


def _measure_sizes(done: DoneUnit, allowance: float) -> list[tuple[float, float]]:
    """Return the unfinished sizes that a ruler finds, level and along every edge, wide by high and high by wide."""
    loops = [tuple((p.real, p.imag) for p in loop) for loop in done.loops]
    around = [point for loop in loops for point in loop]
    left, bottom, right, top = measure_box(around)
    sizes = [(right - left + 2 * allowance, top - bottom + 2 * allowance)]
    if len(loops) == 1:
        grown = offset_outline(loops[0], allowance)
        for way in (0.0, *measure_directions(loops[0])):
            left, bottom, right, top = measure_box(turn_outline(grown, -way))
            sizes += [(right - left, top - bottom), (top - bottom, right - left)]
    return sizes
