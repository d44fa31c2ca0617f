"""Every homework item has a scene that shows its idea again, and the scene is there."""

from __future__ import annotations

import dataclasses

from herbcalc import homework
from herbcalc.rules import Rules
from herbcalc.show import again, story


def test_every_item_has_a_scene_of_its_story():
    codes = {f"{lesson}.{number}" for lesson, number in homework.items()}
    assert set(again.table()) == codes, "data/again.toml"
    for code in codes:
        found = again.scene_for(code, Rules())
        panel, name = again.table()[code]
        row = story.story()[panel]["scenes"][found.place - 1]
        assert row["name"].removesuffix(story.INVENTED) == name
        assert 1 <= found.place <= found.of


def test_the_house_rules_of_the_class_reach_the_scene():
    """What the teacher reads on the page is what the panel will ask."""
    own = dataclasses.replace(Rules(), stand_share=0.05)
    assert "5 of every 100" in again.scene_for("2.2", own).scene.question
    assert "5 of every 100" not in again.scene_for("2.2", Rules()).scene.question


def test_an_item_that_nobody_has_placed_has_none():
    assert again.scene_for("99.1", Rules()) is None
