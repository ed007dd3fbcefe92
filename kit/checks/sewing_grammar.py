"""The grammar of the printed sewing: what each card and each row of a list says, read from its words alone."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from kit.checks.cutting_grammar import flatten, read_lengths
from kit.errors import CheckError, LengthError
from kit.model.printed_sewing import PrintedCard
from kit.model.sewing import StepKind

PART = r"\(\d+\) .+?"
END = r"[a-hjkmnp-z]{1,2}"
SIDE = r"(?:upper |lower )?(?:left|right|top|bottom)"
LENGTH = r"(?:about )?[\d.½¼¾⅛⅜⅝⅞⁄/\u202f]+ (?:in|cm)"
ALONG = (
    rf"(?:from (?P<begin>{END}) to (?P<end>{END})(?P<over>(?:, reaching {LENGTH} beyond {END})*)"
    rf"|(?P<side>{SIDE}) edge of the added part, from end to end)"
)
UNEVEN = r"(?P<ragged>, the ends uneven as drawn)?"
WAY = rf"(?:(?:toward|away from) the added part|toward the {SIDE} in the picture|open(?:: .+?)?)"
PRESS = rf"(?P<press>spun, (?:counter-)?clockwise seen from the back|{WAY}(?:, but {WAY} in .+?)?)"
SPIN = (
    r"Spin the seams: on both sides undo the stitches of the two short seams that lie within the allowance of this"
    r" one\. Press this seam to one side up to the centre and to the other beyond it, as the arrows show, so that all"
    r" four turn (?P<spin>clockwise|counter-clockwise) round the centre, seen from the back, and it lies flat\."
)
TAIL = (
    r"(?: Begin and stop exactly on the seam line at the dot at (?P<dots>[a-z]+(?: and [a-z]+)?);"
    r" leave the allowance free there\.)?"
    rf"(?: {SPIN})?(?: Press the seam {PRESS}\.)?(?P<turned> The picture lies on its side: its top is at the right\.)?"
    r" Result: (?P<result>.+)\."
)
SOME_READY = re.compile(
    r"\((\d+)\) of the \((\d+)\) come ready from (.+?)\. Sew the other \((\d+)\) as follows; here numbers in brackets"
    r" are for all of them\. "
)
ACTIONS: tuple[tuple[StepKind, str], ...] = (
    ("partial", rf"Sew (?P<added>{PART}),? to (?P<lies>{PART}){UNEVEN}: {ALONG} only, over (?P<over_all>{LENGTH})\."
                rf" Stop at the dot at (?P<stop>{END}) and leave the rest open\."),
    ("join", rf"Sew (?P<added>{PART}),? to (?P<lies>{PART}){UNEVEN}: {ALONG}\."),
    ("close", rf"Finish the seam that was left open: {ALONG}, over (?P<over_all>{LENGTH})\."),
    ("set in", rf"Turn the work\. Sew the next edge of the set-in seam: {ALONG}, over (?P<over_all>{LENGTH})\."),
    ("set in", rf"Set (?P<added>{PART}),? into (?P<lies>{PART}){UNEVEN}: {ALONG}, over (?P<over_all>{LENGTH}), from"
               r" seam line to seam line\. Leave the allowances at the corner free\."),
    ("trim", rf"Trim (?P<trimmed>.+?) along the marked outline: (?P<corners>{END}(?: to {END})+)\."),
)  # fmt: skip
READY = re.compile(rf"Nothing to sew here: \((?P<count>\d+)\) come ready from (?P<batch>[^.]+)\.{TAIL}")
PRESSED = re.compile(
    r"Pressed as the arrows show\.(?P<turned> The picture lies on its side: its top is at the right\.)?"
)
RUN = re.compile(
    rf"Begin with (?P<lies>{PART})\. (?P<how>Sew on one part after another, in the order of the numbers, each to the"
    r" work so far along the edge that is named|Sew on the part with the number along the edges that are named)\."
    r"(?P<dotted> Where a dot is named, begin or stop exactly on it, on the seam line, and backstitch; elsewhere sew"
    r" from edge to edge\.)?(?P<ragged> The ends lie uneven, as drawn; they are trimmed later\.)?"
    rf"(?: Press each seam {PRESS}\.)?(?P<turned> The picture lies on its side: its top is at the right\.)?"
    rf"(?: Sew them on in turn, beginning with (?P<first>{PART}), until (?P<count>\d+) of those are on\.)?"
)
ROW_ENDS = re.compile(rf"(?P<begin>{END}) to (?P<end>{END})(?P<over>(?:, reaching {LENGTH} beyond {END})*)")
ROW_SIDE = re.compile(rf"its (?P<side>{SIDE}) edge")
ROW_WAY = rf"(?:(?:toward|away from) it|toward the {SIDE}|open(?:: .+?)?)"
ROW_SPUN = r"spun, (?:counter-)?clockwise seen from the back"
ROW_PRESS = re.compile(rf"{ROW_SPUN}|{ROW_WAY}(?:, but {ROW_WAY} in .+?)?")
NUMBERS = re.compile(r"(?P<low>\d+)(?: to (?P<high>\d+))?(?:, every (?P<every>second|third|fourth))?")
EVERY: Mapping[str | None, int] = {None: 1, "second": 2, "third": 3, "fourth": 4}
TURN_WORK = "needle down at the dot, turn the work"
TURN = re.compile(r"^(?P<name>.+?) (?:with a (?P<half>half turn|quarter turn to the (?P<quarter>left|right))|turned by"
                  r" (?P<degrees>\d+)° to the (?P<side>left|right))$")  # fmt: skip
SETS = re.compile(r"(?: of set \d+| \(\(\d+\) of set \d+(?:(?:, | and )\(\d+\) of set \d+)+\)|, \(\d+\) of them with a"
                  r" half turn)$")  # fmt: skip


@dataclass
class SeamOrder:
    """One seam, or one trim, as it was read.

    Attributes
    ----------
    number, place
        Its number, and the words that name it in a refusal.
    kind
        "join", "partial", "close", "set in" or "trim".
    added, lies
        The parts in words; empty where the words name none, and for the work so far of a list.
    side
        The side in the picture of the added part's whole edge; empty if the ends have letters.
    ends
        The letters of both ends, or of the corners of a trim.
    over
        Letter -> how far the added part reaches beyond that end, inches.
    dots
        Letters of the ends where the stitching begins or stops on the seam line.
    stretch
        The printed length of the stitching, inches; None without.
    press
        In words; empty for a trim and before pressing is planned.
    ragged, turned
        Whether the ends are uneven; whether the picture lies on its side.
    result
        What is there after it, in words; empty within a list.
    """

    number: int
    place: str
    kind: StepKind
    added: str = ""
    lies: str = ""
    side: str = ""
    ends: tuple[str, ...] = ()
    over: dict[str, float] = field(default_factory=dict)
    dots: tuple[str, ...] = ()
    stretch: float | None = None
    press: str = ""
    ragged: bool = False
    turned: bool = False
    result: str = ""


def read_card(card: PrintedCard) -> list[SeamOrder]:
    """Read the seams of a card, in their order.

    Raises
    ------
    CheckError
        Words that do not tell a seam, or a list that contradicts itself: its number and the words.
    """
    place = card.number or card.text
    try:
        orders = list(_read_list(card)) if card.rows else [_read_one(card)]
    except LengthError as error:
        raise CheckError(f"{place}: a length that cannot be read: {error}") from None
    numbers = [order.number for order in orders]
    said = [int(found) for found in re.findall(r"\d+", card.number)]
    if card.number != write_number(numbers) or said != sorted({min(numbers), max(numbers)}):
        raise CheckError(f"{place}: the card holds steps {min(numbers)} to {max(numbers)}")
    return orders


def write_number(numbers: Sequence[int]) -> str:
    """Return the number of a card that holds some steps."""
    return f"Step {numbers[0]}" if len(numbers) == 1 else f"Steps {numbers[0]} to {numbers[-1]}"


def _read_one(card: PrintedCard) -> SeamOrder:
    text = flatten(card.text)
    some = SOME_READY.match(text)
    if some:
        done, count, _, left = some.groups()
        if int(done) + int(left) != int(count) or f"make {count}" not in flatten(card.make):
            raise CheckError(f"{card.number}: {done} and {left} are not {count}")
        text = text[some.end() :]
    number = re.fullmatch(r"Step (\d+)", card.number)
    for kind, action in ACTIONS:
        match = re.fullmatch(action + TAIL, text)
        if match and number:
            return _order(int(number[1]), card.number, kind, match.groupdict())
    raise CheckError(f"{card.number}: “{text}” does not say what to sew to what, and where")


def _write_spin(said: Mapping[str, str | None]) -> str:
    """Return a spun seam as the rows of lists have it, empty for any other."""
    return f"spun, {said['spin']} seen from the back" if said.get("spin") else ""


def _order(number: int, place: str, kind: StepKind, said: Mapping[str, str | None]) -> SeamOrder:
    ends = tuple(found for key in ("begin", "end") if (found := said.get(key)))
    corners = said.get("corners")
    dotted = said.get("dots") or said.get("stop")
    dots = tuple(dotted.split(" and ")) if dotted else ()
    stretch = said.get("over_all")
    return SeamOrder(
        number, place, kind, said.get("added") or "", said.get("lies") or said.get("trimmed") or "",
        said.get("side") or "", tuple(corners.split(" to ")) if corners else ends,
        _read_over(said.get("over") or "", place),
        dots, read_lengths(stretch)[0] if stretch else None, said.get("press") or _write_spin(said),
        bool(said.get("ragged")),
        bool(said.get("turned")), said.get("result") or "",
    )  # fmt: skip


def _read_over(text: str, place: str) -> dict[str, float]:
    found = re.findall(rf"reaching ({LENGTH}) beyond ({END})", text)
    over = {letter: read_lengths(length)[0] for length, letter in found}
    if len(over) < len(found):
        raise CheckError(f"{place}: “{text}” names one end twice")
    return over


def _read_list(card: PrintedCard) -> Iterator[SeamOrder]:
    text = flatten(card.text)
    begin = RUN.fullmatch(text)
    result = re.fullmatch(r"Result: (.+)\.", flatten(card.result))
    if begin is None or result is None:
        raise CheckError(f"{card.number}: “{text if begin is None else card.result}” does not say how to sew the list")
    head, *rows = card.rows
    found = _read_rows(card)
    numbers = sorted(found)
    if begin["first"] is not None:
        first = found[numbers[0]]
        if begin["first"] != first["added part"] or int(begin["count"]) != -(-len(numbers) // len(rows)):
            raise CheckError(
                f"{card.number}: “{begin['first']}, until {begin['count']} of those are on” is not its list"
            )
    parts = sum(row["added part"] != TURN_WORK for row in found.values())
    if (parts > 1) != begin["how"].startswith("Sew on one part after another"):
        raise CheckError(f"{card.number}: “{begin['how']}”: the list adds {parts} parts")
    if ("dot at" in head) != bool(begin["dotted"]):
        raise CheckError(f"{card.number}: dots are named, or told of, and not both")
    for number in numbers:
        order = _read_row(number, card.number, found[number])
        order.ragged, order.turned = bool(begin["ragged"]), bool(begin["turned"])
        order.press = order.press or begin["press"] or ""
        order.lies = begin["lies"] if number == numbers[0] else ""
        order.result = result[1] if number == numbers[-1] else ""
        yield order


def _read_rows(card: PrintedCard) -> dict[int, dict[str, str]]:
    """Return the cells of each step of a list under their heads; refuse steps that are left out, or told twice."""
    head, *rows = card.rows
    found: dict[int, dict[str, str]] = {}
    if head[:2] != ("step", "added part") or any(len(row) != len(head) for row in rows):
        raise CheckError(f"{card.number}: its list has the heads {', '.join(head)}, and not each row a cell under each")
    for row in rows:
        cells = dict(zip(head, map(flatten, row), strict=True))
        for number in _read_numbers(cells["step"], card.number):
            if number in found:
                raise CheckError(f"{card.number}: step {number} is told twice")
            found[number] = cells
    numbers = sorted(found)
    if numbers != list(range(numbers[0], numbers[-1] + 1)):
        raise CheckError(f"{card.number}: its list leaves out steps between {numbers[0]} and {numbers[-1]}")
    return found


def _read_numbers(text: str, place: str) -> range:
    match = NUMBERS.fullmatch(text)
    if match is None:
        raise CheckError(f"{place}: “{text}” are not the numbers of steps")
    low, every = int(match["low"]), EVERY[match["every"]]
    high = int(match["high"] or low)
    if (high - low) % every or high < low:
        raise CheckError(f"{place}: “{text}” does not come out")
    return range(low, high + 1, every)


def _read_row(number: int, place: str, row: Mapping[str, str]) -> SeamOrder:
    here = f"{place}, step {number}"
    along, press = row.get("along", ""), row.get("press", "")
    match = ROW_ENDS.fullmatch(along) or ROW_SIDE.fullmatch(along)
    if match is None:
        raise CheckError(f"{here}: “{along}” names no edge and no ends")
    if press and not ROW_PRESS.fullmatch(press):
        raise CheckError(f"{here}: “{press}” does not say how to press")
    said = match.groupdict()
    dots = row.get("dot at", "")
    added = row["added part"]
    legs = added == TURN_WORK
    return SeamOrder(
        number, here, "set in" if legs else "join", "" if legs else added, "", said.get("side") or "",
        (said["begin"], said["end"]) if said.get("begin") else (), _read_over(said.get("over") or "", here),
        tuple(dots.split(" and ")) if dots else (), None, press,
    )  # fmt: skip


@dataclass(frozen=True)
class PartName:
    """A part in words: how many, its name, its size, and the degrees that it is turned to the left."""

    count: int
    name: str
    size: str = ""
    turn: float = 0.0


def read_part(text: str, place: str) -> PartName:
    """Read the name of a part: a number in brackets, a name, a size after a comma, a turn.

    Examples
    --------
    >>> read_part("(4) panel with a quarter turn to the right", "Step 2")
    PartName(count=4, name='panel', size='', turn=-90.0)
    >>> read_part("(2) border A1, cut 2½ in × 40½ in", "Step 2")
    PartName(count=2, name='border A1', size='cut 2½ in × 40½ in', turn=0.0)
    """
    match = re.fullmatch(r"\((\d+)\) (.+?),?", text)
    if match is None:
        raise CheckError(f"{place}: “{text}” does not say how many of what")
    name, turn = SETS.sub("", match[2]), 0.0
    while turned := TURN.match(name):
        name = SETS.sub("", turned["name"])
        if turned["degrees"]:
            turn += int(turned["degrees"]) * (1 if turned["side"] == "left" else -1)
        elif turned["quarter"]:
            turn += 90.0 if turned["quarter"] == "left" else -90.0
        else:
            turn += 180.0
    name, _, size = name.partition(", ")
    return PartName(int(match[1]), name, size, turn)
