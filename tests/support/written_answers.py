"""Answers as people write them, in many notations, made without the kit's reader or its way of writing lengths.

Numbers are spelled from a list of names typed here; right answers are worked out from the printed question.
"""

from fractions import Fraction
from math import ceil, floor

from lesson_formulas import MEASURED, ROOTED, ROUNDED_UP, work_out

ONES = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
ONES += ["thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen"]
TENS = ["-", "-", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
PARTS = {2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second", 64: "sixty-fourth"}
SIGNS = {Fraction(1, 2): "½", Fraction(1, 4): "¼", Fraction(3, 4): "¾", Fraction(1, 8): "⅛", Fraction(3, 8): "⅜",
         Fraction(5, 8): "⅝", Fraction(7, 8): "⅞"}  # fmt: skip


def spell_whole(n):
    if n < 20:
        return ONES[n]
    if n < 100:
        return TENS[n // 10] + (f"-{ONES[n % 10]}" if n % 10 else "")
    rest = f" and {spell_whole(n % 100)}" if n % 100 else ""
    return f"{ONES[n // 100]} hundred{rest}"


def spell(value, joint=" and "):
    """Return a whole number and its fraction in words; None where a person would not spell it."""
    whole, rest = divmod(value, 1)
    if rest and rest.denominator not in PARTS:
        return None
    part = ""
    if rest:
        name = PARTS[rest.denominator]
        over = "a" if rest.numerator == 1 and joint == " and " else spell_whole(rest.numerator)
        part = f"{over} {name}{'s' if rest.numerator > 1 else ''}".replace("a eighth", "an eighth")
    return joint.join(one for one in (spell_whole(int(whole)) if whole or not rest else "", part) if one)


def as_fraction(amount):
    """Return a number of 64ths as an exact fraction, else None."""
    exact = Fraction(round(amount * 64), 64)
    return exact if abs(float(exact) - amount) < 1e-9 else None


def mixed(value, joint=" ", times=1):
    whole, rest = divmod(value, 1)
    part = f"{rest.numerator * times}/{rest.denominator * times}" if rest else ""
    return joint.join(one for one in (str(whole) if whole or not rest else "", part) if one)


def cut_zeros(amount, places):
    return f"{amount:.{places}f}".rstrip("0").rstrip(".")


UNITS = {"in": ("in", "inches"), "cm": ("cm", "centimetres"), "yd": ("yd", "yards"), "m": ("m", "metres")}
WRITTEN = 0.005 / 2.54
"""Inches: what the second decimal of a centimetre may take off or add."""
INCHES = {"in": 1.0, "cm": 1 / 2.54, "yd": 36.0, "m": 100 / 2.54}


def list_notations(amount, unit, dice):
    """Return notation -> text of a length, in the unit of its question and in others."""
    short, long = UNITS[unit]
    inches = amount * INCHES[unit]
    made = {
        "decimal alone": cut_zeros(amount, 4),
        "decimal comma": cut_zeros(amount, 4).replace(".", ","),
        "decimal and unit": f"{cut_zeros(amount, 3)} {short}",
        "decimal and unit, closed": f"{cut_zeros(amount, 4)}{short}.",
        "unit in full": f"{cut_zeros(amount, 4)} {long}",
        "centimetres": f"{inches * 2.54:.2f} cm",
        "centimetres, comma": f"{inches * 2.54:.2f}cm".replace(".", ","),
        "millimetres": f"{cut_zeros(inches * 25.4, 1)} mm",
        "metres": f"{cut_zeros(inches * 0.0254, 5)} m",
        "with an equals sign": f"= {cut_zeros(amount, 4)}",
        "about": f"{dice.choice(['about', 'approx.', 'ca.', 'it is'])} {cut_zeros(amount, 4)} {short}",
        "two systems": f"{cut_zeros(inches, 4)} in ({inches * 2.54:.2f} cm)",
        "two sides": f"{cut_zeros(amount, 4)} x {cut_zeros(amount, 4)} {short}",
        "square behind": f"{cut_zeros(amount, 4)} {short} {dice.choice(['square', 'wide', 'long', 'each'])}",
    }
    value = as_fraction(amount)
    if unit in ("in", "yd") and value is not None:
        made |= _list_fractions(value, unit)
    inch = as_fraction(inches)
    if inch is not None and inches >= 12:
        feet, rest = divmod(inch, 12)
        made["feet and inches"] = f"{feet}' {mixed(rest)}\"" if rest else f"{feet} ft"
    if inch is not None and inches >= 36:
        yards, rest = divmod(inch, 36)
        made["yards and inches"] = f"{yards} yd {mixed(rest)} in" if rest else f"{yards} yards"
    if unit == "in":
        made["two apostrophes"] = f"{cut_zeros(amount, 4)}''"
        made["curly marks"] = f"{cut_zeros(amount, 4)}”"
    return {name: text for name, text in made.items() if text}


def _list_fractions(value, unit):
    short, long = UNITS[unit]
    whole, rest = divmod(value, 1)
    built = f"{whole or ''}{SIGNS[rest]}" if rest in SIGNS else None
    words, spoken = spell(value), spell(value, " and " if not whole else " ")
    made = {
        "built fraction": built,
        "built fraction and unit": built and f"{built} {short}",
        "slash": mixed(value),
        "slash and unit": f"{mixed(value)} {short}",
        "hyphen": f"{mixed(value, '-')} {short}",
        "and": f"{mixed(value, ' and ')} {long}",
        "words": words,
        "words and unit": words and f"{words} {long}",
        "words without and": spoken and f"{spoken} {long}",
        "not reduced": mixed(value, " ", 2) if rest else None,
        "raised figures": _raise(value),
    }
    if rest and not (whole and value.numerator > 9 and 0 < value.numerator % 10 < value.denominator):
        made["over the whole"] = f"{value.numerator}/{value.denominator} {short}"
    if unit == "in":
        made["closing mark"] = f'{mixed(value)}"'
        made["two sides, marks"] = f'{built or mixed(value)}" × {built or mixed(value)}"'
    return made


def _raise(value):
    whole, rest = divmod(value, 1)
    if not rest:
        return None
    up, down = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹"), str.maketrans("0123456789", "₀₁₂₃₄₅₆₇₈₉")
    return f"{whole or ''}{str(rest.numerator).translate(up)}⁄{str(rest.denominator).translate(down)}"


def list_count_notations(count, noun):
    one = noun.removesuffix("s")
    made = {
        "figure": f"{count}", "figure and name": f"{count} {noun}", "figure and one": f"{count} {one}",
        "decimal zero": f"{count}.0", "comma zero": f"{count},0", "with an equals sign": f"= {count}",
        "about": f"about {count} {noun}", "whole": f"{count} whole {noun}", "point": f"{count}.",
        "spaces": f"  {count}  ",
    }  # fmt: skip
    if count < 1000:
        made |= {"words": spell_whole(count), "words and name": f"{spell_whole(count)} {noun}"}
    return made


def list_right_amounts(exercise):
    """Return the right amounts of a question, from its printed words: exact, by the ruler or the shop, with 1.414."""
    kind, question = exercise.kind, exercise.question
    exact = work_out(kind, question)
    metric = exercise.terms.system == "metric"
    step = 0.1 if metric else 1 / 8
    if kind == "cloth to buy":
        shop = 10.0 if metric else 4.5
        bought = ceil(exact / shop - 1e-4) * shop
        return {"bought": bought / 100 if metric else bought / 36}
    amounts = {"exact": exact}
    if kind in ROUNDED_UP | MEASURED:
        amounts["up to a mark"] = ceil(exact / step - 1e-4) * step
        amounts["up to a fine mark"] = ceil(2 * exact / step - 1e-4) * step / 2
        amounts["nearest fine mark"] = round(2 * exact / step) * step / 2
    if kind in MEASURED:
        amounts["nearest mark"] = round(exact / step) * step
    if kind in ROOTED:
        amounts["with 1.414"] = work_out(kind, question, 1.414)
    return amounts


def write_right(exercise, dice):
    """Return a right answer in one notation: (notation, which amount, text)."""
    if exercise.asks == "count":
        notations = list_count_notations(round(work_out(exercise.kind, exercise.question)), exercise.noun)
        name = dice.choice(sorted(notations))
        return f"count: {name}", "exact", notations[name]
    amounts = list_right_amounts(exercise)
    which = dice.choice(sorted(amounts))
    notations = list_notations(amounts[which], exercise.unit, dice)
    name = dice.choice(sorted(notations))
    return name, which, notations[name]


def write_slip(exercise, dice):
    """Return a slip in one notation: (its name or "other", notation, text); never near a right answer.

    Nor one that becomes right where a notation rounds it: 9.70 in is 24.638 cm, and "24,64 cm" is 9.7008 in.
    """
    shifts = (0.0,) if exercise.asks == "count" else (-WRITTEN, 0.0, WRITTEN)
    named = [
        (one.name, value)
        for one in exercise.mistakes
        for value in one.values
        if not any(exercise.accepts(value + shift) for shift in shifts)
    ]
    name, value = dice.choice(named)
    if exercise.asks == "count":
        if dice.random() < 0.2:
            name, value = "other", round(exercise.answer) + dice.choice([3, 7, 13])
        notations = list_count_notations(round(value), exercise.noun)
    else:
        if dice.random() < 0.2:
            name, value = "other", exercise.most + dice.choice([0.9, 1.3, 2.7]) * (9 if exercise.bought else 1)
        amount = floor(value / INCHES[exercise.unit] * 10**6 + 0.5) / 10**6
        notations = list_notations(amount, exercise.unit, dice)
    way = dice.choice(sorted(notations))
    return name, way, notations[way]
