"""The cutting notebook in a real browser: choose a way, and cloth, diagram and tables follow; nothing is cut off."""

from open_notebooks import list_cut_off_at_widths, read_now, run_cells, wait_for_change

SCREEN = ".seamproof-cutting"


def test_a_way_changes_the_cloth_and_a_search_finds_less(open_page):
    page = open_page("3-cutting.ipynb")
    run_cells(page, SCREEN)
    before = read_now(page, SCREEN)
    assert before["Sea mist"] == "42⅝ in"
    row = page.locator(f"{SCREEN} .widget-dropdown").filter(has=page.locator("label:text-is('Geese')"))
    row.locator("select").select_option("stitch and flip")
    after = wait_for_change(page, SCREEN, before)
    assert after["Sea mist"] != before["Sea mist"]
    assert after["Channel"] == before["Channel"]
    page.locator(f"{SCREEN} button:has-text('Search for less cloth')").click()
    page.locator(f"{SCREEN} div[role=status]:has-text('Searched to the end')").first.wait_for(timeout=60_000)
    page.locator(f"{SCREEN} .lm-TabBar-tab:has-text('Batches')").click()
    page.locator(f"{SCREEN} td:has-text('stitch and flip')").first.wait_for()
    assert list_cut_off_at_widths(page, SCREEN, "cutting") == []
    assert not page.errors
    assert not page.external
