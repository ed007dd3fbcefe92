"""The command `kit sum`: every sum with its fields as words and options; without a name, the list of all."""

import argparse
from collections.abc import Sequence

from kit.sums.question_list import SumQuestion, ask_sum, list_quick_sums
from kit.sums.sum_card import save_card

ABOUT = "Ask one question of a maker: texts with units in, the answer in words with its working."


def tell_sum(words: Sequence[str]) -> int:
    """Answer `kit sum NAME ...` and print it; without a name print the list of the sums.

    Parameters
    ----------
    words
        What follows `kit sum`.

    Raises
    ------
    KitError
        What the sum refuses.
    """
    parser = argparse.ArgumentParser(prog="kit sum", description=ABOUT)
    named = parser.add_subparsers(dest="sum", metavar="NAME")
    for question in list_quick_sums():
        _add_sum(named.add_parser(question.name.replace("_", "-"), help=question.title), question)
    asked = vars(parser.parse_args(list(words)))
    name, card = asked.pop("sum"), asked.pop("card", None)
    if name is None:
        print(list_by_group())
        return 0
    answer = ask_sum(name.replace("-", "_"), **{key: text for key, text in asked.items() if text is not None})
    print(answer)
    if card:
        print(save_card(answer, card))
    return 0


def list_by_group() -> str:
    """Return the list of all sums, group by group, each with an example that can be typed."""
    lines: list[str] = []
    group = ""
    for question in list_quick_sums():
        if question.group != group:
            group = question.group
            lines += ["", group]
        lines += [f"  {question.name.replace('_', '-'):18} {question.title}", f"{'':21}{spell_example(question)}"]
    return "\n".join(lines[1:])


def spell_example(question: SumQuestion) -> str:
    """Return the example of a sum as it is typed."""
    words = ["kit sum", question.name.replace("_", "-")]
    for field in question.fields:
        text = question.example.get(field.name)
        if text is not None:
            quoted = f"'{text}'" if '"' in text else f'"{text}"'
            words += [quoted] if field.required else [f"--{field.name.replace('_', '-')}", quoted]
    return " ".join(words)


def _add_sum(parser: argparse.ArgumentParser, question: SumQuestion) -> None:
    parser.description, parser.epilog = question.title + ".", "For instance: " + spell_example(question)
    for field in question.fields:
        said = field.help.replace("%", "%%")
        if field.required:
            parser.add_argument(field.name, help=said)
        else:
            parser.add_argument(
                f"--{field.name.replace('_', '-')}", dest=field.name, help=said, choices=field.choices or None,
                metavar=None if field.choices else "TEXT",
            )  # fmt: skip
    parser.add_argument("--card", metavar="FILE", help="also write the answer as a card to print, FILE.html")
