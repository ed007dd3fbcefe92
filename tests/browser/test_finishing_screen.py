"""The finishing notebook in a real browser: move the overhang, and backing and binding follow; nothing is cut off."""

from open_notebooks import list_cut_off_at_widths, read_now, run_cells, wait_for_change

SCREEN = ".seamproof-finishing"


def test_moving_the_overhang_changes_what_is_bought_and_no_label_is_cut_off(open_page):
    page = open_page("7-finish.ipynb")
    run_cells(page, SCREEN)
    before = read_now(page, SCREEN)
    assert before["Backing, way"] == "lengthwise, 1 seam"
    row = page.locator(f"{SCREEN} .widget-slider").filter(
        has=page.locator("label:text-is('Overhang at each side (in)')")
    )
    row.locator(".noUi-handle").first.focus()
    for _ in range(24):
        page.keyboard.press("ArrowRight")
    after = wait_for_change(page, SCREEN, before)
    assert after["Backing, buy"] != before["Backing, buy"] or after["Backing, way"] != before["Backing, way"]
    assert list_cut_off_at_widths(page, SCREEN, "finishing") == []
    assert not page.errors
    assert not page.external
