"""The steps of a sewing plan in plain sentences: one action each, numbers before nouns, the result last."""

from cmath import phase
from collections import Counter, defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import degrees

from kit.geometry.outlines import TOLERANCE, Outline
from kit.lengths import write_nearest
from kit.model.pattern import Sketch
from kit.model.pressing import Press
from kit.model.sewing import SewingPlan, SewnUnit, Step
from kit.output.words.batch_words import ReadySteps
from kit.output.words.pressing_sets import list_sets, place_copies
from kit.output.words.seam_places import SeamPlaces
from kit.output.words.seam_words import CardSeams
from kit.output.words.sizes import describe_size
from kit.output.words.step_lists import find_repeat, list_repeat, list_runs
from kit.output.words.strings import say, say_hand, say_name
from kit.output.words.unit_measures import measure_aslant

OTHER_WAY: Mapping[Press | None, Press] = {"first": "second", "second": "first"}

RIGHT, HALF = 90, 180
"""Degrees of a quarter turn and of a half turn."""
SHAPED = ("template", "parallelogram", "trapezoid", "60° triangle")
"""Kinds with a size that describes their cut."""


def describe_step(sketch: Sketch, plan: SewingPlan, step: Step) -> str:
    """Say one step in sentences; for many steps ask one `StepSentences`.

    Parameters
    ----------
    sketch
        A sketch or a pattern, for its cut list and units of length.
    plan, step
        The plan and one of its steps.
    """
    return StepSentences(sketch, plan).say(step)


@dataclass(frozen=True, slots=True)
class RunWords:
    """Several steps in words: the beginning, a row for each, the result.

    Attributes
    ----------
    begin, result
        Sentences.
    items
        The rows: the number, the part, its edge or the ends of the seam, where to stop, and the pressing; a cell that
        is empty in every row is said in the beginning, or nothing is to be said.
    """

    begin: str
    items: tuple[tuple[str, ...], ...]
    result: str


class StepSentences:
    """Describes the steps of one plan.

    Parameters
    ----------
    sketch, plan
        As for `describe_step`.
    """

    def __init__(self, sketch: Sketch, plan: SewingPlan) -> None:
        self.sketch, self.plan = sketch, plan
        self.system = sketch.study.measures.system
        self.units = {unit.name: unit for unit in plan.units}
        self.last = {step.unit: step.number for step in plan.steps}
        self.sets = list_sets(plan)
        self._copies: dict[tuple[str, int], list[tuple[str, int, frozenset[str]]]] = defaultdict(list)
        for unit in plan.units:
            for number, copy in enumerate(unit.copies):
                self._copies[min(copy), len(copy)].append((unit.name, number, frozenset(copy)))
        self.half_turned = plan.pressing.half_turned if plan.pressing else ()
        self.cycles = plan.pressing.odd_cycles if plan.pressing else ()
        self.ready = ReadySteps(sketch.making.made, plan)
        self.places = SeamPlaces(sketch, plan)
        self._sizes: dict[str, tuple[float, float]] = {}
        self._before: dict[tuple[int, str], int] = {}
        self._first_use: dict[str, int] = {}
        self._read_steps()

    def _read_steps(self) -> None:
        """Note for each step the source step of each of its parts, and the first step of each piece."""
        latest: dict[str, int] = {}
        for step in self.plan.steps:
            for patches in (step.first, step.second):
                if not patches:
                    continue
                self._before[step.number, patches[0]] = latest.get(patches[0], 0)
                alone = len(patches) == 1 and patches[0] in self.sketch.cut_list.piece_of
                if alone and not self.ready.is_ready(step):
                    self._first_use.setdefault(self.sketch.cut_list.piece_of[patches[0]].id, step.number)
            latest.update(dict.fromkeys((*step.first, *step.second), step.number))

    def open_card(self, steps: Sequence[Step]) -> CardSeams:
        """Return the words for the seams of a printed card, as its picture lies; seams that come ready have none."""
        left = [step for step in steps if not self.ready.is_ready(step)]
        return CardSeams(self.places, left, turned=self.places.lies_down(steps))

    def open_alone(self, step: Step) -> CardSeams:
        """Return the words for the seam of one step, its picture upright."""
        return CardSeams(self.places, () if self.ready.is_ready(step) else (step,))

    def say(self, step: Step, card: CardSeams | None = None) -> str:
        """Return a step in sentences of one action each, the result last.

        Parameters
        ----------
        step
            A step of the plan.
        card
            The seams of its card; None: those of the step alone, its picture upright.
        """
        unit = self.units[step.unit]
        card = card or self.open_alone(step)
        said = [self.ready.say(step, self._say_action(step, card))]
        if step.spun_at is not None:
            said.append(say("say_spin", way=self._say_spin()))
        elif step.press:
            said.append(say("say_press", way=self._say_press(step, card)))
        if card.turned:
            said.append(say("lies_down"))
        return " ".join([*said, say("say_result", result=self._name_result(unit, step))])

    def _say_action(self, step: Step, card: CardSeams) -> str:
        """Return the sewing, or the trimming."""
        if step.kind == "trim":
            return say("say_trim", unit=count_unit(self.units[step.unit]), corners=card.name_corners())
        stretch = write_nearest(step.sewn[1] - step.sewn[0], self.system)
        facts = {"stretch": stretch, "along": card.say_along(step)}
        stops = card.say_stops(step)
        if not step.second:
            said = say("say_close" if step.kind == "close" else "say_turn", **facts)
            return " ".join([said, say("say_stops", ends=stops)]) if stops else said
        facts |= {"added": _pause(self._name_part(step, step.second)), "lies": self._name_part(step, step.first)}
        facts["how"] = say("say_ragged") if step.ragged else ""
        if step.kind == "partial":
            return say("say_partial", end=stops, **facts)
        if step.kind == "set in":
            return say("say_set_in", **facts)
        said = say("say_join" if facts["along"] else "say_join_only", **facts)
        return " ".join([said, say("say_stops", ends=stops)]) if stops else said

    def say_steps(self, steps: Sequence[Step], card: CardSeams | None = None) -> RunWords:
        """Return several consecutive steps in words.

        Parameters
        ----------
        steps
            A written step of the plan.
        card
            The seams of its card; None: its picture lies as on the page.
        """
        first, last = steps[0], steps[-1]
        card = card or self.open_card(steps)
        presses = [self._say_press(step, card) for step in steps]
        alike = len(set(presses)) == 1
        several = sum(bool(step.second) for step in steps) > 1
        stops = [card.say_stops(step) for step in steps]
        begin = say("run_begin" if several else "run_begin_one", lies=self._name_part(first, first.first))
        told = {"run_dots": any(stops), "run_ragged": first.ragged}
        begin += "".join(f" {say(key)}" for key in told if told[key])
        if alike and first.press:
            begin += " " + say("say_press_each", way=presses[0])
        if card.turned:
            begin += " " + say("lies_down")
        rows = []
        for step, stop in zip(steps, stops, strict=True):
            part = self._name_part(step, step.second) if step.second else say("run_turn")
            way = "" if alike else self._say_press(step, card, "row_press")
            rows.append((step.told, (part, card.say_along(step, "row"), stop, way)))
        every = find_repeat([row for _, row in rows])
        if every:
            begin += f" {say('run_in_turn', first=self._name_part(first, first.second), count=-(-len(rows) // every))}"
        items = list_repeat(rows, every) if every else list_runs(rows)
        return RunWords(begin, items, say("say_result", result=self._name_result(self.units[last.unit], last)))

    def say_run(self, steps: Sequence[Step], card: CardSeams | None = None) -> str:
        """Return the words of `say_steps` as one text."""
        words = self.say_steps(steps, card)
        rows = "; ".join(f"{number}: {', '.join(filter(None, cells))}" for number, *cells in words.items)
        return f"{words.begin} {rows}. {words.result}"

    def list_rows(self) -> list[dict[str, object]]:
        """Return one row per step: number, unit, number to make, action, pressing, unfinished size."""
        return [
            {
                "Step": step.told or "–",
                "Unit": step.unit,
                "Make": self.units[step.unit].count,
                "Action": self.say(step),
                "Press": self._say_press(step, self.open_alone(step)) if step.press else "–",
                "Unfinished": self.write_size(self.units[step.unit]) if self.is_last(step) else "–",
            }
            for step in self.plan.steps
        ]

    def is_last(self, step: Step) -> bool:
        """Return True if a step is the last of its unit."""
        return step.number >= self.last[step.unit]

    def write_size(self, unit: SewnUnit) -> str:
        """Return the unfinished size of a unit, along its own sides if it is slanted in the top."""
        return " × ".join(write_nearest(size, self.system) for size in self.measure(unit))

    def measure(self, unit: SewnUnit) -> tuple[float, float]:
        """Return the ruler's figures along a longest outer side and across; the plan's figures if it is level."""
        if unit.name not in self._sizes:
            known = self.sketch.patchwork.by_id
            shapes = self.sketch.patchwork.list_outlines([patch for patch in unit.copies[0] if patch in known])
            self._sizes[unit.name] = measure_aslant(shapes, self.sketch.cut_list.allowance) or unit.unfinished
        return self._sizes[unit.name]

    def _name_result(self, unit: SewnUnit, step: Step) -> str:
        if self.is_last(step):
            return say("unit_done", unit=count_unit(unit), size=self.write_size(unit))
        return say("unit_begun", unit=count_unit(unit))

    def _name_part(self, step: Step, patches: Sequence[str], *, every: bool = False) -> str:
        """Return the part taken up in a step: a number of pieces, of units, or the result of an earlier step.

        A step without a number on paper is named only if every step is to be.

        The cut size appears only at the first use of a piece.
        """
        count = self.units[step.unit].count
        if len(patches) == 1:
            return self._name_piece(step, patches[0], count)
        wanted = frozenset(patches)
        for name, number, copy in self._copies.get((min(wanted), len(wanted)), ()):
            if name != step.unit and copy == wanted:
                turn = self._name_turn(name, number)
                return say("unit_many", count=count, name=say_name(name)) + turn + self._name_sets(step, name, number)
        before = self._before.get((step.number, patches[0]), 0)
        if before:
            made = self.plan.steps[before - 1]
            if not made.told and not every:
                return say("of_before", count=count)
            return say("of_step", count=count, step=made.called)
        return say("of_patches", count=count, patches=len(wanted))

    def name_parts(self, step: Step) -> tuple[str, str]:
        """Return the part that a step adds and the part that lies there, in words; every step before has a number."""
        parts = (self._name_part(step, part, every=True) if part else "" for part in (step.second, step.first))
        return next(parts), next(parts)

    def _say_press(self, step: Step, card: CardSeams, where: str = "press") -> str:
        """Return the pressing of a seam, and of the copies pressed the other way; empty for a trim."""
        if step.spun_at is not None:
            return say("press_spun", way=self._say_spin())
        if not step.press:
            return ""
        usual = say(f"{where}_{step.press}") if step.second or step.press == "open" else card.say_way(step, where)
        met = sorted({number for cycle in self.cycles if step.number in cycle for number in cycle} - {step.number})
        if step.press == "open" and met:
            return say("press_open_why", steps=join_words(self._name_steps(met)))
        back = set(step.pressed_back)
        if not back or step.unit in self.half_turned:
            return usual
        turned = [
            say("press_set", number=number, count=len(copies))
            for number, copies in enumerate(self.sets[step.unit], start=1)
            if back >= set(copies)
        ]
        other = say(f"{where}_{OTHER_WAY[step.press]}") if step.second else card.say_way(step, where, back=True)
        return say("press_back", usual=usual, other=other, sets=join_words(turned))

    def _name_steps(self, numbers: Sequence[int]) -> list[str]:
        """Return the names of steps: the numbers as printed, and the units of those that come ready."""
        steps = [self.plan.steps[number - 1] for number in numbers]
        told = [say("step_named", number=step.told) for step in steps if step.told]
        return [*told, *dict.fromkeys(say("unit_one", name=say_name(step.unit)) for step in steps if not step.told)]

    def _say_spin(self) -> str:
        """Return the way round a spun centre as the back shows it, the other way than on the right side."""
        spin = self.plan.pressing.spin if self.plan.pressing else "clockwise"
        return say("spin_counter" if spin == "clockwise" else "spin_clockwise")

    def _name_sets(self, step: Step, name: str, number: int) -> str:
        """Return the sets of the copies of a unit used in a step, empty if there is one set."""
        if len(self.sets[name]) < 2:
            return ""
        if name in self.half_turned:
            copies = place_copies(self.units[step.unit], self.units[name], number)
            turned = sum(copy not in self.sets[name][0] for copy in copies)
            if turned in (0, len(copies)):
                return say("half_turned") if turned else ""
            return say("some_half_turned", count=turned)
        taken = Counter(place_copies(self.units[step.unit], self.units[name], number))
        counts: Counter[int] = Counter()
        for copy, times in taken.items():
            counts[next(i for i, copies in enumerate(self.sets[name], start=1) if copy in copies)] += times
        if len(counts) == 1:
            return " " + say("of_set", set=next(iter(counts)))
        named = [f"({times}) {say('of_set', set=one)}" for one, times in sorted(counts.items())]
        return f" ({join_words(named)})"

    def _name_turn(self, name: str, number: int) -> str:
        """Return how a copy of a unit is turned as it is laid, seen against the unit's own picture."""
        copies = self.units[name].copies
        lying = self.sketch.patchwork.list_outlines
        here, there = ([_find_centre(outline) for outline in lying(copies[k])] for k in (0, number))
        far = max(range(len(here)), key=lambda i: abs(here[i] - here[0]))
        if abs(here[far] - here[0]) < TOLERANCE:
            return ""
        turn = round(degrees(phase((there[far] - there[0]) / (here[far] - here[0]))))
        if not turn or abs(turn) == HALF:
            return say("half_turned") if turn else ""
        side = say("turned_left" if turn > 0 else "turned_right")
        return (
            say("quarter_turned", side=side) if abs(turn) == RIGHT else say("turned_by", degrees=abs(turn), side=side)
        )

    def _name_piece(self, step: Step, patch: str, count: int) -> str:
        piece = self.sketch.cut_list.piece_of[patch]
        facts = {"count": count, "name": say_name(piece.name), "piece": piece.id}
        said = say("part_hand", hand=say_hand(piece.hand), **facts) if piece.hand else say("part_plain", **facts)
        if self._first_use.get(piece.id) != step.number:
            return said
        size = describe_size(piece.kind, piece.rounded, self.system)
        return say("part_shape" if piece.kind in SHAPED else "part_cut", part=said, size=size)


def _find_centre(outline: Outline) -> complex:
    return sum((complex(x, y) for x, y in outline), 0j) / len(outline)


def count_unit(unit: SewnUnit) -> str:
    """Return a unit with its number; for one unit "the"."""
    return say("unit_many" if unit.count > 1 else "unit_one", count=unit.count, name=say_name(unit.name))


def join_words(parts: Sequence[str]) -> str:
    """Return parts with commas and an "and"."""
    if len(parts) == 1:
        return parts[0]
    return say("list_last", first=say("list_comma").join(parts[:-1]), last=parts[-1])


def _pause(part: str) -> str:
    """Return a part with a comma after it if its name includes its size."""
    return f"{part}," if "," in part else part
