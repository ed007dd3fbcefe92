"""The screen for a size in a real browser: a bed, ten ways, the picture of the one that is taken, an edition kept."""

from open_notebooks import list_cut_off, run_cells, wait_until

SIZES = ".seamproof-sizes"
TROUBLE = "[data-mime-type='application/vnd.jupyter.error'], [data-mime-type='application/vnd.jupyter.stderr']"


def test_a_bed_gives_ten_ways_and_one_of_them_becomes_an_edition(open_page):
    page = open_page("6-fit-to-a-bed.ipynb")
    run_cells(page)
    find = page.locator(SIZES).get_by_role("button", name="Find sizes")
    find.wait_for()
    assert page.locator(TROUBLE).count() == 0
    page.locator(f"{SIZES} select", has=page.locator("option", has_text="twin")).first.select_option("twin")
    find.click()
    rows = page.locator(f"{SIZES} table tbody tr")
    assert wait_until(rows.count, bool) == 10
    status = page.locator(f"{SIZES} [role=status]:has-text('combinations')").first.inner_text()
    assert "38" in status
    assert "combinations are within the tolerance" in status
    first = page.locator(f"{SIZES} img").first.get_attribute("src")
    take = page.locator(f"{SIZES} select").last
    take.select_option(index=4)
    assert wait_until(lambda: page.locator(f"{SIZES} img").first.get_attribute("src"), lambda src: src != first)
    page.get_by_label("Edition", exact=True).fill("twin")
    page.keyboard.press("Tab")
    page.get_by_role("button", name="Keep this size").click()
    headings = page.locator(f"{SIZES} thead th")
    assert "twin" in wait_until(headings.all_inner_texts, lambda texts: "twin" in texts)
    assert list_cut_off(page, SIZES) == []
    assert not page.errors
    assert not page.external
