"""A card of an answer: one stand-alone page of the size of an index card, to print and pin up."""

import os
from html import escape
from pathlib import Path

from kit.errors import KitError
from kit.output.pictures.svg import write_image
from kit.sharing.whole_file import write_whole
from kit.sums.answer import SumAnswer

_STYLE = (
    "@page{size:6in 4in;margin:.25in}"
    "body{font:11pt/1.35 sans-serif;color:#26221f;margin:0;max-width:5.5in}"
    "h1{font-size:11pt;font-weight:normal;margin:0 0 2pt}.first{font-size:15pt;font-weight:bold}"
    "figure{float:right;margin:0 0 4pt 10pt;width:1.9in}img{max-width:100%;max-height:2.6in}"
    "small{font-size:9pt}ul{margin:2pt 0;padding-left:14pt}"
)


def set_card(answer: SumAnswer) -> str:
    """Return an answer as a stand-alone page of HTML, 6 by 4 in when printed.

    Every text is escaped; the page asks for nothing from outside.
    """
    said = "".join(
        f'<div class="{"first" if not number else "more"}">{escape(line)}</div>'
        for number, line in enumerate(answer.says)
    )
    picture = f"<figure>{write_image(answer.drawing, width=240)}</figure>" if answer.drawing else ""
    lists = "".join(
        f"<small><b>{head}</b><ul>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ul></small>"
        for head, lines in (("Working", answer.working), ("Assumed", answer.assumes))
        if lines
    )
    return (
        f'<!DOCTYPE html><html lang="en"><meta charset="utf-8"><title>{escape(answer.asked)}</title>'
        f"<style>{_STYLE}</style><body>{picture}<h1>{escape(answer.asked)}</h1>{said}{lists}</body></html>\n"
    )


def save_card(answer: SumAnswer, path: str | os.PathLike[str]) -> Path:
    """Write an answer as a card to print: a stand-alone page of 6 by 4 in.

    Parameters
    ----------
    answer
        Of a sum.
    path
        The file to write, ending in `.html`.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    KitError
        A path of another ending, or a place that cannot be written to.
    """
    place = Path(path)
    if place.suffix.lower() not in (".html", ".htm"):
        raise KitError(f"the card is to be {place.name:.60}", needed="a name that ends in .html", do="write card.html")
    return write_whole(place, set_card(answer).encode("utf-8"))
