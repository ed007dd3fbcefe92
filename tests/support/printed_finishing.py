"""The numbers of the finishing that a printed pattern must hold, computed from its plan, and how lengths are set."""

from collections import Counter
from math import ceil

from printed import NUMBER, find_numbers

from kit.lengths import round_up, write_buying, write_length, write_nearest
from kit.output.words.finishing_words import write_label


class FinishingSaid:
    """The numbers of borders, backing, layers, quilting, binding, sleeve, label and care, as they are written."""

    def __init__(self, pattern):
        self.pattern = pattern
        self.system = pattern.study.measures.system
        self.step = pattern.cut_list.step

    def exact(self, *inches):
        return {find_one(write_length(value, self.system)) for value in inches}

    def up(self, *inches):
        return {find_one(write_length(round_up(value, self.step), self.system)) for value in inches}

    def near(self, *inches):
        return {find_one(write_nearest(value, self.system)) for value in inches}

    def bought(self, inches):
        return find_one(write_buying(inches, self.system))

    def finishing_needs(self):
        plan = self.pattern.finishing
        backing, batting, binding, sleeve = plan.backing.chosen, plan.batting.chosen, plan.binding, plan.sleeve
        numbers = self.up(*plan.batting.needed, batting.size[1]) | self.exact(batting.size[0])
        numbers |= self.exact(batting.size[1]) if batting.way == "package" else set()
        numbers |= {"1"} if batting.way == "package" else set()
        if backing.bought:
            numbers |= {self.bought(backing.bought), *self.exact(backing.cloth_width), *self.up(backing.cloth)}
        else:
            numbers.add(str(len(backing.panels)))
        numbers |= self.exact(binding.square) | {"1"} if binding.square is not None else {str(len(binding.lengths))}
        numbers |= self.exact(binding.cut) if binding.square is None else set()
        if binding.bought:
            numbers |= {self.bought(binding.bought), *self.exact(binding.cloth_width)}
        if sleeve is not None and sleeve.cloth:
            numbers |= {self.bought(sleeve.bought), *self.up(sleeve.cloth)}
        return numbers

    def finishing(self):
        plan = self.pattern.finishing
        numbers = self.backing(plan.backing.chosen) | self.layers() | self.quilting()
        numbers |= self.binding(plan.binding) | self.care(plan.care)
        sleeve = plan.sleeve
        if sleeve is not None:
            numbers |= self.up(*sleeve.cut) | self.near(*sleeve.finished)
            numbers |= {str(sleeve.strips)} if sleeve.joins else set()
        return numbers | find_numbers("; ".join(write_label(plan)))

    def borders(self):
        plan, numbers = self.pattern.finishing, set()
        for border in plan.borders:
            numbers |= {str(border.number), *self.up(border.lengths[0], border.lengths[2])}
            numbers |= self.near(*(plan.wishes.ease_limit * fit.length for fit in (border.sides, border.ends)))
            numbers |= {"45"} if border.corner == "mitred" else set()
        return numbers

    def backing(self, way):
        plan = self.pattern.finishing
        numbers = self.up(*plan.backing.needed, *(side for panel in way.panels for side in panel.cut))
        numbers |= {str(number) for number in range(1, len(way.panels) + 1)}
        if way.seams and way.way != "diagonal":
            cuts = Counter(tuple(round(side, 6) for side in panel.cut) for panel in way.panels)
            numbers |= {str(count) for count in cuts.values()}
        if way.seams:
            numbers |= {str(way.seams)} | self.exact(plan.backing.allowance)
        numbers |= self.exact(way.cloth_width) if way.way == "wide" else set()
        return numbers | self.near(*(side for piece in way.offcuts for side in piece))

    def layers(self):
        plan = self.pattern.finishing
        batting = plan.batting.chosen
        numbers = self.up(*plan.batting.needed) | self.exact(*plan.backing.overhang, batting.size[0])
        numbers |= self.exact(batting.size[1]) if batting.way == "package" else self.up(batting.size[1])
        return numbers | ({str(batting.joins)} if batting.joins else set())

    def quilting(self):
        plan, quilting = self.pattern.finishing, self.pattern.quilting
        numbers = {str(len(quilting.runs))} if len(quilting.runs) > 1 else set()
        numbers |= self.near(quilting.gap.width) | self.exact(quilting.wishes.gap_limit)
        per = 36 if self.system == "inch" else 100 / 2.54
        for line in plan.thread.lines:
            numbers |= {str(ceil(length / per - 1e-6)) for length in (line.needle, line.bobbin)}
            numbers |= {str(line.spools), str(line.bobbins)}
        colours = [line.colour for line in plan.thread.lines if line.colour != "piecing"]
        return numbers | (find_numbers(" ".join(colours)) if len(colours) > 1 else set())

    def binding(self, binding):
        numbers = self.exact(binding.cut, binding.finished, binding.seam) | {"45"}
        numbers |= self.exact(abs(binding.beyond)) if binding.beyond else set()
        kept, bought = binding.lengths[: binding.from_left_over], binding.lengths[binding.from_left_over :]
        if binding.square is not None:
            numbers |= self.exact(binding.square)
        else:
            numbers |= {str(len(strips)) for strips in (kept, bought) if strips} | self.near(binding.total, *kept)
        if binding.square is None and bought and (binding.grain != "straight" or bought[0] < max(bought)):
            numbers |= self.near(max(bought) if binding.grain != "straight" else bought[0])
        places = self.near(binding.clear, *(join.along for join in binding.joins))
        return numbers | places | self.near(binding.join_cost)

    def care(self, card):
        shares = {f"{100 * share:g}" for share in card.shrinkage}
        return shares | self.near(*card.quilted, *card.washed)


def find_one(text):
    """Return the number of a length as it is written."""
    (number,) = NUMBER.findall(text.replace("\N{NO-BREAK SPACE}", " "))
    return number
