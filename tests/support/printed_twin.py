"""The numbers of a twin as they are printed: for each where it stands on paper, and in which words."""

import re
from collections import Counter
from itertools import pairwise

from printed import cut_out, read_cover

from kit.lengths import round_up, write_buying, write_length, write_nearest

NOT_PRINTED = {
    "cut": "exact; what is printed is `rounded`, up to the step",
    "outline": "drawn: in templates at full size, and it follows from sizes and angles",
    "along_first": "the edge of a piece is drawn: the dashed seam in the picture of the step",
    "along_second": "as above",
    "offset": "drawn: where the added part begins",
    "stops": "drawn: the dots",
    "trim": "drawn: the dashed outline; the unfinished size of the unit is printed",
}
"""Fields whose numbers no text holds, and why."""
TRIANGLES = {"half-square triangle": 2, "half-rectangle triangle": 2, "quarter-square triangle": 4}


def list_numbers(value, path=()):
    """Yield the place of every number of a twin, a tuple of keys."""
    if isinstance(value, dict | list):
        for key, entry in value.items() if isinstance(value, dict) else enumerate(value):
            yield from list_numbers(entry, (*path, key))
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield path


def read_parts(pages):
    """Return the text of each part of a document, in the order in which it is set, on one line."""
    names = ["What you need", "Tools", "Before you begin", "Take care", "Fabric key", "The pieces"]
    names += ["Where each fabric goes", "Cutting", "Sewing"]
    parts = {a: flatten(cut_out(pages, a, b)) for a, b in pairwise(names)}
    sewing = cut_out(pages, "Sewing", "Finishing")
    kept = {"cover": flatten(read_cover(pages)), "Sewing": flatten(sewing)}
    return parts | kept | {"steps": list_steps(kept["Sewing"]), "cloths": list_cloths(parts["Cutting"])}


def flatten(text):
    return " ".join(text.replace("\N{NO-BREAK SPACE}", " ").split())


class Paper:
    """Every phrase of a twin, with the place where it must stand and the numbers that it holds.

    Attributes
    ----------
    said
        (path of a number, part of the document, pattern of the phrase).
    unsaid
        Paths of numbers that are not printed, each with the reason.
    """

    def __init__(self, twin, system="inch"):
        self.twin, self.system = twin, system
        self.said, self.unsaid = [], {}
        self.pieces = {piece["id"]: piece for piece in twin["pieces"]}
        self.made = {unit: made for made in twin.get("making", ()) for unit in map(frozenset, made["units"])}
        gone = {patch for unit in self.made for patch in unit}
        self.piece_of = {patch: name for name, one in self.pieces.items() for patch in one["patches"]}
        self.single = {name: sum(patch not in gone for patch in one["patches"]) for name, one in self.pieces.items()}
        self.slots = "|".join(sorted({re.escape(piece["slot"]) for piece in twin["pieces"]}))
        self._say_whole()
        for i, piece in enumerate(twin["pieces"]):
            self._say_piece(("pieces", i), piece)
        for i, cloth in enumerate(twin["cutting"]):
            self._say_cloth(("cutting", i), cloth)
        for i, unit in enumerate(twin["units"]):
            self._say_unit(("units", i), unit)
        for i, step in enumerate(twin["steps"]):
            self._say_step(("steps", i), step)
        for i, made in enumerate(twin.get("making", ())):
            self._say_made(("making", i), made)

    def say(self, part, phrase, *paths):
        self.said += [(path, part, phrase) for path in paths]

    def keep(self, reason, *paths):
        self.unsaid.update(dict.fromkeys(paths, reason))

    def exact(self, inches):
        return re.escape(write_length(inches, self.system).replace("\N{NO-BREAK SPACE}", " "))

    def near(self, inches):
        return re.escape(write_nearest(inches, self.system).replace("\N{NO-BREAK SPACE}", " "))

    def _say_whole(self):
        twin = self.twin
        finished = " × ".join(map(self.near, twin["finished"]))
        self.say("cover", rf"{finished} \([^)]*\), width first", ("finished", 0), ("finished", 1))
        self.say("Before you begin", f"Seam allowance: {self.exact(twin['allowance'])} everywhere", ("allowance",))
        self.say("Before you begin", f"rounded up to {self.exact(twin['step'])};", ("step",))
        self.say("Tools", f"marked every {self.exact(twin['ruler'])},", ("ruler",))
        for name, words in (("partial_seams", "sewn in two stages"), ("set_in_seams", "set in at a corner")):
            count = twin[name]
            if count:
                self.say("cover", f"{'one seam' if count == 1 else f'{count} seams'} {words}", (name,))
            else:
                self.keep("zero: nothing is said of it", (name,))

    def _size(self, kind, rounded):
        """Return a cut size as the list of pieces has it."""
        size = {name: self.exact(inches) for name, inches in rounded.items()}
        once, twice = (rf"square {size.get('square')}, cut {times} diagonally" for times in ("once", "twice"))
        return {
            "square": f"{size.get('side')} square",
            "rectangle": f"{size.get('width')} × {size.get('length')}",
            "half-square triangle": once,
            "quarter-square triangle": twice,
            "half-rectangle triangle": f"{size.get('short leg')} × {size.get('long leg')}, cut once diagonally",
            "parallelogram": f"strip {size.get('strip')}, cut every {size.get('step')} along it",
            "trapezoid": f"strip {size.get('strip')}, long side {size.get('long side')},"
            f" short side {size.get('short side')}",
            "60° triangle": f"strip {size.get('strip')}, side {size.get('side')}",
        }.get(kind, f"template, {size.get('width')} × {size.get('height')}")

    def _say_made(self, path, made):
        """Say the batches of a kind of unit: how often, how many come out, what is taken, and what is left."""
        name, count = made["id"], len(made["units"])
        often = made["batches"]
        told = rf"{name}:(?:(?! U\d+:).)*?"
        times = rf"\({often}\) times" if often > 1 else r"Do this (?:once|\(1\) times)"
        self.say("Cutting", f"{told}{times}", (*path, "batches"))
        self.say("Cutting", rf"\({made['makes']}\) come out", (*path, "makes"))
        self.say("Cutting", rf"{told}\({count}\)", (*path, "makes"))
        for i, blank in enumerate(made["blanks"]):
            here, kind = (*path, "blanks", i), "square" if len(blank["rounded"]) == 1 else "rectangle"
            size = self._size(kind, blank["rounded"]).replace(" square", " square")
            taken = rf"\({blank['each']}\) {blank['id']}, {size}, of {re.escape(blank['fabric'])}"
            self.say("Cutting", taken, (*here, "each"), *((*here, "rounded", side) for side in blank["rounded"]))
            alike = [other for one in self.twin["making"] for other in one["blanks"] if other["id"] == blank["id"]]
            total = sum(other["count"] for other in alike)
            self.say("The pieces", rf"{blank['id']} for [^–]*– {total} – ", (*here, "count"))
            self.keep("the printed size again, along and across", (*here, "sewn", 0), (*here, "sewn", 1))
        self.keep("the finished size: what is printed is the unfinished", (*path, "size", 0), (*path, "size", 1))
        if "left" in made:
            cut = f"cut across every {self.exact(made['segment'])}; {self.exact(made['left'][0])} is left over"
            self.say("Cutting", cut, (*path, "segment"), (*path, "left", 0))
            self.keep("finished: the strips are printed as they are cut", *((*path, "widths", i)
                      for i in range(len(made["widths"]))))  # fmt: skip
        if made["over"] >= 1 / 32:
            self.say("Cutting", f"{self.near(made['over'])} comes off", (*path, "over"))
        else:
            self.keep("nothing, or a sliver", (*path, "over"))

    def _is_ready(self, unit):
        """Return True if every copy of a unit comes out of batches."""
        return all(any(set(copy) <= found for found in self.made) for copy in unit["copies"])

    def _list_come(self, unit):
        """Return the patches of the first copy that come sewn together out of batches, a set for each part."""
        come, place = [], {patch: i for i, patch in enumerate(unit["copies"][0])}
        for step in self.twin["steps"]:
            if step["unit"] == unit["name"] and step["kind"] != "trim":
                patches = {*step["first"], *step["second"]}
                spots = [place[patch] for patch in patches]
                if all(any({copy[i] for i in spots} <= found for found in self.made) for copy in unit["copies"]):
                    met = [part for part in come if part & patches]
                    come = [part for part in come if part not in met] + [patches.union(*met)]
        return come

    def _say_piece(self, path, piece):
        row = f"{piece['id']} {re.escape(piece['name'])} {re.escape(piece['slot'])} {piece['hand'] or '–'} "
        count = self.single[piece["id"]]
        if not count:
            self._keep_piece(path, piece)
            return
        if count == len(piece["patches"]):
            self.say("The pieces", f"{row}{piece['count']} ", (*path, "count"))
        else:
            self.keep("what is cut singly is printed: the others come out of batches", (*path, "count"))
        shape = self._size(piece["kind"], piece["rounded"])
        size = f"{row}\\d+ (?:(?! [A-Z]+\\d+ ).)*? {shape}(?= [A-Z]+\\d+ | U[a-z]+ |$)"
        self.say("The pieces", size, *((*path, "rounded", name) for name in piece["rounded"]))
        self.keep(NOT_PRINTED["cut"], *((*path, "cut", name) for name in piece["cut"]))
        corners = [(*path, "outline", i, j) for i in range(len(piece["outline"])) for j in (0, 1)]
        self.keep(NOT_PRINTED["outline"], *corners)
        for i, angle in enumerate(piece["angles"]):
            sharp = f"{angle:.1f}".removesuffix(".0")
            if piece["kind"] == "trapezoid" and i < 2 and sharp != "90":
                self.say("Cutting", f"at {sharp}°[^:]*: piece {piece['id']}(?![0-9])", (*path, "angles", i))
            else:
                self.keep("the name of the shape says it, or the angles before it", (*path, "angles", i))

    def _keep_piece(self, path, piece):
        """Of a piece that only batches make no number is printed: it is never cut."""
        why = "no such piece is cut: it comes out of batches"
        corners = [(*path, "outline", i, j) for i in range(len(piece["outline"])) for j in (0, 1)]
        sizes = [(*path, key, name) for key in ("cut", "rounded") for name in piece[key]]
        self.keep(why, (*path, "count"), *sizes, *corners, *((*path, "angles", i) for i in range(len(piece["angles"]))))

    def _say_cloth(self, path, cloth):
        name, precut = re.escape(cloth["fabric"]), cloth["form"] != "yardage"
        row, width = f"{name} (?:{self.slots}) ", self.exact(cloth["width"])
        if precut:
            bought = rf"{row}\({cloth['buy']:g}\) strips? {width} wide, at least {self.exact(cloth['length'])} long "
            self.say("What you need", bought, *((*path, key) for key in ("buy", "width", "length")))
            self.say("What you need", rf"{row}[^)]*\)[^)]* long \({cloth['needed']:g}\)", (*path, "needed"))
            unsaid = ("squaring_up", "margin", "shrinkage")
            self.keep("nothing of strips that are bought cut", *((*path, key) for key in unsaid))
        else:
            buy = write_buying(cloth["buy"], self.system).replace("\N{NO-BREAK SPACE}", " ")
            needed = self.exact(round_up(cloth["needed"], self.twin["step"]))
            self.say("What you need", f"{row}{buy} {needed}", (*path, "buy"), (*path, "needed"))
            taken = f"{name}[^:]*: {width} usable width; {self.exact(cloth['squaring_up'])} more for squaring up"
            self.say("Before you begin", taken, (*path, "width"), (*path, "squaring_up"))
            self.say("Before you begin", f"{name}[^:]*: {self.exact(cloth['length'])} usable width", (*path, "length"))
            self.keep("zero: nothing is said of it", (*path, "shrinkage"))
            self.keep("its part and its least are said; it is in what is needed", (*path, "margin"))
        for i, first in enumerate(cloth["first"]):
            self._say_first(cloth["fabric"], (*path, "first", i), first, precut)
        for i, one in enumerate(cloth["joined"]):
            here, size = (*path, "joined", i), self._size("rectangle", self.pieces[one["piece"]]["rounded"])
            cut = (cloth["fabric"], rf"Sew the \({one['parts']}\) lengths for piece {one['piece']} end to end")
            self.say(cut, "", (*here, "parts"))
            self.say(cut, rf"\({one['gives']}\) {size}: piece {one['piece']}$", (*here, "gives"))
            self.keep("the sum of the printed lengths", (*here, "length"))

    def _say_first(self, fabric, path, first, precut):
        count, many = rf"\({first['count']}\)", "strip" if first["count"] == 1 else "strips"
        wide, long = self.exact(first["height"]), self.exact(first["length"])
        across = f"Cut {count} (?:{many}|{many.replace('strip', 'length')}) {wide} × {long}"
        cut = (fabric, rf"Take {count} {many} {wide} wide" if precut else across)
        self.say(cut, "", (*path, "count"), (*path, "height"))
        if precut:
            self.say(
                "What you need",
                f"{re.escape(fabric)} (?:{self.slots}) [^)]*[)][^)]*at least {long} long",
                (*path, "length"),
            )
        else:
            self.say(cut, "", (*path, "length"))
        for i, sub in enumerate(first["sub"]):
            self._say_sub(cut, (*path, "sub", i), sub)

    def _say_sub(self, cut, path, sub):
        if "strips" in sub:
            strips = rf"cut (?:along|across) it, \({sub['strips']}\) strips? {self.exact(sub['height'])} wide"
            self.say(cut, strips, (*path, "strips"), (*path, "height"))
            return
        self.keep("the number of strips from each of which it is cut stands before them", (*path, "times"))
        name = sub["piece"]
        kind = self.pieces[name]["kind"] if name in self.pieces else "square"
        count = rf"\({sub['cut']}\)"
        if sub["length"]:
            part = f"{count} [^:;]* × {self.exact(sub['length'])}, to be joined for piece {name}(?!\\d)"
            self.say(cut, part, (*path, "cut"), (*path, "length"))
            self.keep("of a length to be joined nothing comes yet", (*path, "gives"), (*path, "spare"))
        elif kind in TRIANGLES:
            spare = f", of which {sub['spare']} spare" if sub["spare"] else "(?!, of which)"
            given = f"{sub['gives'] + sub['spare']} triangles [a-z ]*{name}(?!\\d){spare}"
            self.say(cut, rf"{count} [^:]*: \d+ triangles [a-z ]*{name}(?!\d)", (*path, "cut"))
            self.say(cut, given, (*path, "gives"), (*path, "spare"))
        else:
            self.say(cut, rf"{count} [^:]*: piece {name}(?!\d)", (*path, "cut"))
            self.say(cut, rf"\({sub['gives']}\) [^:]*: piece {name}(?!\d)", (*path, "gives"))
            self.keep("of what is cut once none is spare", (*path, "spare"))

    def _say_unit(self, path, unit):
        name, sewn = unit["name"], any(step["unit"] == unit["name"] for step in self.twin["steps"])
        count = f"{name[:1].upper()}{name[1:]}: make {unit['make']}" if unit["make"] > 1 else name
        if unit["make"] > 1:
            self.say("Sewing", rf"{re.escape(count)}(?!\d)", (*path, "make"))
        else:
            self.say("Sewing", rf"Step[^:]*: make {unit['make']}(?!\d).*Result: the {re.escape(name)}", (*path, "make"))
        if self._is_ready(unit):
            size = " × ".join(map(self.near, unit["unfinished"]))
            checked = ((*path, "unfinished", 0), (*path, "unfinished", 1))
            self.say(
                "Sewing", rf"{re.escape(count)} They come ready from [^.]*U\d+\. Check: {size} unfinished", *checked
            )
            self.keep("the unit comes whole", *((*path, "parts", i, 1) for i in range(len(unit["parts"]))))
            return
        names = {name: f"{piece['name']} {name}" for name, piece in self.pieces.items()}
        come = self._list_come(unit)
        inside = Counter(self.piece_of[patch] for part in come for patch in part)
        left = [(part, count - inside[part]) for part, count in unit["parts"]]
        told = [re.escape(f"({count}) {names.get(part, part)}") for part, count in left if count]
        takes = "takes " + (r"(?:\(\d+\) parts? from U[^.]*?(?:, | and |(?=\.)))+" if come else "")
        takes += ", ".join(told[:-1]) + " and " + told[-1] if len(told) > 1 else "".join(told)
        size = " × ".join(map(self.near, unit["unfinished"]))
        self.say("Sewing", takes, *((*path, "parts", i, 1) for i, one in enumerate(left) if not inside[one[0]]))
        whole = [i for i, one in enumerate(left) if inside[one[0]]]
        self.keep("it comes sewn together out of batches", *((*path, "parts", i, 1) for i in whole))
        if sewn:
            checked = ((*path, "unfinished", 0), (*path, "unfinished", 1))
            self.say("Sewing", rf"{takes}\. Check: {size} unfinished", *checked)

    def _say_step(self, path, step):
        unit = next(unit for unit in self.twin["units"] if unit["name"] == step["unit"])
        named = {one["name"] for one in self.twin["units"] if self._is_ready(one)}
        ready = sum(one["unit"] in named for one in self.twin["steps"][: path[1]])
        told = step["number"] - ready  # on paper the steps are counted without those of units that come ready
        if not self._is_ready(unit):
            place = 1 + path[1] - ready
            self.say("steps", f"{place}. is step {told}, make {unit['make']}", (*path, "number"))
        else:
            self.keep("a unit that comes ready has no steps on paper", (*path, "number"))
        if step["sewn"]:
            stretch = self.near(step["sewn"][1] - step["sewn"][0])
            card = rf"Step {told}: make \d+(?:(?!Steps? \d+:).)* over {stretch}(?=[ ,.:])"
            self.say("Sewing", card, (*path, "sewn", 0), (*path, "sewn", 1))
        for key in ("along_first", "along_second"):
            self.keep(NOT_PRINTED[key], *((*path, key, i, 1) for i in range(len(step[key]))))
        if step["offset"] is not None:
            self.keep(NOT_PRINTED["offset"], (*path, "offset"))
        self.keep(NOT_PRINTED["stops"], *((*path, "stops", i) for i in range(len(step["stops"]))))
        self.keep(NOT_PRINTED["trim"], *((*path, "trim", i, j) for i in range(len(step["trim"] or ())) for j in (0, 1)))

    def find_missing(self, parts):
        """Return the paths of numbers whose phrase does not stand where it should, with the phrase."""
        return [(path, part, phrase) for path, part, phrase in self.said if not find(parts, part, phrase)]


def find(parts, part, phrase):
    """Return True if a phrase stands in a part, or among what is cut of one fabric from one kind of strip."""
    if isinstance(part, str):
        return phrase in parts[part] if part == "steps" else re.search(phrase, parts[part])
    fabric, strips = part
    groups = next(groups for heading, groups in parts["cloths"] if re.search(rf"[ ,]{re.escape(fabric)} \(", heading))
    return any(re.match(strips, group) and re.search(phrase, group) for group in groups)


def list_cloths(cutting):
    """Return the heading of each fabric, and what is cut of it: a text for every kind of strip."""
    cutting = re.split(r"How angled pieces are cut|Drawing “| (?=U\d+(?: to U\d+)?: \(\d+\) )", cutting)[0]
    blocks = re.split(r"(?<= )(?=Fabrics? [A-Z][a-z]?:? )", cutting)[1:]
    cut = [re.split(r"(?<= )(?=(?:Cut|Take|Sew the) \(\d+\))", block) for block in blocks]
    return [(heading, [group.strip() for group in groups]) for heading, *groups in cut]


def list_steps(sewing):
    """Return for each step, also for those that share a card, in which place it stands and how many are made."""
    found = re.findall(r"Steps? (\d+)(?: to (\d+))?: make (\d+)", sewing)
    steps = [(number, made) for first, last, made in found for number in range(int(first), int(last or first) + 1)]
    return {f"{place}. is step {number}, make {made}" for place, (number, made) in enumerate(steps, start=1)}
