"""A homework card in the browser: the way on after a Yes, the tab that says which page it is, the switch."""

from __future__ import annotations

from playwright.sync_api import expect

from herbcalc import homework


def answer(lesson, card, item):
    """Type the right answer and check it, by keyboard."""
    box = card.get_by_role("textbox", name="Your answer, with its unit")
    box.fill(item.answers()[0])
    card.get_by_role("radio", name="sure", exact=True).first.check()
    lesson.press(card.get_by_role("button", name="Check"), "Enter")
    expect(card.get_by_role("status")).to_contain_text("Yes, that is it.")


def test_after_a_yes_next_leads_to_the_next_card_of_the_page(lesson, workbook):
    for kept in workbook.home.glob("answers-*.jsonl"):  # of tests before this one
        kept.unlink()
    page = lesson("exercises/05_plant_water.ipynb").page
    lesson.run_all()
    card = page.get_by_role("group", name="Question 5.1", exact=True)
    expect(page.get_by_role("tab", name="Exercises 5")).to_have_count(1)
    expect(card.get_by_role("button", name="Next")).to_have_count(0)
    answer(lesson, card, homework.item(5, 1, "practice", 1))
    expect(card.get_by_role("status")).to_contain_text("The sum in one line:")
    lesson.press(card.get_by_role("button", name="Next: 5.2"), "Enter")
    second = page.get_by_role("group", name="Question 5.2", exact=True)
    expect(second).to_be_focused()
    expect(second.get_by_role("heading", name="5.2")).to_be_in_viewport()

    # One press, by keyboard, takes the pictures away from all cards.
    expect(card.get_by_role("img", name="A picture of what is given")).to_have_count(1)
    page.keyboard.press("Tab")
    expect(second.get_by_role("checkbox", name="Picture")).to_be_focused()
    page.keyboard.press("Space")
    expect(page.get_by_role("img", name="A picture of what is given")).to_have_count(0)
    lesson.assert_open_to_all()


def test_from_a_lesson_next_opens_its_exercises(lesson):
    page = lesson("workbook/05_plant_water.ipynb").page
    lesson.run_all()
    expect(page.get_by_role("tab", name="Exercises 5")).to_have_count(0)
    card = page.get_by_role("group", name="Question 5.2", exact=True)
    answer(lesson, card, homework.item(5, 2, "practice", 1))
    lesson.press(card.get_by_role("button", name="Next: 5.3, in Exercises 5"), "Enter")
    expect(page.get_by_role("heading", name="Exercises 5. The plant brings its own water")).to_be_visible()
    lesson.run_all()  # and they run there; a page closed while Python is still coming would leave half a link behind
