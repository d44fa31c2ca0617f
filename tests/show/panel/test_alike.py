"""The widgets of a panel that look alike share one layout and one style, and nobody changes these."""

from __future__ import annotations

import ipywidgets
import pytest

from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson05
from herbcalc.show.panel import Panel
from herbcalc.show.panel.dials import alike


def test_the_buttons_of_a_panel_share_their_look_and_it_is_the_usual_one(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    buttons = [panel.answer, panel.ahead, panel.pin, *panel.hands.buttons]
    usual = ipywidgets.Button()
    for part in ("layout", "style"):
        (shared,) = {getattr(one, part) for one in buttons}
        assert shared.get_state() == getattr(usual, part).get_state()


def test_what_many_share_is_changed_by_nobody():
    for part, name in (("layout", "width"), ("style", "font_weight")):
        with pytest.raises(TypeError, match="many widgets share this"):
            setattr(getattr(alike(ipywidgets.Button), part), name, "1em")


def test_once_all_are_closed_there_are_new_ones():
    """As after ipywidgets' own `Widget.close_all()` in a notebook: the next panel must have its look all the same."""
    before = alike(ipywidgets.Button).layout
    ipywidgets.Widget.close_all()
    after = alike(ipywidgets.Button).layout
    assert after is not before
    assert after.model_id
