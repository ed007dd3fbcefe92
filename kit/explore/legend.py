"""The fabrics beside the picture: a button each, lit with the patches, to click and to carry."""

from html import escape
from typing import Any

import ipywidgets as widgets

from kit.model.pattern import ColouredTop
from kit.output.pictures.drawing import View, fill_fabrics, name_fabrics

STYLE = (
    "<style>.seamproof-legend-rows{display:flex;flex-wrap:wrap;gap:2px 6px;margin:2px 0}"
    ".seamproof-legend-rows button{display:flex;align-items:center;gap:6px;border:1px solid transparent;"
    "background:none;color:inherit;font:12px/1.3 sans-serif;padding:2px 6px 2px 3px;border-radius:4px;cursor:grab;"
    "touch-action:none;text-align:left}"
    ".seamproof-legend-rows button:hover,.seamproof-legend-rows button:focus-visible,"
    ".seamproof-legend-rows .seamproof-lit{border-color:currentColor}"
    ".seamproof-legend-rows [data-swatch]{width:22px;height:22px;border:1px solid #8a8378;border-radius:2px;flex:none}"
    ".seamproof-table tbody tr.seamproof-lit{outline:2px solid #0b57b0;outline-offset:-2px}</style>"
)


class Legend(widgets.HTML):
    """One button per fabric of the study: its letter, its cloth, its name, its patches."""

    value: Any

    def __init__(self) -> None:
        super().__init__()
        self.add_class("seamproof-legend")

    def follow(self, draft: ColouredTop, view: View) -> None:
        """Show the fabrics of a top, as they look in a view."""
        letters, fills, uses = name_fabrics(draft), fill_fabrics(draft, view), draft.colouring.uses
        rows = "".join(
            f'<button type="button" data-cloth="{k}" aria-label="{escape(name)}, {uses.get(name, 0)} patches: choose"'
            f' title="Click to choose its cloth; carry it to another to swap the two">'
            f'<span data-swatch style="background-color:{escape(fill)}"></span><span><b>{letters[name]}</b>'
            f" {escape(name)} · {uses.get(name, 0)}</span></button>"
            for k, (name, fill) in enumerate(fills.items())
        )
        text = f'{STYLE}<div class="seamproof-legend-rows">{rows}</div>'
        if text != self.value:
            self.value = text
