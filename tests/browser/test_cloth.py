"""Cloth on the screen in a real browser: photographs, cloth carried to other cloth, patches and rows lit together."""

import numpy as np
from open_notebooks import wait_until
from PIL import Image
from test_explore import picture, run_all, settle

ROWS = ".seamproof-legend [data-cloth]"


def read_rows(page):
    """Return the names of the fabrics in the legend, in order."""
    label = "rows => [...document.querySelectorAll(rows)].map(row => row.getAttribute('aria-label'))"
    rows = page.evaluate(label, ROWS)
    return [row.split(",")[0] for row in rows]


def test_a_photograph_is_dropped_in_and_seen_and_undone(open_page, tmp_path):
    path = tmp_path / "cloth.png"
    Image.fromarray(np.random.default_rng(3).integers(0, 255, (60, 60, 3), dtype=np.uint8)).save(path)
    page = open_page("1-explore.ipynb")
    run_all(page)
    page.locator(ROWS).first.click()
    card = page.locator(".seamproof-cloth-card")
    button = card.get_by_role("button", name="Photo of the cloth")
    button.wait_for()
    before = settle(lambda: picture(page))
    with page.expect_file_chooser() as chooser:
        button.click()
    chooser.value.set_files(str(path))
    card.get_by_label("Photo shows, across").wait_for()
    with_photo = wait_until(lambda: picture(page), lambda seen: seen != before)
    page.locator(".seamproof-explorer .seamproof-undo").click()
    wait_until(lambda: card.get_by_label("Photo shows, across").count(), lambda count: count == 0)
    wait_until(lambda: picture(page), lambda seen: seen != with_photo)
    assert not page.errors


def test_a_cloth_is_carried_to_another_and_the_two_change_places(open_page):
    page = open_page("1-explore.ipynb")
    run_all(page)
    names = wait_until(lambda: read_rows(page), bool)
    settle(lambda: picture(page))
    page.locator(ROWS).last.scroll_into_view_if_needed()
    first, last = page.locator(ROWS).first.bounding_box(), page.locator(ROWS).last.bounding_box()
    page.mouse.move(first["x"] + 10, first["y"] + 10)
    page.mouse.down()
    page.mouse.move(first["x"] + 60, first["y"] + 30)
    page.mouse.move(last["x"] + 10, last["y"] + 10, steps=4)
    page.mouse.up()
    wait_until(lambda: read_rows(page), lambda now: now == [names[-1], *names[1:-1], names[0]])
    assert not page.errors


def test_a_patch_under_the_pointer_lights_its_rows_and_says_what_it_is(open_page):
    page = open_page("1-explore.ipynb")
    run_all(page)
    settle(lambda: picture(page))
    box = page.locator(".seamproof-quilt .bk-Figure").bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    wait_until(lambda: page.locator(f"{ROWS}.seamproof-lit").count(), lambda count: count == 1)
    assert wait_until(lambda: page.locator(".seamproof-table tr.seamproof-lit").count(), lambda count: count >= 1)
    page.get_by_text("finished", exact=False).last.wait_for()
    assert not page.errors
