"""Every number that a printed pattern must hold, computed from its plans, part by part; and what is printed of them."""

import re
from collections import Counter, defaultdict
from itertools import pairwise
from math import atan2, ceil, degrees, hypot

from printed import cut_out, find_numbers, read_cover
from printed_finishing import FinishingSaid
from shapely import affinity
from shapely.geometry import Polygon
from shapely.ops import unary_union

from kit.checks.cutting_words_check import cut_by_words
from kit.geometry.outlines import measure_angles
from kit.lengths import write_nearest
from kit.output.document.sewing_texts import print_sewing
from kit.output.words.printed_words import print_cutting

TRIANGLES = {"half-square triangle": 2, "half-rectangle triangle": 2, "quarter-square triangle": 4}
ENDS = re.compile(r"[a-z]{1,2}(?: and [a-z]{1,2})?")
DOTS = re.compile(r"the dot at ([a-z]{1,2}\b(?: and [a-z]{1,2}\b)?)")
"""Letters of ends, and where a sentence says that they have a dot."""
ANGLED = ("trapezoid", "parallelogram", "60° triangle")
SQUARES = {"1", "3"}
"""The test squares: 1 in and 3 cm."""


def compare_numbers(pattern, pages):
    """Return a sentence for each part whose printed numbers are not those of the plans."""
    faults = []
    for name, wanted, printed in list_parts(pattern, pages):
        names = find_names(pattern)
        missing, extra = wanted - printed, printed - wanted - names
        if missing or extra:
            faults.append(f"{name}: missing {sorted(missing)}, not in the plans {sorted(extra)}")
    return faults


def list_parts(pattern, pages):
    """Yield for each part of the document: its name, the numbers of the plans, the numbers on paper."""
    sheets = [page for page in pages if "template sheet" in page]
    said = Said(pattern, pages)
    yield "cover", said.cover(), find_numbers(read_cover(pages))
    table = cut_out(pages, "What you need", "Tools").split("“Needed”")[0]
    yield "requirements", said.requirements(), find_numbers(table)
    yield "tools", said.tools(), find_numbers(cut_out(pages, "Tools", "Before you begin"))
    yield "notes", said.notes(), find_numbers(cut_out(pages, "Before you begin", "Take care"))
    yield "cautions", said.cautions(), find_numbers(cut_out(pages, "Take care", "Fabric key"))
    yield "key", set(), find_numbers(cut_out(pages, "Fabric key", "The pieces"))
    yield "pieces", said.pieces(), find_numbers(cut_out(pages, "The pieces", "Where each fabric goes"))
    yield "cutting", said.cutting(), find_numbers(cut_out(pages, "Cutting", "Sewing"))
    sewing = cut_out(pages, "Sewing", "Finishing")
    yield "sewing", said.sewing(), find_numbers(sewing)
    yield "map", said.map(), find_numbers(cut_out(pages, "Where each fabric goes", "Cutting"))
    yield "finishing", said.finishing(), find_numbers(cut_out(pages, "Finishing", "Colouring page"))
    yield "proof", said.proof(), find_numbers(cut_out(pages, "Proof sheet", "About this pattern"))
    yield "templates", said.templates(), find_numbers("\n".join(strip_footer(page) for page in sheets))
    yield "colophon", said.colophon(), find_numbers(cut_out_last(pages, "About this pattern"))


def strip_footer(page):
    return "\n".join(line for line in page.split("\n") if not re.search(r"page \d+ of \d+|100 %| · Edition ", line))


def cut_out_last(pages, heading):
    page = next(page for page in pages if re.search(rf"^{heading}$", page, re.MULTILINE))
    return page.split(heading)[1].rsplit("\n", 1)[0]


def find_names(pattern):
    """Return the numbers within names: of the title, fabrics, slots, pieces and units."""
    words = [pattern.study.title, *(unit.name for unit in pattern.sewing.units)]
    words += [word for fabric in pattern.study.fabrics for word in (fabric.name, fabric.slot)]
    words += [word for piece in pattern.cut_list.pieces for word in (piece.name, piece.slot)]
    return find_numbers(" | ".join(words))


class Said(FinishingSaid):
    """The numbers of each part, computed from the plans and written as lengths are written."""

    def __init__(self, pattern, pages):
        super().__init__(pattern)
        self.pages = pages
        self.sheets = sum(1 for page in pages if "template sheet" in page)

    def cover(self):
        pattern, plan = self.pattern, self.pattern.sewing
        used = sum(1 for count in pattern.colouring.uses.values() if count)
        numbers = self.near(*pattern.patchwork.finished) | self.other_system(*pattern.patchwork.finished)
        numbers |= {str(len(pattern.patchwork.patches)), str(len(pattern.cut_list.pieces)), str(used)}
        special = plan.set_in_seams or plan.partial_seams
        return numbers | ({str(special)} if special > 1 else set()) | find_numbers(pattern.study.edition)

    def other_system(self, *sides):
        """Write lengths in the other system: to the nearest millimetre, or to the nearest eighth of an inch."""
        if self.system == "inch":
            return {f"{round(25.4 * side) / 10:g}" for side in sides}
        return find_numbers(" ".join(write_nearest(round(8 * side) / 8) for side in sides))

    def requirements(self):
        fabrics = {fabric.name: fabric for fabric in self.pattern.study.fabrics}
        numbers = set()
        for plan in self.pattern.cutting.cloths:
            fabric = fabrics[plan.supply.fabric]
            if fabric.form == "yardage":
                numbers |= {self.bought(plan.as_bought), *self.up(plan.as_bought)}
            else:
                numbers |= {str(len(plan.strips)), *self.exact(fabric.width, plan.strips[0].length)}
        return numbers | self.finishing_needs()

    def map(self):
        """Number the parts of a map that is too large for a page: two or three across, as many down."""
        pages = [page for page in self.pages if re.search(r"Part \d of \d, in rows of \d\.", page)]
        if any("each part that comes in several fabrics has a number" in page for page in self.pages):
            return self.numbered_units()
        across = round(len(pages) ** 0.5)
        return {str(n) for n in range(1, len(pages) + 1)} | {str(across)} if pages else set()

    def numbered_units(self):
        """Number the units of a map by units, and the parts of one in roles that several fabrics share."""
        roles = Counter(one.slot for one in self.pattern.study.fabrics if self.pattern.colouring.uses.get(one.name))
        slots = {patch.id: patch.slot for patch in self.pattern.patchwork.patches}
        (unit,) = (one for one in self.pattern.patchwork.units.children if one.copies > 1)
        parts = sum(roles[slots[patch]] > 1 for patch in unit.patches[0])
        return {str(n) for n in range(1, max(unit.copies, parts) + 1)}

    def tools(self):
        """Number the marks of the ruler, which are those that cut sizes are rounded to, and its angles."""
        return self.exact(self.step) | {
            a for piece in self.pattern.cut_list.pieces if piece.kind in ANGLED for a in self.odd_angles(piece)
        }

    def odd_angles(self, piece):
        """Return the angles of a piece that are not right, each the sharp way."""
        return {f"{round(min(a, 180 - a), 1):g}" for a in piece.angles if abs(a - 90) > 0.01}

    def notes(self):
        """Number the example of a count, the allowance, the rounding, and what is assumed of each cloth."""
        example = 2.5 if self.system == "inch" else 6 / 2.54
        numbers = {"4"} | self.exact(self.pattern.cut_list.allowance, self.step, example)
        for plan in self.pattern.cutting.cloths:
            numbers |= self.exact(plan.supply.width)
            numbers |= self.exact(plan.supply.length or 40.0) if plan.supply.form == "strips" else set()
            numbers |= self.exact(plan.squaring_up) if plan.squaring_up else set()
            numbers |= self.chosen(plan)
            numbers |= {f"{100 * plan.supply.shrinkage:g}"} if plan.supply.shrinkage else set()
            numbers |= self.printed(plan)
        if any(made.unit == "strip set" for made in self.pattern.making.made):
            numbers |= self.exact(self.pattern.study.cutting.set_squaring)
        return numbers

    def printed(self, plan):
        """Number the repeat of a print, its motif, layers and long pieces, and what it takes more than plain cloth."""
        supply, keeps = plan.supply, 1 - plan.supply.shrinkage
        if not supply.repeat:
            return set()
        more = self.exact(plan.used - plan.plain) if plan.used > plan.plain + 1e-6 else set()
        if supply.stack:
            return more | {str(supply.stack)} | self.exact(plan.layer)
        places = (supply.repeat, supply.repeat_across, supply.motif_along, supply.motif_across)
        numbers = self.exact(*(inches * keeps for inches in places if inches is not None))
        numbers |= self.exact(plan.lead) if plan.lead else set()
        for height in {cut.height for strip in plan.strips for cut in strip.cuts}:
            repeats = height / (supply.repeat * keeps)
            numbers |= self.exact(height) | {f"{round(repeats, 2):g}"} if repeats > 1 + 1e-6 else set()
        return more | numbers

    def chosen(self, plan):
        """Number the margin, the lengths with and without joins, what nesting saves, and the widths that are enough."""
        least = 1.0 if self.system == "inch" else 2.5 / 2.54
        numbers = {"5"} | self.exact(least) if plan.margin else set()
        numbers |= self.exact(*plan.joins) if plan.joins else set()
        numbers |= self.exact(plan.rows - plan.used) if plan.used < plan.rows - 1e-5 else set()
        if plan.enough:
            bought, narrow = (self.cloth(inches) for inches in (plan.as_bought, plan.enough.buy))
            numbers |= self.exact(plan.enough.width)
            if narrow > bought + 1e-6:
                numbers |= self.exact(plan.enough.narrower) | {self.bought(narrow - bought)}
        return numbers

    def cloth(self, inches):
        """Return the inches that a shop cuts: eighths of a yard, or tenths of a metre."""
        step = 4.5 if self.system == "inch" else 10 / 2.54
        return ceil(inches / step - 1e-6) * step

    def cautions(self):
        sides = self.pattern.patchwork.finished
        numbers = self.near(*sides) if any("crib" in warning for warning in self.pattern.warnings) else set()
        for found in self.pattern.notices:
            if found.kind == "size-redrafted":
                numbers |= self.near(*(inches for _, inches in found.figures))
            if found.kind == "counts-redrafted":
                numbers |= {f"{figure:g}" for one in found["pieces"] for _, figure in one.figures[1:]}
        bias = sum(piece.outside_bias for piece in self.pattern.cut_list.pieces)
        violations = self.pattern.colouring.violations
        numbers |= {str(bias)} if bias else set()
        return numbers | ({str(violations), str(self.pattern.colouring.bound)} if violations else set())

    def proof(self):
        """Number each line of the proof sheet, from the plans."""
        pattern, plan, finish = self.pattern, self.pattern.sewing, self.pattern.finishing
        count = len(pattern.patchwork.patches)
        hands = Counter(piece.hand for piece in pattern.cut_list.pieces for _ in range(piece.count))
        scale = 1 if self.system == "inch" else 2.54**2
        top = unary_union([Polygon(patch.outline) for patch in pattern.patchwork.patches]).area
        trimmed = sum(Polygon(p.sewn).area - Polygon(p.outline).area for p in pattern.patchwork.patches if p.sewn)
        strips = [strip for cloth in pattern.cutting.cloths for strip in cloth.strips]
        around = 2 * sum(pattern.patchwork.finished)
        binding = finish.binding
        joined = sum(binding.lengths) - (len(binding.lengths) - 1) * binding.join_cost
        beyond = (finish.wishes.overhang_sides, finish.wishes.overhang_ends)
        covered = [side + 2 * more for side, more in zip(pattern.patchwork.finished, beyond, strict=True)]
        used = sum(cloth.used for cloth in pattern.cutting.cloths if cloth.supply.form == "yardage")
        numbers = self.near(*pattern.patchwork.finished, *covered, joined, around, binding.extra, used)
        numbers |= {f"{area * scale:.0f}" for area in (top, trimmed, top + trimmed)}
        numbers |= {str(len(plan.units)), str(sum(times for unit in plan.units for _, times in unit.parts))}
        numbers |= {str(hands["left"]), str(hands["right"]), str(hands[None]), str(count), "0"}
        numbers |= {str(sum(len(piece.cut) for piece in pattern.cut_list.pieces)), str(len(strips))}
        numbers |= {str(len(pattern.cut_list.pieces)), str(len(pattern.study.fabrics))}
        numbers.add(str(sum(1 for times in pattern.colouring.uses.values() if times)))
        numbers.add(str(sum(cut.count for strip in strips for cut in strip.cuts)))
        printed = print_cutting(pattern)
        numbers |= {str(sum(len(cloth.lines) for cloth in printed.cloths))}
        drawn = [line for cloth in printed.cloths for line in cloth.lines if "drawing “" in line.text]
        numbers.add(str(len(drawn)))
        numbers |= self.seams()
        return numbers | ({str(self.sheets)} | SQUARES if self.sheets else set())

    def seams(self):
        """Number the seams told, those with letters, the dots and the trims, and the seams that come ready."""
        steps = self.pattern.sewing.steps
        cards = [card for unit in print_sewing(self.pattern, self.pattern.sewing).units for card in unit.cards]
        ready = sum(len(card.ready) for card in cards)
        texts = [card.text for card in cards if not card.rows and not card.ready]
        trims = sum(text.startswith("Trim ") for text in texts)
        lettered = sum(bool(re.search(r": from [a-z]+ to [a-z]+", text)) for text in texts)
        named = [found for text in texts for found in DOTS.findall(text)]
        for row in (row for card in cards for row in card.rows[1:]):
            lettered += bool(re.match(r"[a-z]{1,2} to [a-z]{1,2}(,|$)", row[2]))
            named += [cell for cell in row[3:4] if ENDS.fullmatch(cell)]
        dots = sum(len(found.split(" and ")) for found in named)
        told = sum(step.kind != "trim" for step in steps) - ready
        return {str(told), str(ready), str(lettered), str(dots), str(trims)}

    def pieces(self):
        numbers = set()
        for piece in self.pattern.making.pieces:
            shown = self.finished_sizes(piece) if piece.patches else ()
            numbers |= {str(piece.count), *self.exact(*piece.rounded.values()), *self.near(*shown)}
            numbers |= find_numbers(piece.name)
        return numbers

    def finished_sizes(self, piece):
        return piece.finished.values()

    def cutting(self):
        """Number the lines that the reader of the words has cut cloth by (`cut_by_words`), and the strips drawn."""
        printed = print_cutting(self.pattern)
        assert cut_by_words(printed).faults == ()
        numbers = find_numbers("\n".join(line.text for cloth in printed.cloths for line in cloth.lines))
        for cloth in printed.cloths:
            for name in cloth.drawings:
                numbers |= find_numbers(name)
        pieces = {piece.id: piece for piece in self.pattern.making.pieces}
        strips = [strip for plan in self.pattern.cutting.cloths for strip in plan.strips]
        runs = [cut.count for strip in strips for cut in strip.cuts if pieces[cut.piece].kind in ANGLED and cut.y == 0]
        many = [count for count in runs if count > 1]
        numbers |= self.batches() | self.shapes()
        return numbers | ({str(n) for n in range(1, min(4, max(many)) + 1)} if many else set())

    def shapes(self):
        """Number the pictures of the shaped pieces: the corners that are not right, the cut sizes, blunt strips."""
        numbers = set()
        for piece in self.pattern.making.pieces:
            if piece.kind not in ("square", "rectangle"):
                numbers |= {f"{round(a, 1):g}" for a in measure_angles(piece.outline) if abs(a - 90) > 0.01}
                numbers |= self.exact(*piece.rounded.values())
                numbers |= self.odd_angles(piece) if piece.kind in ANGLED else set()
        return numbers | {n for cut in self.pattern.making.blunt for n in self.exact(cut.rounded)}

    def batches(self):
        """Number the making of units: how often, how many come out, what is taken, sewn, cut, trimmed and left."""
        numbers, a = set(), self.pattern.cut_list.allowance
        alike = defaultdict(list)
        for made in self.pattern.making.made:
            shown = made.unit in ("half-square", "quarter-square", "half-rectangle", "geese")
            alike[(made.unit, made.way, made.size, made.over) if shown else made.id].append(made)
        for group in alike.values():
            numbers.add(str(sum(len(made.units) for made in group)))
        for made in self.pattern.making.made:
            numbers |= {str(made.makes), str(len(made.units))} | ({str(made.spare)} if made.spare else set())
            numbers |= {str(made.batches)} if made.batches > 1 else set()
            numbers |= {str(count) for count in made.each}
            for blank in made.blanks:
                numbers |= self.exact(*blank.rounded.values())
            numbers |= self.near(*(side + 2 * a for side in made.size))
            if made.unit == "strip set":
                numbers |= self.exact(made.segment, *made.left)
            else:
                numbers |= self.exact(a) | (self.near(made.over) if made.over >= 1 / 32 else set())
            numbers |= {"2", "1"} if made.unit == "geese" and made.way == "four at a time" else set()
            numbers |= self.exact(made.sizes[0][0] / 2) if made.way == "eight at a time" else set()
        return numbers

    def chains(self):
        """Number the chains: each, or from where to where they hold one seam each; steps, seams, minutes."""
        chains, numbers = self.pattern.chains, set()
        pace = self.pattern.study.finishing.seam_seconds / 60
        runs = [[chains[0]]] if chains else []
        for chain in chains[1:]:
            if self.share_a_line(runs[-1][-1], chain):
                runs[-1].append(chain)
            else:
                runs.append([chain])
        for run in runs:
            seams = sum(chain.seams for chain in run)
            numbers |= {str(run[0].number), str(run[-1].number), str(seams), f"{seams * pace:.0f}"}
            numbers |= {str(link.count) for chain in run for link in chain.links if seams > len(run) or len(run) == 1}
        total = sum(chain.seams for chain in chains)
        return numbers | {str(len(chains)), f"{total * pace:.0f}"}

    def share_a_line(self, one, other):
        """Return True if two chains, one after the other, share a line: a seam each, or the next step as often."""
        if one.seams == other.seams == 1:
            return True
        steps = {step.number: step for step in self.pattern.sewing.steps}
        if len(one.links) > 1 or len(other.links) > 1 or one.links[0].made or other.links[0].made:
            return False
        before, after = steps[one.links[0].step], steps[other.links[0].step]
        return one.seams == other.seams and after.number - before.number == 1 and after.unit == before.unit

    def sewing(self):
        plan = self.pattern.sewing
        counts = {unit.name: unit.count for unit in plan.units}
        sewn = {step.unit for step in plan.steps}
        ready = self.ready_units()
        called = {step.number: step.told for step in plan.steps}
        shown = [step for step in plan.steps if step.unit not in ready]
        assert [step.told for step in shown] == list(range(1, len(shown) + 1))
        numbers = {str(called[step.number]) for step in shown}
        numbers |= {str(counts[step.unit]) for step in plan.steps}
        for name in ready:
            numbers |= self.near(*self.unit_size(next(unit for unit in plan.units if unit.name == name)))
        for unit in plan.units:
            if unit.name in sewn and unit.name not in ready:
                numbers |= {str(count) for _, count in unit.parts} | self.near(*self.unit_size(unit))
        for piece in self.pattern.cut_list.pieces:
            numbers |= self.exact(*piece.rounded.values())
        for step in plan.steps:
            if step.kind in ("partial", "close", "set in"):
                numbers |= self.near(step.sewn[1] - step.sewn[0])
        if any(step.kind == "trim" for step in shown):  # shown beside its picture
            numbers |= self.exact(self.pattern.cut_list.allowance)
        return numbers | self.pressing() | self.borders() | self.chains()

    def ready_units(self):
        """Name the units of which every seam comes ready from batches, in every copy."""
        plan, units = (
            self.pattern.sewing,
            {patch: unit for m in self.pattern.making.made for unit in m.units for patch in unit},
        )
        copies = {unit.name: unit.copies for unit in plan.units}
        sewn = {step.unit for step in plan.steps}
        inside = {
            name for name in sewn
            if all(copy[0] in units and set(copy) <= set(units[copy[0]]) for copy in copies[name])
        }  # fmt: skip
        return [name for name in copies if name in inside]

    def pressing(self):
        """Number the sets of copies that are pressed alike, from the first copy on, and count them."""
        plan = self.pattern.sewing
        kind, numbers = {}, set()
        for unit in plan.units:
            back = [step for step in plan.steps if step.unit == unit.name]
            signs = [
                (*(i in step.pressed_back for step in back), *(kind.get(patch) for patch in copy))
                for i, copy in enumerate(unit.copies)
            ]
            order = list(dict.fromkeys(signs))
            for sign, copy in zip(signs, unit.copies, strict=True):
                kind.update(dict.fromkeys(copy, (unit.name, order.index(sign))))
            if len(order) > 1:
                numbers |= {str(i) for i in range(1, len(order) + 1)} | {str(n) for n in Counter(signs).values()}
        return numbers

    def unit_size(self, unit):
        """Measure a unit along its own sides where little of it is level, by another geometry than the kit's own."""
        shapes = dict(self.pattern.sewing.target)
        whole = unary_union([Polygon(shapes[patch]).buffer(1e-7) for patch in unit.copies[0]]).simplify(1e-4)
        if whole.geom_type != "Polygon":
            return unit.unfinished
        corners = list(whole.exterior.coords)
        edges = [((bx - ax), (by - ay)) for (ax, ay), (bx, by) in pairwise(corners)]
        along = {}
        for x, y in edges:
            name = round(degrees(atan2(y, x)), 2) % 90
            along.setdefault(round(name, 2) % 90, []).append((hypot(x, y), x, y))
        length = {name: sum(side for side, _, _ in sides) for name, sides in along.items()}
        if length.get(0.0, 0.0) >= 0.65 * max(length.values()):
            return unit.unfinished
        _, x, y = max(along[max(length, key=length.get)])
        grown = whole.buffer(self.pattern.cut_list.allowance, join_style="mitre", mitre_limit=50)
        left, bottom, right, top = affinity.rotate(grown, -degrees(atan2(y, x)), origin=(0, 0)).bounds
        if (right - left) * (top - bottom) >= unit.unfinished[0] * unit.unfinished[1] - 1e-9:
            return unit.unfinished
        return right - left, top - bottom

    def templates(self):
        """Count the pieces; of a template larger than the room that both papers have, count the parts too."""
        pieces = [piece for piece in self.pattern.cut_list.pieces if piece.kind == "template"]
        numbers = {str(piece.count) for piece in pieces} | (SQUARES if self.sheets else set())
        for piece in pieces:
            left, bottom, right, top = Polygon(piece.outline).bounds
            wide, high = (right - left) * 25.4, (top - bottom) * 25.4
            if (wide <= 186 and high <= 196) or (high <= 186 and wide <= 196):
                continue
            across, down = max(1, ceil((wide - 12) / 174)), max(1, ceil((high - 12) / 184))
            numbers |= {str(n) for n in range(1, across * down + 1)} | {str(across)}
        return numbers

    def colophon(self):
        facts = self.pattern.colophon
        print_ = facts["fingerprint"]
        study = self.pattern.study
        words = f"{study.date} {study.edition} {study.seed} {facts['seamproof']} {print_} {print_[:8]}"
        return find_numbers(words)
