"""The cutting of each fabric as lines to print: first the strips, then their sub-cuts, with the pieces of each."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from kit.geometry.outlines import TOLERANCE, lie_alike
from kit.lengths import System, write_decimal, write_length
from kit.model.cutting import AS_IT_COMES, ClothPlan, Cut, Piece, Strip
from kit.model.pattern import Sketch
from kit.output.words.cutting_lines import ClothLines, FirstCut, Joined, SubCut
from kit.output.words.print_words import find_layer, list_print, list_stack
from kit.output.words.sizes import RECTANGLE, SIZES, TRIANGLES, describe_angles
from kit.output.words.strings import say, say_hand, say_name
from kit.output.words.strip_rows import SLIP, ReadRow, find_pile, read_strip, sign_row

ANGLED = "trapezoid", "parallelogram", "60° triangle"
"""Shapes cut at an angle from a strip."""


def list_cutting(sketch: Sketch) -> tuple[ClothLines, ...]:
    """Return the cutting of every fabric in the order of the study.

    Equal strips are put together; the order of cutting is kept. Lengths sewn end to end come last, with their pieces.

    Parameters
    ----------
    sketch
        A sketch or a pattern.
    """
    pieces = {piece.id: piece for piece in sketch.making.pieces}
    plans: dict[str, list[ClothPlan]] = {}
    for plan in sketch.cutting.cloths:
        plans.setdefault(plan.supply.fabric or plan.supply.slot, []).append(plan)
    order = [fabric.name for fabric in sketch.study.fabrics if fabric.name in plans]
    system = sketch.study.measures.system
    writers = [
        (name, _ClothWriter(plan, pieces, system))
        for name in [*order, *(name for name in plans if name not in order)]
        for plan in plans[name][-1:]
    ]
    return tuple(ClothLines(name, tuple(one.list_first()), tuple(one.list_joined())) for name, one in writers)


def name_drawing(plan: ClothPlan, number: int) -> str:
    """Return the name of the drawing of a strip that is not made of rows."""
    return say("drawing_name", fabric=plan.supply.fabric or plan.supply.slot, number=number)


def list_drawn(plan: ClothPlan) -> dict[str, Strip]:
    """Return the strips that need a drawing, by its name; equal strips once."""
    if plan.strips and plan.strips[0].start is not None and not plan.layer:
        return {}
    drawn = dict.fromkeys(strip for strip in find_layer(plan).strips if read_strip(strip) is None)
    return {name_drawing(plan, number): strip for number, strip in enumerate(drawn, start=1)}


class _ClothWriter:
    """Writes the cutting of one cloth."""

    def __init__(self, plan: ClothPlan, pieces: Mapping[str, Piece], system: System, layers: int = 1) -> None:
        self.plan, self.pieces, self.system, self.layers = plan, pieces, system, layers
        self.directed = plan.supply.directed
        self.most = None if plan.supply.form == "yardage" or not plan.strips else plan.strips[0].height
        self.drawings = {strip: name for name, strip in list_drawn(plan).items()}

    def list_first(self) -> Iterable[FirstCut]:
        """Yield the strips, equal ones together."""
        if self.plan.layer:
            one = _ClothWriter(find_layer(self.plan), self.pieces, self.system, self.plan.supply.stack or 1)
            yield list_stack(self.plan, one.list_first(), self.system, lambda cut: self._name(cut)[1][0])
            return
        if self.plan.strips and self.plan.strips[0].start is not None:
            yield from list_print(self.plan, self.system, self._write_placed)
            return
        for strips, rows in self._group():
            first, count = strips[0], len(strips)
            drawing = self.drawings.get(first, "")
            stack = not drawing and self._is_stack(first, rows[0])
            if drawing:
                lines, each = self._list_cuts(first.cuts, 1, count), count > 1
            elif stack:
                lines, each = self._list_stack(rows[0], 1, count), count > 1
            else:
                lines, each = self._list_row([row for held in rows for row in held], 1, first.lengthwise)
            text = self._write_first(first, count, drawing, folded=first.folded and not stack)
            text = f"{text} {say('from_each')}" if each else text
            yield FirstCut(count, first.height, first.length, text, tuple(lines), drawing)

    def list_joined(self) -> Iterable[Joined]:
        """Yield the lengths sewn end to end, piece by piece."""
        cuts = [cut for strip in self.plan.strips for cut in strip.cuts if cut.joined]
        for name in dict.fromkeys(cut.piece for cut in cuts):
            parts = [cut for cut in cuts if cut.piece == name]
            gives = sum(cut.count for cut in parts)
            text = say("sub_cut", what=describe_blank(self.pieces[name], gives, self.system), piece=name)
            rows = gives if self.plan.supply.runs_on else 1
            row = sorted(parts, key=lambda cut: cut.order)[: len(parts) // rows]
            key = "cut_joined_each" if self.plan.supply.runs_on else "cut_joined"
            said = say(key, count=len(row), piece=name, order=self._say_order(row))
            whole = sum(cut.width for cut in parts)
            yield Joined(len(parts), whole, said, SubCut(name, gives, gives, 0, text), rows)

    def _say_order(self, parts: Sequence[Cut]) -> str:
        """Return in which order lengths are joined, where they are not all alike."""
        row = sorted(parts, key=lambda cut: cut.order)
        lengths = [write_length(cut.width, self.system) for cut in row]
        if len(set(lengths)) == 1 or not all(cut.order for cut in row):
            return ""
        return say("join_order", lengths=", ".join(lengths))

    # The groups

    def _name(self, cut: Cut) -> tuple[str, tuple[str, str], float, bool]:
        """Return what makes two cuts one line: piece, pile, length for joining, and whether cut through a fold."""
        pile = ("", "")
        if self.directed:
            pile = find_pile(cut, self.pieces[cut.piece], nap=self.plan.supply.nap)
        return cut.piece, pile, round(cut.width, 4) if cut.joined else 0.0, cut.folded

    def _group(self) -> list[tuple[list[Strip], list[tuple[ReadRow, ...]]]]:
        """Group equal strips; those of one kind of piece alone also with another number of it."""
        groups: dict[object, tuple[list[Strip], list[tuple[ReadRow, ...]]]] = {}
        for strip in self.plan.strips:
            rows = read_strip(strip)
            key: object = strip
            if rows is not None:
                stack = self._is_stack(strip, rows)
                signs = tuple(sign_row(row, self._name) if stack else self._sign(row) for row in rows)
                key = (round(strip.height, 4), round(strip.length, 4), strip.folded, strip.lengthwise, signs)
            strips, read = groups.setdefault(key, ([], []))
            strips.append(strip)
            read.append(rows or ())
        return list(groups.values())

    def _sign(self, row: ReadRow) -> object:
        return self._find_only(row) or sign_row(row, self._name)

    def _find_only(self, row: ReadRow) -> tuple[object, ...] | None:
        """Return the only kind of piece of a row with its size, None for a row of several."""
        names = {self._name(cut) for cut in row.full}
        return (round(row.height, 4), round(row.length, 4), *names) if len(names) == 1 and not row.ends else None

    def _is_stack(self, strip: Strip, rows: Sequence[ReadRow]) -> bool:
        return len(rows) != 1 or rows[0].height < strip.height - SLIP

    # The lines

    def _list_stack(self, rows: Sequence[ReadRow], depth: int, times: int) -> list[SubCut]:
        """Return the lines of the rows of one pre-cut, equal ones together."""
        groups: dict[object, list[ReadRow]] = {}
        for row in rows:
            groups.setdefault(self._sign(row), []).append(row)
        lines = []
        for held in groups.values():
            below, each = self._list_row(held, depth + 1, times=times)
            lines.append(self._write_strips("row_strips", held, depth, times, each=each))
            lines += below
        return lines

    def _list_row(
        self, rows: Sequence[ReadRow], depth: int, lengthwise: bool = False, *, times: int = 1
    ) -> tuple[list[SubCut], bool]:
        """Return the lines of some equal rows, and whether they say what is cut from each of several."""
        if self._find_only(rows[0]):
            return self._list_cuts([cut for row in rows for cut in row.full], depth, times), False
        row, each = rows[0], len(rows) > 1
        double = sorted(
            (cut for cut in row.full if cut.folded), key=lambda cut: (min(cut.x, row.length - cut.x - cut.width), cut.x)
        )  # mirror images one after the other
        single = [cut for cut in row.full if not cut.folded]
        times *= len(rows)
        lines = self._list_cuts(double, depth, times)
        if double and (single or row.ends):
            lines.append(SubCut("", 0, 0, 0, say("open_fold"), depth=depth, times=times))
            depth += 1
        lines += self._list_cuts(single, depth, times)
        ends: dict[object, list[ReadRow]] = {}
        for end in row.ends:
            ends.setdefault(self._sign(end), []).append(end)
        for held in ends.values():
            below, of_each = self._list_row(held, depth + 1, times=times)
            key = "end_across" if lengthwise else "end_strips"
            lines.append(self._write_strips(key, held, depth, times, each=of_each))
            lines += below
        return lines, each

    def _write_strips(self, key: str, rows: Sequence[ReadRow], depth: int, times: int, *, each: bool) -> SubCut:
        count, row = len(rows), rows[0]
        text = say(
            key, count=count, strips=say("strip" if count == 1 else "strips"),
            height=write_length(row.height, self.system), length=write_length(row.length, self.system),
        )  # fmt: skip
        if any(cut.folded for cut in row.full):
            text = f"{text} {say('cut_folded', each=say('each_one' if count == 1 else 'each_many'))}"
        text = f"{text} {say('from_each')}" if each else text
        long = row.length if key == "row_strips" else 0.0
        return SubCut("", count, 0, 0, text, long, depth, times, row.height)

    def _list_cuts(self, cuts: Sequence[Cut], depth: int, times: int) -> list[SubCut]:
        """Return a line for each piece, pile and length."""
        groups: dict[tuple[str, tuple[str, str], float, bool], list[Cut]] = {}
        for cut in cuts:
            groups.setdefault(self._name(cut), []).append(cut)
        return [
            replace(self._write_cut(name, pile, held), depth=depth, times=times)
            for (name, pile, _, _), held in groups.items()
        ]

    def _write_placed(self, name: str, cuts: Sequence[Cut], placed: str) -> SubCut:
        return self._write_cut(name, self._name(cuts[0])[1], cuts, placed)

    def _write_cut(self, name: str, pile: tuple[str, str], cuts: Sequence[Cut], placed: str = "") -> SubCut:
        piece, gives = self.pieces[name], sum(cut.count for cut in cuts)
        largest = max(cuts, key=lambda cut: cut.count)
        if cuts[0].joined:
            size = _write_box((largest.height, cuts[0].width), self.system)
            text = say("cut_part", count=len(cuts), size=f"{size}{placed}", piece=name)
            return SubCut(name, len(cuts), 0, len(cuts), text, cuts[0].width)
        each = TRIANGLES.get(piece.kind)
        if each is None:
            what = self._write_layers(self._write_shapes(piece, gives, largest) + placed)
            text = say("sub_cut", what=what, piece=name)
            return SubCut(name, gives, gives * self.layers, 0, text, layers=self.layers)
        blanks, spare = len(cuts), len(cuts) * each - gives
        what = self._write_shapes(piece, blanks, largest)
        what = f"{what}{placed}"
        facts = {
            "what": self._write_layers(f"{what}, {_say_pile(*pile)}" if pile[0] else what),
            "triangles": blanks * each * self.layers,
            "piece": say("piece_hand", hand=say_hand(piece.hand), piece=piece.id) if piece.hand else piece.id,
            "spare": spare * self.layers,
        }
        gives, spare = gives * self.layers, spare * self.layers
        text = say("sub_result_spare" if spare else "sub_result", **facts)
        return SubCut(name, blanks, gives, spare, text, layers=self.layers)

    def _write_layers(self, what: str) -> str:
        return say("stack_each", what=what, layers=self.layers) if self.layers > 1 else what

    def _write_shapes(self, piece: Piece, count: int, cut: Cut) -> str:
        """Return the shapes; of a print whose motif is to be the same in all, with the rectangle that each takes."""
        text = describe_blank(piece, count, self.system, cut, self.most)
        plain = self.plan.supply.form == "yardage" and piece.kind not in ANGLED
        if not self.plan.supply.print_repeat or piece.kind == "template" or plain:
            return text
        text = text.replace(f", {say('head_to_foot')}", "").replace(f", {say('same_way_up')}", "")
        return say("sub_from", what=text, size=_write_box((cut.width, cut.height), self.system))

    def _write_first(self, first: Strip, count: int, drawing: str, *, folded: bool) -> str:
        form = self.plan.supply.form
        facts = {
            "count": count,
            "height": write_length(first.height, self.system),
            "length": write_length(first.length, self.system),
            "strips": say("strip" if count == 1 else "strips"),
            "lengths": say("length" if count == 1 else "lengths"),
            "squares": say("square" if count == 1 else "squares"),
            "form": say_name(form if count == 1 else f"{form}s"),
            "each": say("each_one" if count == 1 else "each_many"),
            "drawing": drawing,
        }
        if form == "yardage":
            text = say("cut_lengthwise" if first.lengthwise else "cut_across", **facts)
        elif form in ("strips", "squares"):
            text = say(f"cut_{form}", **facts)
        else:
            text = say("cut_other", **facts)
        text = f"{text} {say('cut_folded', **facts)}" if folded else text
        if drawing:
            return f"{text} {say('cut_drawn', **facts)}"
        return f"{text} {say('cut_along', **facts)}" if first.lengthwise and form == "yardage" else text


def _say_pile(lies: str, kept: str) -> str:
    """Return the diagonal of a square of a one-way print, and which of its triangles is kept on a nap."""
    text = say(f"pile_{lies}")
    return f"{text}, {say('pile_kept', where=say_name(kept))}" if kept else text


def _write_box(size: tuple[float, float], system: System) -> str:
    return " × ".join(write_length(side, system) for side in size)


def describe_blank(piece: Piece, count: int, system: System, cut: Cut | None = None, most: float | None = None) -> str:
    """Return the shapes cut for a piece with their number, hand and ends: "(45) 2½ in squares".

    Parameters
    ----------
    piece
        The piece.
    count
        How many shapes are cut.
    system
        "inch" or "metric".
    cut
        One of the cuts, for a template.
    most
        Width of the pre-cut strip: a piece as wide as the strip is not cut to the ruler. Inches; None for yardage.
    """
    size = dict(piece.rounded)
    if most is not None:
        size = {
            name: most if piece.cut[name] <= most + TOLERANCE and side > most - AS_IT_COMES else side
            for name, side in size.items()
        }
    if piece.kind == "template":
        run = cut is not None and cut.count > 1
        box = (cut.width, cut.height) if cut is not None and not run else (size["width"], size["height"])
        text = say("sub_template", count=count, piece=piece.id, size=_write_box(box, system))
        text = f"{text}, {say('hand_word', hand=say_hand(piece.hand))}" if piece.hand else text
        if not run or cut is None:
            return text
        alike = lie_alike([shape.outline for shape in cut.shapes])
        return f"{text}, {say('same_way_up' if alike else 'head_to_foot')}"
    facts = {name.replace(" ", "_"): write_length(inches, system) for name, inches in size.items()}
    if piece.kind in ANGLED:
        facts |= {"angles": describe_angles(piece), "ends": describe_ends(piece)}
    text = say(f"blank_{SIZES[piece.kind]}{'_one' if count == 1 else ''}", count=count, **facts)
    return f"{text}, {say('hand_word', hand=say_hand(piece.hand))}" if piece.hand and piece.kind != RECTANGLE else text


def describe_ends(piece: Piece) -> str:
    """Return the cut of the ends of a piece with its long side at the bottom."""
    first, second = (write_decimal(f"{angle:.1f}".removesuffix(".0")) + "°" for angle in piece.angles[:2])
    if first == second:
        return say("ends_alike", angle=first)
    if "90°" in (first, second):
        return say("ends_square", angle=second if first == "90°" else first)
    return say("ends_other", first=first, second=second)
