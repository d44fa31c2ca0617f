"""An answer typed where a cell is only chosen: whatever the letters, nothing on the page changes and nothing asks."""

from __future__ import annotations

import json
import re
from pathlib import Path
from urllib.request import Request, urlopen

import nbformat
from playwright.sync_api import Page, expect

TYPED = ("300 mL", "100 g", "dd", "00 ii", "mr1yabxcvz", "MJKABZRL")
CELLS = """() => [...document.querySelectorAll('.jp-Notebook .jp-Cell')].map(cell =>
    [[...cell.classList].filter(name => /^jp-(Code|Markdown|Raw)Cell$/.test(name)).join(),
     cell.querySelector('.jp-RenderedMarkdown')?.textContent,
     cell.classList.contains('jp-mod-rendered'), cell.querySelectorAll('.jp-OutputArea-child').length])"""


def written(path: Path) -> list[tuple[str, str, str]]:
    """Every cell of a notebook as it is kept: its name, its kind, its text (a folded one shows no text)."""
    cells = json.loads(path.read_text(encoding="utf-8"))["cells"]
    return [(cell["id"], cell["cell_type"], "".join(cell["source"])) for cell in cells]


def kernels(workbook) -> list[str]:
    asked = Request(f"{workbook.root}/api/kernels", headers={"Authorization": f"token {workbook.token}"})
    with urlopen(asked) as answer:
        return sorted(kernel["id"] for kernel in json.loads(answer.read()))


def chosen(page: Page) -> int:
    """The place of the chosen cell, which is not entered."""
    assert page.locator(".jp-Notebook.jp-mod-commandMode").count(), "the cell was entered"
    return page.evaluate(
        "() => [...document.querySelectorAll('.jp-Notebook .jp-Cell')].findIndex(c => c.matches('.jp-mod-active'))"
    )


def test_an_answer_typed_into_a_chosen_cell_changes_nothing(opened, workbook):
    live = opened("workbook/05_plant_water.ipynb")
    page = live.page
    path = workbook.home / "workbook" / "05_plant_water.ipynb"
    before, texts, kernel = page.evaluate(CELLS), written(path), kernels(workbook)
    kinds = [  # the title, the first cell, a heading, a sum, a panel, a card, the last words
        page.locator(".jp-MarkdownCell").first,
        *(
            page.locator(".jp-CodeCell").filter(has_text=source).first
            for source in ("lesson(5)", "here.panel()", "here.item(1)")
        ),
        page.locator(".jp-CodeCell").filter(has_text="menstruum.final_strength").first,
        page.locator(".jp-MarkdownCell").filter(has_text="Remember").first,
        page.locator(".jp-MarkdownCell").last,
    ]
    for cell in kinds:
        cell.scroll_into_view_if_needed()
        cell.locator(".jp-InputPrompt").first.click(position={"x": 5, "y": 5})
        page.keyboard.press("Escape")
        for text in TYPED:
            page.keyboard.type(text)
        expect(page.get_by_role("dialog")).to_have_count(0)
        chosen(page)
    assert page.evaluate(CELLS) == before
    assert kernels(workbook) == kernel
    live.save()
    assert written(path) == texts

    # The keys that a person needs still go.
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    at = chosen(page)
    page.keyboard.press("ArrowDown")
    assert chosen(page) == at + 1
    first = page.locator(".jp-CodeCell").first
    first.scroll_into_view_if_needed()
    first.locator(".jp-InputPrompt").first.click(position={"x": 5, "y": 5})
    at = chosen(page)
    page.keyboard.press("Shift+Enter")
    expect(page.locator(".jp-Notebook .jp-Cell").nth(at + 1)).to_have_class(re.compile("jp-mod-active"))
    first.locator(".jp-InputPrompt").first.click(position={"x": 5, "y": 5})
    page.keyboard.press("Enter")
    expect(page.locator(".jp-Notebook.jp-mod-editMode")).to_have_count(1)


def test_a_double_click_leaves_no_text_cell_open(lesson, workbook):
    """One that may be edited closes when another cell is chosen; one that may not does not open."""
    path = workbook.home / "workbook" / "texts.ipynb"
    cells = [nbformat.v4.new_markdown_cell(f"# {name}") for name in ("Free", "Fixed")]
    cells[1].metadata["editable"] = False
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=[*cells, nbformat.v4.new_code_cell("1")], metadata=kernel), path)
    page = lesson("workbook/texts.ipynb").page
    free, fixed = (page.get_by_role("main").get_by_role("heading", name=name) for name in ("Free", "Fixed"))
    free.dblclick()
    expect(free).to_have_count(0)
    fixed.dblclick()
    expect(free).to_be_visible()
    expect(fixed).to_be_visible()
