"""The README's first command, as a browser sees it: opens ready, keys reach sliders, saving drops widgets."""

from __future__ import annotations

import json

import nbformat
from playwright.sync_api import expect

SLIDER = """import ipywidgets as w
slider = w.IntSlider(description="Herb (g)", value=50)
said = w.HTML()
slider.observe(lambda c: setattr(said, "value", f"<p>{slider.value} g of herb</p>"), "value")
w.VBox([slider, said])"""


def a_notebook(path, *sources):
    cells = [nbformat.v4.new_code_cell(source) for source in sources]
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    path.parent.mkdir(exist_ok=True)
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=kernel), path)


def test_arrow_keys_reach_a_slider_and_saving_leaves_the_widget_out(lesson, workbook):
    trial = workbook.home / "workbook" / "trial.ipynb"
    a_notebook(trial, SLIDER, "1 + 1", "2 + 2")
    lesson("workbook/trial.ipynb").run_all()
    handle = lesson.output(1).get_by_role("slider")
    lesson.press(handle, "ArrowRight", "ArrowRight", "ArrowUp", "ArrowLeft")
    expect(lesson.output(1).get_by_text("52 g of herb")).to_be_visible()
    lesson.press(handle, "ArrowDown", "ArrowDown")
    expect(lesson.output(1).get_by_text("50 g of herb")).to_be_visible()
    expect(handle).to_be_focused()
    lesson.save()
    saved = json.loads(trial.read_text(encoding="utf-8"))
    assert [cell["execution_count"] for cell in saved["cells"]] == [1, 2, 3]
    assert saved["cells"][0]["outputs"][0]["data"].keys() == {"text/plain"}
    assert "widgets" not in saved["metadata"]


def test_nothing_stands_in_the_way_of_the_first_notebook(fresh, workbook):
    page = fresh
    page.goto(workbook.address)
    expect(page.get_by_role("main").get_by_role("heading", level=1).first).to_be_visible()
    page.wait_for_timeout(3000)  # a box with news, or one that asks for a kernel, would have come by now
    expect(page.get_by_role("dialog")).to_have_count(0)
    expect(page.get_by_role("alert")).to_have_count(0)
