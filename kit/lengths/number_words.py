"""Numbers in words, turned into figures: "seven and a half" becomes "7 1/2"."""

import re
from fractions import Fraction

_SMALL = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen"
    " seventeen eighteen nineteen"
)
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
_CARDINALS = {word: n for n, word in enumerate(_SMALL.split())} | {
    word: 10 * n for n, word in enumerate(_TENS.split(), 2)
}
_CARDINALS |= {"oh": 0, "nought": 0, "fourty": 40}  # as some say it, and as some write it
_TIMES = {"hundred": 100, "dozen": 12}
_PARTS = {
    "half": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "eighth": 8, "tenth": 10, "sixteenth": 16,
    "sixtyfourth": 64, "hundredth": 100, "thirtysecond": 32,
}  # fmt: skip
_PARTS |= {f"{word}s": under for word, under in _PARTS.items()} | {"halves": 2, "eights": 8, "eigth": 8, "eigths": 8}
_LINKS = {"and", "a", "an", "of", "point"}


def write_figures(text: str) -> str:
    """Return a text with each number in words as figures; whatever else is in it stays.

    Find the runs of number words, read each from its front: a whole number, a decimal after "point", a fraction.

    Parameters
    ----------
    text
        In small letters.

    Examples
    --------
    >>> write_figures("seven and a half in"), write_figures("three seven-eighths"), write_figures("half a yard")
    ('7 1/2 in', '3 7/8', '1/2 yard')
    >>> write_figures("a yard and a quarter"), write_figures("nineteen point oh five cm"), write_figures("2 dozen")
    ('1 yard and 1/4', '19.05 cm', '24')
    >>> write_figures("a dozen"), write_figures("two dozen strips"), write_figures("a hundred and five")
    ('12', '24 strips', '105')
    """
    joined = re.sub(r"\b(thirty|sixty)[ -]?(seconds?|fourths?)\b", r"\1\2", text)
    joined = re.sub(r"(?<=[a-z])-(?=[a-z])", " ", joined)
    joined = re.sub(r"\b([0-9]+) dozen\b", lambda found: str(12 * int(found[1])), joined)
    joined = re.sub(r"\bhalf a dozen\b", "6", joined)
    words, made, at = [one for one in re.split(r"( )", joined) if one and one != " "], [], 0
    while at < len(words):
        run = at
        while run < len(words) and _is_number_word(words[run]):
            run += 1
        if run == at or not any(word in _CARDINALS or word in _PARTS or word in _TIMES for word in words[at:run]):
            follows = words[at + 1] if at + 1 < len(words) else ""
            made.append("1" if words[at] in {"a", "an"} and follows.isalpha() and not at else words[at])
            at += 1
            continue
        made += _read_run(words[at:run], after_figure=bool(made) and made[-1][-1:].isdigit())
        at = run
    return " ".join(made)


def _is_number_word(word: str) -> bool:
    return word in _CARDINALS or word in _PARTS or word in _LINKS or word in _TIMES


def _read_run(words: list[str], *, after_figure: bool) -> list[str]:
    """Return the figures of a run of number words, with the links that belong to no number before and behind it."""
    front = ["and"] if words[0] == "and" and not after_figure else []
    while words and words[0] in {"and", "of"}:
        words = words[1:]
    while words and words[-1] in {"and", "a", "an", "of"}:
        words = words[:-1]
    whole, point, behind = " ".join(words).partition("point")
    if point:
        decimals = "".join(str(_CARDINALS[word]).rstrip("0") or "0" for word in behind.split() if word in _CARDINALS)
        return [*front, f"{sum(_read_whole(whole.split())[0])}.{decimals or 0}"]
    numbers, part = _read_whole(words)
    shown = [str(sum(numbers))] if sum(numbers) or not part else []
    return [*front, *shown, *([f"{part.numerator}/{part.denominator}"] if part else [])]


def _read_whole(words: list[str]) -> tuple[list[int], Fraction]:
    """Return the whole numbers of a run, to be added up, and its fraction."""
    numbers, part = list[int](), Fraction(0)
    for word in words:
        if word in _CARDINALS:
            _add(numbers, _CARDINALS[word])
        elif word in _TIMES:
            numbers[-1:] = [_TIMES[word] * (numbers[-1] if numbers else 1)]
        elif word in {"a", "an"}:
            numbers.append(1)
        elif word in _PARTS:
            part = _take_part(numbers, _PARTS[word])
    return numbers, part


def _add(numbers: list[int], value: int) -> None:
    """Add a number word: "twenty" and "one" are one number, "three" and "seven" are two."""
    fits = bool(numbers) and (
        (numbers[-1] >= 100 and numbers[-1] % 100 == 0) or (numbers[-1] % 10 == 0 and numbers[-1] % 100 >= 20)
    )
    if fits and (value < 10 or numbers[-1] >= 100):
        numbers[-1] += value
    else:
        numbers.append(value)


def _take_part(numbers: list[int], under: int) -> Fraction:
    """Take the numerator off the end of the numbers: "twenty seven eighths" is 20 7/8, "five eighths" is 5/8."""
    if not numbers:
        return Fraction(1, under)
    last = numbers.pop()
    if last < under:
        return Fraction(last, under)
    over = last % 10 or last
    if last - over:
        numbers.append(last - over)
    return Fraction(over, under)
