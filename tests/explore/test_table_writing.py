"""Tables of the screens: every cell is text, and what is not there is a dash in every kind of column."""

import re

import pandas as pd

from kit.explore.table_writing import write_table


def list_cells(html):
    return re.findall(r"<td[^>]*>([^<]*)</td>", html)


def test_what_is_not_there_is_a_dash_in_figures_words_and_empty_columns():
    table = pd.DataFrame({"Length": [1.23456, None], "Name": ["Rope", None], "Cost": [None, None]})
    assert list_cells(write_table(table)) == ["1.23", "Rope", "–", "–", "–", "–"]


def test_text_of_a_cell_is_never_markup():
    assert "<b>" not in write_table(pd.DataFrame({"Name": ["<b>Rope</b>"]}))
