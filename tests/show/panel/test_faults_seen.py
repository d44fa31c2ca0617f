"""What a panel must never do, each once done by a small fault: the kept faults of tests/faults/show.toml."""

from __future__ import annotations

import dataclasses
import importlib
import re
from html import unescape

import pytest

from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.here import lessons
from herbcalc.show.lessons import lesson01, lesson04, lesson05, lesson07, lesson08, lesson09, lesson10
from herbcalc.show.look import View, controls
from herbcalc.show.panel import Panel
from herbcalc.show.panel.pictures import ALONE, PAGE, SHOW, Pictures, _both
from herbcalc.show.story import bands, scenes
from herbcalc.units.refusals import Impossible


@pytest.fixture
def panel(tmp_path):
    """Lesson 5 as it opens: asked, with its answer hidden."""
    return Panel(lesson05, Rules(), tmp_path)


def text(panel, name):
    return unescape(re.sub(r"<[^>]+>", " ", panel._html[name].value))


# --- while the class is being asked ---


def test_a_jar_that_is_pinned_gives_nothing_of_the_next_away(panel):
    panel.answer.click()
    panel.pin.click()
    panel.next()
    panel.next()
    asked = {name: text(panel, name) for name in ("tiles", "say", "more")}
    panel.answer.click()
    shown = text(panel, "tiles")
    difference = re.search(r"B: .*? points more", shown)
    assert difference, shown
    assert panel._answer().value in shown
    for told in asked.values():
        assert difference[0] not in told
        assert panel._answer().value not in told


@pytest.mark.parametrize(("module", "dial"), [(lesson01, "show"), (lesson10, "jar")])
def test_a_dial_that_turns_to_another_thing_asks_for_that(tmp_path, module, dial):
    """The scene asked for a number that the other thing does not have: the panel stopped at a KeyError."""
    options = next(c.options for c in controls(module.Setting) if c.name == dial)
    for n in range(len(scenes(module, Rules()))):
        panel = Panel(module, Rules(), tmp_path)
        for _ in range(n):
            panel.next()
        for option in options:
            panel.set(**{dial: option})
            answer, asks = panel._answer(), panel._now().asks
            assert answer.ask in text(panel, "question") or not panel._moved()
            assert bool(panel.hands.bands) == (answer.key == asks)
            panel.turn_answer()
            assert answer.label in text(panel, "tiles")
            panel.turn_answer()


def test_a_caution_that_tells_the_answer_comes_with_it(panel):
    panel.set(spirit=60, ratio=5)
    assert panel.look.caution
    assert panel.look.caution not in text(panel, "cautions")
    assert lesson05.CAUTION in text(panel, "cautions"), "the lesson's own line stands from the first"
    panel.answer.click()
    assert panel.look.caution in text(panel, "cautions")


# --- pictures and tiles ---


def test_two_pictures_are_drawn_to_one_scale():
    """A small jar beside a large one is drawn smaller than beside its like, on the left and on the right."""
    small, large = (
        lesson05.look(lesson05.Setting(herb=herb, water=80, ratio=2, spirit=40), Rules()) for herb in (50, 400)
    )
    draw = Pictures("scale")
    alike = draw.beside(small, small, PAGE)
    apart, turned = draw.beside(small, large, PAGE), draw.beside(large, small, PAGE)
    assert apart[0] != alike[0]
    assert turned[1] != alike[1]
    assert draw.beside(small, small, PAGE) == alike, "it is the other one that made the difference"


def test_four_large_numbers_are_shown(panel):
    """Once no scene is left whose answer one of them would give away."""
    for _ in panel._given:
        panel.turn_answer()
        panel.next()
    panel.answer.click()
    assert len(panel.look.numbers) >= 4
    assert panel._html["tiles"].value.count("<li") == 4
    panel.pin.click()
    panel.set(spirit=50)
    assert panel._html["tiles"].value.count("<li") == 4


def test_what_is_rounded_up_says_at_least():
    number = View().number("ready", "Have ready", 650.2, "mL", round="up")
    assert number.value == "at least 651 mL"
    shown = lesson08.look(lesson08.Setting(), Rules()).number("ready")
    assert shown.value.startswith("at least ")


@pytest.mark.parametrize("units", ["metric", "kitchen"])
@pytest.mark.parametrize("where", [PAGE, SHOW])
def test_beside_each_other_each_part_of_a_jar_has_its_name(units, where):
    """In every lesson that draws a jar with layers; 80 mL alone would not say whether it is the alcohol."""
    view, jars = View(units), 0
    for number in lessons():
        lesson = importlib.import_module(f"herbcalc.show.lessons.lesson{number:02d}")
        draw, start = Pictures("names"), scenes(lesson, Rules())[0].setting
        for scene in scenes(lesson, Rules()):
            try:
                look = lesson.look(scene.setting, Rules(), view)
            except Impossible:
                continue
            if "jar that holds, from the bottom" not in look.alt:
                continue
            _, b, _ = draw.beside(lesson.look(start, Rules(), view), look, where)
            said = [unescape(t).strip() for t in re.findall(r">([^<]+)</text>", b)]
            assert len(said) >= 3
            assert all(re.match(r"[a-z]{3}", t) for t in said), said
            assert ("alcohol" in look.alt) == any(t.startswith("alcohol") for t in said), said
            jars += 1
    assert jars > 12


def test_the_last_lot_has_its_figure_once_and_no_words_on_its_mark():
    """Over its bar; the floor's words end before the mark, which stands at the floor."""
    scene = next(s for s in scenes(lesson07, Rules()) if s.setting.again == "fresh")
    look = lesson07.look(scene.setting, Rules())
    for sizes in ALONE.values():
        board = Board(**sizes, name="lots")
        board.start()
        _both(look)(board)
        words = board._artists["words lots floor words"]
        ends = words.get_position()[0] + board.wide(words.get_text(), board.small)
        mark = board._artists["dot lots last"].get_xdata()[0]
        assert words.get_ha() == "left"
        assert ends < mark - 6
        assert board.svg().count("34.6 % vol") == 1


def test_a_faint_jar_has_its_name(panel):
    panel.answer.click()
    panel.pin.click()
    first = panel._now().title
    panel.leave("faint")
    panel.next()
    assert "dashed" not in text(panel, "picture"), "while it is asked nothing stands behind"
    panel.answer.click()
    assert f"A dashed: {first}." in " ".join(text(panel, "picture").split())
    assert f"from before: {first}." in panel._html["picture"].value


def test_a_price_typed_in_words_is_said_back(tmp_path):
    """ "A pound" may have been meant as a weight; what was understood is said."""
    panel = Panel(lesson09, Rules(currency="£"), tmp_path)
    price = panel.dials["price"]
    price.twin.value = "a pound"
    assert panel.setting.price == 1
    assert "a pound was read as money, £1." in text(panel, "note")
    price.twin.value = "£12.50"
    assert panel.setting.price == 12.5
    assert text(panel, "note").strip() == ""


# --- what is shown again ---


def test_what_is_pinned_stays_when_a_dial_moves(panel):
    panel.answer.click()
    panel.pin.click()
    first = panel.setting
    a = panel.sentence
    panel.set(ratio=5)
    assert panel.pinned.setting == first
    assert f"A: {a}" in text(panel, "say")


def test_the_strip_goes_back_to_the_picture_that_was_pressed(panel):
    """Going back puts what shows at the end of the strip; the others then stand one place further to the front."""
    for _ in range(3):
        panel.answer.click()
        panel.next()
    names = [name for name, _ in panel.strip.shown]
    panel.strip._heard(None, {"open": 0}, None)
    assert panel._now().title == names[0]
    panel.strip._heard(None, {"open": 2}, None)
    assert panel._now().title == names[2]
    assert panel.setting == panel._now().setting


# --- dials ---


def test_a_dial_that_does_not_count_is_put_away(tmp_path):
    panel = Panel(lesson04, Rules(), tmp_path)
    away = set()
    for scene in panel._given:
        panel.set(**dataclasses.asdict(scene.setting))
        stands = {name for name, dial in panel.dials.items() if dial.layout.display != "none"}
        assert stands == lesson04.used(scene.setting)
        away |= panel.dials.keys() - stands
    assert away, "in some scene there is one to put away"


@pytest.mark.parametrize("typed", ["2.5", "2,5"])
def test_soaks_are_counted_in_whole_numbers(typed, tmp_path):
    panel = Panel(lesson09, Rules(), tmp_path)
    before = panel.setting
    panel.dials["soaks"].twin.value = typed
    assert panel.setting == before
    assert "A whole number would work, such as 2 or 3." in text(panel, "note")


def test_a_house_rule_has_its_button(tmp_path):
    panel = Panel(lesson07, Rules(retained=1.4), tmp_path)
    dial = next(dial for dial in panel.dials.values() if "retained" in getattr(dial.control, "stops", ()))
    made = next(b for b in dial.stops if b.description == "1.4 mL/g")
    made.click()
    assert getattr(panel.setting, dial.control.name) == 1.4


# --- the bands of guesses ---


@pytest.mark.parametrize("lesson", [lesson04, lesson05, lesson07, lesson08, lesson09], ids=lambda m: m.__name__[-8:])
def test_every_answer_lies_in_one_band_and_no_more(lesson):
    """On an edge, a little beside it, and as far out as any figure can be."""
    for scene in scenes(lesson, Rules()):
        number = lesson.look(lesson.Setting(), Rules()).numbers[0]
        offered = bands(scene, dataclasses.replace(number, unit=""), Rules(), View())
        assert len(offered) == len(scene.edges) + 1 + bool(scene.none)
        for edge in scene.edges:
            for amount in (edge - 1e-6, edge, edge + 1e-6, -1e9, 1e9):
                assert sum(band.holds(amount) for band in offered) == 1, (scene.name, amount)
        assert sum(band.holds(None) for band in offered) == bool(scene.none)
