"""A lesson in a real browser: a wrong answer has its slip named, a right one is right, a dial moves the picture."""

from open_notebooks import list_cut_off_at_widths, run_cells, wait_until

from kit.lengths import write_plain
from kit.lessons import make_exercise

TROUBLE = "[data-mime-type='application/vnd.jupyter.error'], [data-mime-type='application/vnd.jupyter.stderr']"


def run_lessons(page, count):
    run_cells(page)
    wait_until(page.locator(".seamproof-lesson").count, lambda seen: seen == count, timeout=60)
    assert page.locator(TROUBLE).count() == 0
    lesson = page.locator(".seamproof-lesson").first
    wait_until(lesson.locator(".seamproof-exercise [role=status]").count, bool)
    return lesson


def read_mark(lesson):
    return lesson.locator(".seamproof-exercise [role=status]").first.text_content().replace("\N{NO-BREAK SPACE}", " ")


def answer(lesson, text):
    field = lesson.locator(".seamproof-exercise input").first
    field.fill(text)
    lesson.get_by_role("button", name="Check", exact=True).click()


def test_a_wrong_answer_is_named_a_right_one_is_right_and_a_dial_moves_the_picture(open_page):
    page = open_page("10-allowances.ipynb")
    lesson = run_lessons(page, 2)
    exercise = make_exercise("square", 1)
    slip = next(wrong for wrong in exercise.mistakes if wrong.name == "allowance forgotten")
    assert "How large is the square cut?" in lesson.locator(".seamproof-question").text_content()

    answer(lesson, write_plain(slip.values[0]))
    said = wait_until(lambda: read_mark(lesson), lambda text: "Not yet" in text)
    assert said.startswith("✗")
    assert "Allowance forgotten?" in said

    answer(lesson, f"{write_plain(exercise.answer)} or so and so")
    assert "not read as a length" in wait_until(lambda: read_mark(lesson), lambda text: "Not read" in text)

    answer(lesson, write_plain(exercise.answer).removesuffix(" in"))
    assert wait_until(lambda: read_mark(lesson), lambda text: "Right" in text).startswith("✓")
    kept = lesson.locator(".seamproof-progress").text_content()
    assert "1 right of 1 answered" in kept
    assert "allowance forgotten (1)" in kept

    sentence, picture = lesson.locator(".seamproof-sentence"), lesson.locator("img").first
    before, drawn = sentence.text_content(), picture.get_attribute("src")
    lesson.locator(".noUi-handle").first.focus()
    page.keyboard.press("ArrowRight")
    after = wait_until(sentence.text_content, lambda text: text != before)
    assert "each square finishes" in after
    assert picture.get_attribute("src") != drawn
    assert not page.errors
    assert not page.external


def test_a_whirl_stops_at_the_fourth_rectangle_and_closes_with_a_partial_seam(open_page):
    page = open_page("12-sewing-and-errors.ipynb")
    run_lessons(page, 3)
    table = page.locator(".seamproof-whirl")
    said = table.locator(".seamproof-sentence")
    for partly, end in ((False, "along two sides at once"), (True, "the top agrees")):
        if partly:
            table.locator("input[type=checkbox]").check()
            wait_until(said.text_content, lambda text: text.startswith("Nothing"))
        for place in ("below", "at the right", "above", "at the left"):
            button = table.get_by_role("button", name=f"Sew on {place}")
            button.click()
            wait_until(button.is_disabled, bool)
        wait_until(said.text_content, lambda text, end=end: end in text)


def test_no_label_of_a_lesson_is_cut_off(open_page):
    page = open_page("11-triangles-and-strips.ipynb")
    run_lessons(page, 4)
    assert list_cut_off_at_widths(page, ".seamproof-lesson", "lessons") == []
    assert not page.errors
