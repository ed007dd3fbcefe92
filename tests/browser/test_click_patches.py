"""A click on a patch in a real browser reaches the kernel: the patch is named, and can be pinned to another fabric."""

from open_notebooks import wait_until
from test_explore import run_all

SAID = ".seamproof-colour-tools [role=status]"


def test_a_clicked_patch_is_named_and_pinned(open_page):
    page = open_page("1-explore.ipynb")
    run_all(page)
    page.get_by_text("Placing prints", exact=True).first.click()
    canvas = page.locator(".seamproof-explorer .bk-Figure").first
    box = canvas.bounding_box()
    field = page.locator(".seamproof-colour-tools input").first

    def click_and_read():
        canvas.click(position={"x": box["width"] * 0.42, "y": box["height"] * 0.5})
        page.wait_for_timeout(300)
        return field.input_value()

    patch = wait_until(click_and_read, bool)
    wait_until(page.locator(SAID).first.inner_text, lambda text: text.startswith(f"{patch}: "))
    page.get_by_role("button", name="Pin it").click()
    wait_until(page.locator(SAID).first.inner_text, lambda text: text.startswith("0 other patches changed"))
    assert not page.errors
