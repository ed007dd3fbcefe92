"""The screen of quick sums: one form for all of them, the answer below as it is typed, to copy and to print."""

from html import escape
from typing import Any

import ipywidgets as widgets

from kit.errors import KitError
from kit.explore.screen import FRAME, MOODS
from kit.look import Framed
from kit.sums.answer import SumAnswer
from kit.sums.question_list import SumQuestion, ask_sum, list_quick_sums
from kit.sums.sum_card import save_card
from kit.taking_home import write_download

WIDE = "min(360px, 100%)"
FIRST = "squares"
CARD = "card.html"
STYLE = (
    "<style>.seamproof.seamproof-quick{max-width:700px!important}.seamproof-quick .widget-text,.seamproof-quick "
    ".widget-dropdown{height:auto!important;flex-flow:column;align-items:stretch;margin:2px 0 6px}"
    ".seamproof-quick .widget-label{width:auto!important;text-align:left!important;white-space:normal;overflow:visible;"
    "line-height:1.3;height:auto}.seamproof-quick textarea{font-family:monospace;font-size:12px}"
    ".seamproof-quick input,.seamproof-quick .widget-dropdown>select{flex:none;height:34px;font-size:15px}</style>"
)


def quick(sum: str = FIRST, **fields: str) -> "QuickSums":  # noqa: A002  what the command calls it
    """Return the screen of quick sums: choose a question, type, and the answer stands below.

    Parameters
    ----------
    sum
        The sum to begin with, such as "squares".
    fields
        What its fields hold at first; left out, an example.

    Raises
    ------
    KitError
        An unknown sum.
    """
    return QuickSums(sum, fields)


class QuickSums(Framed):
    """One form for every sum.

    Attributes
    ----------
    answer
        The last answer; None where what is typed was refused.
    """

    def __init__(self, first: str, fields: dict[str, str]) -> None:
        super().__init__(layout=widgets.Layout(max_width="700px", width="100%"))
        self.add_class("seamproof-quick")
        self._all = {question.name: question for question in list_quick_sums()}
        if first not in self._all:
            ask_sum(first)  # refuses it with the nearest name
        self.answer: SumAnswer | None = None
        self.fields: dict[str, Any] = {}
        options = [(f"{_spell(q.name)} ({q.group.lower()})", q.name) for q in self._all.values()]
        self.pick = widgets.Dropdown(
            options=options, value=first, description="Question", layout=widgets.Layout(width="100%")
        )
        self.title, self.needed, self.more = widgets.HTML(), widgets.VBox(), widgets.VBox()
        self.rest = widgets.Accordion(children=[self.more], titles=("More, if you want it",), selected_index=None)
        self.status = widgets.HTML('<div role="status"></div>')
        self.text = widgets.Textarea(
            description="As text", disabled=False, rows=6, layout=widgets.Layout(width="100%"),
            tooltip="Tab into it and copy: Ctrl+A, Ctrl+C",
        )  # fmt: skip
        self.file = widgets.Text(value=CARD, description="Card", layout=widgets.Layout(width=WIDE))
        self.save = widgets.Button(
            description="Write the card to print", icon="print", layout=widgets.Layout(width="220px")
        )
        self.saved = widgets.HTML('<div role="status"></div>')
        self.pick.observe(lambda change: self._show(change["new"], {}), names="value")
        self.save.on_click(lambda _: self.write_card())
        keep = widgets.Accordion(
            children=[widgets.VBox([self.text, self.file, self.save, self.saved])], titles=("Copy or print",),
            selected_index=None,
        )  # fmt: skip
        self.children = (widgets.HTML(STYLE), self.pick, self.title, self.needed, self.rest, self.status, keep)
        self._show(first, fields)

    def _show(self, name: str, texts: dict[str, str]) -> None:
        """Lay out the fields of a sum, those of its example and the required ones first, and answer it."""
        question = self._all[name]
        given = dict(texts or question.example)
        self.title.value = f'<div style="line-height:1.35;margin-bottom:4px">{escape(question.title)}.</div>'
        self.fields = {}
        first: list[widgets.Widget] = []
        more: list[widgets.Widget] = []
        for field in question.fields:
            made = self._make_field(question, field.name, given.get(field.name, ""))
            self.fields[field.name] = made
            (first if field.required or field.name in question.example else more).append(made)
        self.needed.children, self.more.children = tuple(first), tuple(more)
        self.ask()

    def _make_field(self, question: SumQuestion, name: str, text: str) -> widgets.Widget:
        field = next(one for one in question.fields if one.name == name)
        label = _spell(field.label)
        if field.choices:
            usual = f"usual: {field.usual}" if field.usual else "as usual"
            options = [(f"({usual})", ""), *((choice, choice) for choice in field.choices)]
            value = text if text in field.choices else ""
            made: Any = widgets.Dropdown(options=options, value=value, description=label, tooltip=field.help)
        else:
            made = widgets.Text(value=text, description=label, placeholder=field.help[:90], tooltip=field.help,
                                continuous_update=False)  # fmt: skip
        made.layout = widgets.Layout(width=WIDE)
        made.observe(lambda _: self.ask(), names="value")
        return made

    def ask(self) -> None:
        """Answer what the fields hold, or say what is wrong with it; never a traceback."""
        try:
            self.answer = ask_sum(self.pick.value, **{name: field.value for name, field in self.fields.items()})
        except KitError as error:
            self.answer = None
            edge, ground = MOODS["refused"]
            self.status.value = f'<div role="status" style="{FRAME.format(edge, ground)}">{escape(str(error))}</div>'
            self.text.value = ""
            self.save.disabled = True
            return
        self.status.value = f'<div role="status">{self.answer._repr_html_()}</div>'
        self.text.value = str(self.answer)
        self.save.disabled = False

    def write_card(self) -> None:
        """Write the answer as a card, and say where it is."""
        if self.answer is None:
            return
        try:
            place = save_card(self.answer, self.file.value.strip() or CARD)
        except KitError as error:
            edge, ground = MOODS["refused"]
            self.saved.value = f'<div role="status" style="{FRAME.format(edge, ground)}">{escape(str(error))}</div>'
            return
        self.saved.value = (
            f'<div role="status">Written: {escape(place.name)}. Open it and print it.{write_download(place)}</div>'
        )


def _spell(name: str) -> str:
    return name.replace("_", " ").capitalize()
