"""What is known while a printed page is read: the pieces, the finished units, the last part of every step."""

import re
from collections.abc import Mapping, Sequence

from kit.checks.cutting_grammar import flatten
from kit.checks.sewing_grammar import PartName, read_part
from kit.checks.sewing_table import DoneUnit, SewingTable
from kit.errors import CheckError
from kit.geometry.outlines import Outline
from kit.lengths import read_length
from kit.model.printed_sewing import PrintedSewing, PrintedShape
from kit.rehearsal.cut_cloth import CannotSewError, CutPiece, as_points, cut_cloth

TOLD, TOLD_METRIC = 0.065, 0.021
"""Inches: measured lengths are told to the nearest eighth of an inch, in metric documents to the nearest millimetre."""


class PageReader:
    """The pieces and units of a page, as far as it has been followed.

    Parameters
    ----------
    printed
        What is printed about sewing.

    Raises
    ------
    CheckError
        A piece that cannot be cut to its shape.
    """

    def __init__(self, printed: PrintedSewing) -> None:
        self.allowance = read_length(printed.allowance)
        self.told = TOLD_METRIC if any("cm" in unit.size for unit in printed.units) else TOLD
        self.shapes: Mapping[str, PrintedShape] = {piece.id: piece for piece in printed.pieces}
        self.batches = frozenset(printed.batches)
        self.cloth: dict[str, CutPiece] = {}
        for piece in printed.pieces:
            try:
                self.cloth[piece.id] = cut_cloth(piece.outline, self.allowance)
            except CannotSewError as error:
                raise CheckError(f"Piece {piece.id} cannot be sewn: {error}") from None
        self.done: dict[str, DoneUnit] = {}
        self.last: dict[int, tuple[str, int]] = {}
        self.sized: set[str] = set()
        self.seams = self.ready = self.lettered = self.dots = self.number = 0
        self.presses: list[str] = []

    def check_batches(self, text: str, place: str, count: int) -> None:
        """Refuse batches that are not printed, or that give another number: "U1", or "U1 (3), U2 (4)"."""
        found = re.findall(r"([^ ,()]+)(?: \((\d+)\))?(?:, |$)", text)
        counts = [int(each) for _, each in found if each]
        if not found or any(name not in self.batches for name, _ in found) or (counts and sum(counts) != count):
            raise CheckError(f"{place}: {count} do not come ready from “{text}”")

    def read_piece(self, text: str, place: str, *, hand: bool = True) -> str:
        """Return the piece of a name such as "left blade B2"; refuse a name or a hand that is not in the list."""
        name, _, id_ = text.rpartition(" ")
        piece = self.shapes.get(id_)
        whole = f"{piece.hand} {piece.name}".strip() if piece and hand else piece.name if piece else ""
        if piece is None or whole != name:
            raise CheckError(f"{place}: “{text}” is neither a piece of the list nor a unit that is finished")
        return id_

    def lay(self, table: SewingTable, text: str, loops: Sequence[Outline], place: str, *, upright: bool) -> list[int]:
        """Lay a named part where the picture shows it, or return the part of an earlier step."""
        said = read_part(text, place)
        if said.count != table.count:
            raise CheckError(f"{place}: “{text}”, and {table.count} are made")
        step = re.fullmatch(r"part of step (\d+)", said.name)
        if said.size and (step or said.name in self.done):
            raise CheckError(f"{place}: “{said.size}” is told of a part that is sewn")
        if step:
            unit, patch = self.last.get(int(step[1]), ("", 0))
            if unit != table.name:
                raise CheckError(f"{place}: no part of step {step[1]} lies there")
            part = table.find_part(patch)
            if self._find_newest(table, part) != int(step[1]):
                raise CheckError(f"{place}: the part of step {step[1]} has been sewn on since")
            return part
        if not loops:
            raise CheckError(f"{place}: “{text}” is not seen in the picture")
        loop = max(([set_upright(p, upright=upright) for p in as_points(loop)] for loop in loops), key=_span)
        if said.name in self.done:
            return table.lay_unit(self.done[said.name], loop, said.turn, place)
        piece = self.read_piece(said.name, place)
        self._check_cut(piece, said, place)
        return table.lay_piece(piece, self.cloth[piece], loop, place)

    def _find_newest(self, table: SewingTable, part: Sequence[int]) -> int:
        inside = set(part)
        return max((step.number for step in table.steps if step.first[0] in inside), default=0)

    def _check_cut(self, piece: str, said: PartName, place: str) -> None:
        """Compare the size that is told with a piece, where it is told, with the list."""
        size = said.size.removeprefix("cut ") if said.size.startswith("cut ") else said.size
        if said.turn:
            raise CheckError(f"{place}: piece {piece} is told to be turned")
        if said.size and size != flatten(self.shapes[piece].cut) and said.size != flatten(self.shapes[piece].cut):
            raise CheckError(f"{place}: piece {piece} “{said.size}”; the list has “{self.shapes[piece].cut}”")


def set_upright(point: complex, *, upright: bool) -> complex:
    """Return a point of a picture that lies on its side as it stands upright."""
    return point if upright else point * 1j


def _span(loop: Sequence[complex]) -> float:
    return max(p.real for p in loop) - min(p.real for p in loop)
