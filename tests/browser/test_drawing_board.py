"""The drawing board in a real browser: a stroke of the mouse closes a patch, a click colours it, undo takes it back."""

import re

from open_notebooks import list_cut_off, run_cells, wait_until

BOARD = ".seamproof-drawing-board"
TROUBLE = "[data-mime-type='application/vnd.jupyter.error'], [data-mime-type='application/vnd.jupyter.stderr']"
FIND_FRAME = f"""() => {{
    const look = root => {{
        for (const e of root.querySelectorAll('*')) {{
            if (e.classList.contains('bk-CartesianFrame')) return e.getBoundingClientRect();
            const found = e.shadowRoot && look(e.shadowRoot);
            if (found) return found;
        }}
        return null; }};
    const frame = look(document.querySelector('{BOARD}'));
    return frame && frame.height > 100 ? [frame.x, frame.y, frame.width, frame.height] : null; }}"""
ACROSS, UP, MARGIN = 10, 12, 0.4


def count_closed(page):
    """Return how many patches the words above the picture say are closed."""
    found = re.match(r"(\d+) patch", page.locator(f"{BOARD} [role=status]").first.inner_text())
    return int(found[1]) if found else None


def find_place(frame, across, up):
    """Return where a place in squares is on the screen."""
    x, y, width, height = frame
    return (
        x + width * (across + MARGIN) / (ACROSS + 2 * MARGIN),
        y + height * (1 - (up + MARGIN) / (UP + 2 * MARGIN)),
    )


def test_a_stroke_of_the_mouse_closes_a_patch_a_click_colours_it_and_undo_takes_both_back(open_page):
    page = open_page("5-drawn-designs.ipynb")
    run_cells(page)
    page.locator(f"{BOARD} .bk-Figure").first.wait_for()
    assert page.locator(TROUBLE).count() == 0
    assert wait_until(lambda: count_closed(page), bool) == 12
    page.locator(f"{BOARD} .bk-Figure").first.scroll_into_view_if_needed()
    frame = wait_until(lambda: page.evaluate(FIND_FRAME), bool)

    def draw():
        """Draw a crooked stroke; one that begins slowly is taken for a long press and has to be drawn again."""
        page.mouse.move(*find_place(frame, 5.1, 0.05))
        page.mouse.down()
        page.mouse.move(*find_place(frame, 4.7, 0.5))
        page.mouse.move(*find_place(frame, 4.95, 0.95), steps=4)
        page.mouse.up()
        page.wait_for_timeout(1500)
        return count_closed(page)

    assert wait_until(draw, lambda n: n != 12, timeout=60) == 13
    lines = page.locator(f"{BOARD} textarea")
    wait_until(lambda: lines.evaluate("e => e.value"), lambda text: text.endswith("5,0 5,1"))

    number = page.get_by_label("Patch number")
    page.get_by_label("Slot", exact=True).fill("buoy")
    page.keyboard.press("Tab")
    page.mouse.click(*find_place(frame, 2, 0.5))
    assert wait_until(number.input_value, bool) == "12"
    wait_until(lambda: page.locator(f"{BOARD} input[type=text]").evaluate_all("all => all.map(e => e.value)"),
               lambda values: "Cloth 16" in values)  # fmt: skip

    undo = page.get_by_role("button", name="Undo")
    undo.click()
    undo.click()
    assert wait_until(lambda: count_closed(page), lambda n: n != 13) == 12
    assert list_cut_off(page, BOARD) == []
    page.set_viewport_size({"width": 800, "height": 1300})
    assert list_cut_off(page, BOARD) == []
    assert not page.errors
    assert not page.external
