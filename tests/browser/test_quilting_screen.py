"""The quilting notebook in a real browser: another way of stitching, and lines, route and open spaces follow."""

from open_notebooks import list_cut_off_at_widths, read_now, run_cells, take_picture, wait_until

SCREEN = ".seamproof-quilting"


def row_of(page, where):
    """Return the row of the wish whose first dropdown stands at a part."""
    rows = page.locator(f"{SCREEN} .widget-hbox:has(> .widget-dropdown)")
    for k in range(rows.count()):
        if rows.nth(k).locator("select").first.evaluate("e => e.selectedOptions[0]?.text") == where:
            return rows.nth(k)
    raise AssertionError(where)


def test_another_way_of_stitching_changes_lines_and_route_and_no_label_is_cut_off(open_page):
    page = open_page("8-quilting.ipynb")
    run_cells(page, SCREEN, ".seamproof-table", 240_000)
    page.wait_for_timeout(1500)
    take_picture(page, "quilting-first")
    before = read_now(page, SCREEN)
    said = page.locator(f"{SCREEN} [role=status]").first
    assert "The batting is held" in said.inner_text()
    row_of(page, "blade").locator("select").nth(1).select_option(label="continuous curves")
    wait_until(
        lambda: read_now(page, SCREEN),
        lambda now: all(now[what] != before[what] for what in ("Lines", "Route")),
        timeout=60,
    )
    after = read_now(page, SCREEN)
    ways = row_of(page, "sashing").locator("select").nth(1)
    first = ways.evaluate("e => e.selectedOptions[0].text")
    row_of(page, "sashing").locator("select").nth(1).select_option(label="meander")
    wait_until(lambda: read_now(page, SCREEN)["Lines"], lambda lines: lines != after["Lines"], timeout=60)
    assert "too narrow" not in said.inner_text()
    page.wait_for_timeout(800)
    take_picture(page, "quilting-narrow")
    row_of(page, "sashing").locator("select").nth(1).select_option(label=first)
    wait_until(lambda: read_now(page, SCREEN)["Lines"], lambda lines: lines == after["Lines"], timeout=60)
    assert list_cut_off_at_widths(page, SCREEN, "quilting") == []
    assert not page.errors
    assert not page.external
