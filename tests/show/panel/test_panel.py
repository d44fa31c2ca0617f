"""The Panel without a browser: what is set, shown, kept back, compared, refused and stored."""

from __future__ import annotations

import base64
import re
import types
from html import unescape

import pytest

from herbcalc import person
from herbcalc.rules import Rules
from herbcalc.show.lessons import lesson03, lesson04, lesson05
from herbcalc.show.look import Look, Number, Scene
from herbcalc.show.panel import Panel


@pytest.fixture
def panel(tmp_path):
    made = Panel(lesson05, Rules(), tmp_path)
    made.turn_answer()
    return made


def html(panel, name):
    return unescape(re.sub(r"<[^>]+>", " ", panel._html[name].value)).strip()


def type_in(panel, name, text):
    panel.dials[name].twin.value = text


# --- the central picture ---


def test_it_opens_with_the_first_scene_of_the_story(panel):
    assert panel.setting == lesson05.SCENES[0].setting
    assert "28.6 % vol by the kitchen rule and 28.6 measured" in panel.sentence
    assert "under your floor of 35 % vol" in panel.sentence
    ways = html(panel, "more")
    for way in ("560 mL", "49 % vol", "28.6 % water", "30 mL"):
        assert way in ways


def test_a_moved_slider_changes_sentence_picture_and_alt(panel):
    before = {name: panel._html[name].value for name in ("picture", "say", "tiles")}
    panel.dials["ratio"].slider.value = 6
    assert panel.setting.ratio == 6
    assert "35.3 % vol" in html(panel, "say")
    assert "at or over a line at the floor" in panel._html["picture"].value
    assert "What would work" not in html(panel, "more")
    for name, old in before.items():
        assert panel._html[name].value != old


def test_the_picture_has_its_words_outside_the_drawing(panel):
    value = panel._html["picture"].value
    assert value.startswith('<div class="herb-picture" role="img" aria-label="A jar')
    assert value.index("aria-label") < value.index("<svg")


def test_a_house_rule_moves_the_line(tmp_path):
    panel = Panel(lesson05, Rules(floor=25), tmp_path)
    assert "at or over your floor of 25 % vol" in panel.sentence


# --- typing ---


def test_a_typed_amount_is_kept_exactly_and_said_in_both_systems(panel):
    type_in(panel, "herb", "7 oz")
    assert panel.setting.herb == pytest.approx(198.446661875)
    assert panel.dials["herb"].twin.value == "198 g"
    assert panel.dials["herb"].other.value == "7 oz"
    # A browser's slider stands on its steps and sends the nearest one back; that must not round what was typed.
    panel.dials["herb"].slider.value = 200
    assert panel.setting.herb == pytest.approx(198.446661875)
    panel.dials["herb"].slider.value = 205
    assert panel.setting.herb == 205


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("spirit", "80 proof", 40),
        ("spirit", "75.5", 75.5),
        ("spirit", "75,5 % vol", 75.5),
        ("water", "72 %", 72),
        ("ratio", "1:3", 3),
        ("ratio", "2.5", 2.5),
        ("herb", "1/4 lb", 113.398),
    ],
)
def test_what_may_be_typed(panel, name, text, value):
    type_in(panel, name, text)
    assert getattr(panel.setting, name) == pytest.approx(value)
    assert panel._html["note"].value == ""


@pytest.mark.parametrize("name", ["herb", "water", "ratio", "spirit"])
@pytest.mark.parametrize("text", ["", "lots", "9**9**9", "-3", "1e99", "<b>x</b>", "5 fl oz", "nan"])
def test_silly_text_gets_a_sentence_and_changes_nothing(panel, name, text):
    before = panel.setting
    shown = panel.dials[name].twin.value
    type_in(panel, name, text)
    assert panel.setting == before
    assert panel.dials[name].twin.value == shown
    assert "It stays at" in html(panel, "note")
    assert "<b>" not in panel._html["note"].value


def test_poison_stops(panel):
    for text in ("rubbing alcohol 70 %", "methylated spirit", "hand gel", "isopropyl 91 %"):
        type_in(panel, "spirit", text)
        assert html(panel, "note").startswith("Stop.")
    assert panel.setting.spirit == 40


def test_shelf_strengths_have_buttons_of_the_house_rules(tmp_path):
    panel = Panel(lesson05, Rules(shelf=(37.5, 96)), tmp_path)
    assert [b.description for b in panel.dials["spirit"].stops] == ["37.5 % vol", "96 % vol"]
    panel.dials["spirit"].stops[1].click()
    assert panel.setting.spirit == 96


def test_every_dial_has_a_name_with_its_unit_and_a_typed_twin(tmp_path):
    for lesson in (lesson03, lesson04, lesson05):
        panel = Panel(lesson, Rules(), tmp_path)
        for dial in panel.dials.values():
            if hasattr(dial, "slider"):
                assert "(" in dial.slider.description
                assert dial.twin.tooltip == f"{dial.slider.description}, typed"
                assert not dial.slider.readout
            else:
                assert dial.radio.description


# --- asking first ---


def test_the_answer_is_kept_back_until_it_is_asked_for(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    everything = " ".join(made.value for made in panel._html.values())
    assert "28.6" not in everything
    assert "What would work" not in everything
    assert "? % vol" in everything
    assert lesson05.QUESTION.split("?")[0] in html(panel, "question")
    panel.answer.click()
    assert "28.6 % vol" in html(panel, "tiles")
    panel.answer.click()
    assert "28.6" not in " ".join(made.value for made in panel._html.values())


@pytest.mark.parametrize("lesson", [lesson03, lesson04, lesson05], ids=lambda m: m.__name__[-8:])
def test_no_scene_gives_its_answer_away(lesson, tmp_path):
    panel = Panel(lesson, Rules(), tmp_path)
    for _ in lesson.SCENES:
        if panel.look is not None:
            shown = " ".join(html(panel, name) for name in ("picture", "tiles", "say", "more"))
            answer = panel.look.numbers[0].value if lesson is not lesson04 else panel.look.numbers[1].value
            assert answer not in shown
        panel.next()


def test_hands_are_counted_and_stay_once_the_answer_shows(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.hands.boxes[1].value = 7
    panel.hands.boxes[3].value = 2
    assert panel.hands.told.layout.display == "none"
    panel.answer.click()
    assert panel.hands.told.layout.display == ""
    assert "7" in panel.hands.told.value
    assert "width:28%" in panel.hands.told.value
    assert "7 said a bit weaker, 2 said under the floor" in panel.hands.sentence()
    panel.next()
    assert panel.hands.sentence() == ""
    panel.back()
    assert panel.hands.boxes[1].value == 7


def test_a_scene_with_a_question_of_its_own_asks_again(panel):
    assert not panel._hidden
    panel.next()
    assert panel._hidden
    assert "How much water may the lemon balm still hold" in html(panel, "question")


# --- looking otherwise ---


def test_units_and_rule_change_the_order_and_never_the_jar(panel):
    amounts = [n.amount for n in panel.look.numbers]
    panel.units.value = "kitchen"
    assert "3 1/2 oz (100 g)" in panel.sentence
    assert panel.dials["herb"].twin.value == "3 1/2 oz"
    assert panel.dials["herb"].other.value == "100 g"
    panel.set(spirit=95)
    panel.rule.value = "measured"
    assert "69.5 % vol measured and 67.9 by the kitchen rule, 1.6 points apart" in panel.sentence
    panel.start()
    assert panel.view.units == "metric"
    assert [n.amount for n in panel.look.numbers] == amounts


def test_the_last_one_stays_faint(panel):
    plain = panel._html["picture"].value
    panel.before.value = "faint"
    panel.dials["ratio"].slider.value = 4
    value = panel._html["picture"].value
    assert "stroke-dasharray: 4" in value.replace("4.0", "4") or "stroke-dasharray" in value
    assert "Left showing, faint, from before" in value
    assert panel.earlier.ratio == 2
    panel.before.value = "away"
    panel.dials["ratio"].slider.value = 2
    assert panel._html["picture"].value == plain


def test_side_by_side_tells_the_difference_in_words(panel):
    panel.before.value = "beside"
    panel.set(spirit=50)
    value = panel._html["picture"].value
    assert value.count("<svg") == 2
    assert value.count('role="img"') == 2
    assert "B against A: at the end: 7.1 points more" in html(panel, "say")
    assert "Not changed: plant's water" in html(panel, "say")


def test_grounds(panel):
    panel.ground.value = "dark"
    assert "herb-dark" in panel._dom_classes
    assert "#211c19" in panel._html["picture"].value
    panel.ground.value = "light"
    assert "herb-dark" not in panel._dom_classes


def test_in_the_show_view_the_words_are_large(panel):
    panel.stage.showing = True
    value = panel._html["picture"].value
    sizes = [float(s) for s in re.findall(r"font(?:-size)?: (?:bold |700 )?([\d.]+)px", value)]
    width = float(re.search(r'viewBox="0 0 ([\d.]+)', value)[1])
    assert sizes
    assert min(sizes) * 980 / width >= 28  # 980 pixels is what a screen of 1024 leaves for the picture
    panel.stage.showing = False
    assert panel._html["picture"].value != value


def test_back_to_the_start_in_one_press(panel):
    start = lesson05.SCENES[0].setting
    panel.next()
    panel.set(herb=300, spirit=96)
    panel.before.value = "beside"
    panel.start()
    assert panel.setting == start
    assert panel.earlier is None
    assert panel.scenes.value == 0


def test_scenes_go_round(panel):
    names = []
    for _ in lesson05.SCENES:
        names.append(panel.scenes.options[panel.scenes.value][0])
        panel.next()
    assert len(set(names)) == len(lesson05.SCENES)
    assert panel.scenes.value == 0
    panel.back()
    assert panel.scenes.value == len(lesson05.SCENES) - 1
    panel.scenes.value = 2
    assert panel.setting == lesson05.SCENES[2].setting


def test_cautions_stand_where_they_belong(panel):
    assert "food-grade" in html(panel, "more")
    assert "throw it away" in html(panel, "more")
    panel.set(spirit=96)
    assert "Never distil at home" in html(panel, "more")
    panel.set(spirit=60, ratio=5)
    assert "22 °C" in html(panel, "more")


# --- keeping ---


def press(panel, words):
    def buttons(box):
        for child in getattr(box, "children", ()):
            if getattr(child, "description", None) == words:
                yield child
            yield from buttons(child)

    next(buttons(panel)).click()


def test_an_own_setting_is_kept_used_and_let_go(panel, tmp_path):
    panel.set(herb=250, ratio=3)
    panel.kept.name.value = "my quart"
    press(panel, "Keep this setting")
    assert person.settings(5, tmp_path)[0]["name"] == "my quart"
    again = Panel(lesson05, Rules(), tmp_path)
    again.back()
    assert again.setting.herb == 250
    assert "my quart" in again.scenes.label
    press(again, "Let this kept setting go")
    assert person.settings(5, tmp_path) == []
    assert again.scenes.value == 0


def test_up_to_eight_own_settings(panel, tmp_path):
    for n in range(9):
        panel.kept.name.value = f"jar {n}"
        press(panel, "Keep this setting")
    assert len(person.settings(5, tmp_path)) == 8
    assert "8 settings are kept here already" in html(panel, "note")
    press(panel, "Let this kept setting go")
    assert "Only a setting that you kept yourself" in html(panel, "note")


def test_a_kept_setting_that_no_longer_fits_is_named(tmp_path):
    person.save_settings(5, [{"name": "old", "setting": {"herb": 9e9, "ratio": 3, "gone": 1}}, {"odd": 1}], tmp_path)
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.back()
    panel.back()
    assert panel.setting.ratio == 3
    assert panel.setting.herb == 100


def test_the_batch_is_written_and_read(panel, tmp_path):
    press(panel, "Use my batch here")
    assert "no figures for this lesson yet" in html(panel, "note")
    panel.set(water=70, spirit=50)
    press(panel, "Put these figures in my batch")
    assert person.batch(tmp_path) == {"herb": 100, "water": 70, "ratio": 2, "spirit": 50}
    other = Panel(lesson03, Rules(), tmp_path)
    press(other, "Use my batch here")
    assert other.setting.water == 70
    assert "from your batch" in html(other, "note")


def test_a_folder_that_cannot_be_written_is_said(tmp_path):
    blocked = tmp_path / "a file"
    blocked.write_text("in the way")
    panel = Panel(lesson05, Rules(), blocked)
    press(panel, "Keep this setting")
    assert "in the way" in html(panel, "note")


# --- refusals and trouble ---


def test_a_refusal_is_a_sentence_with_its_ways_out(tmp_path):
    panel = Panel(lesson04, Rules(), tmp_path)
    panel.turn_answer()
    panel.set(spirit=40, to=50)
    assert "cannot become 50 % vol" in html(panel, "say")
    assert not html(panel, "say").startswith("to:")
    assert "What would work" in html(panel, "more")
    assert panel._html["picture"].value == ""
    panel.set(to=30)
    assert "<svg" in panel._html["picture"].value


def test_a_refusal_that_is_the_answer_is_kept_back_too(tmp_path):
    panel = Panel(lesson04, Rules(), tmp_path)
    panel.scenes.value = next(n for label, n in panel.scenes.options if "Can vodka become 50" in label)
    assert "guess first" in html(panel, "say")
    panel.answer.click()
    assert "40 % vol cannot become 50 % vol" in html(panel, "say")


def test_any_other_trouble_is_named_and_raised(tmp_path):
    def look(setting, rules, view):
        if setting.herb > 200:
            raise ZeroDivisionError("a test of trouble")
        number = Number("n", "1", amount=1.0, unit="g")
        return Look(
            "A sentence.", [number], "An alt.", [["a"], ["b"]], lambda board: board.box("b", 1, 1, 9, 9), "Given."
        )

    lesson = types.SimpleNamespace(
        LESSON=98, TITLE="t", QUESTION="q?", GUESSES=("a", "b", "c"), CAUTION="", Setting=lesson05.Setting,
        SCENES=tuple(Scene(f"s{n}", lesson05.Setting()) for n in range(3)), look=look,
    )  # fmt: skip
    panel = Panel(lesson, Rules(), tmp_path)
    with pytest.raises(ZeroDivisionError):
        panel.dials["herb"].slider.value = 300
    assert "ZeroDivisionError: a test of trouble" in html(panel, "trouble")
    panel.dials["herb"].slider.value = 100
    assert html(panel, "trouble") == ""


# --- in a notebook ---


def test_what_a_notebook_stores(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    bundle = panel._repr_mimebundle_()
    assert bundle["text/plain"] == panel.sentence
    assert "application/vnd.jupyter.widget-view+json" in bundle
    stored = bundle["text/html"]
    assert stored.startswith('<img class="herb-stored"')
    assert panel.look.alt.split(":")[0] in unescape(stored)
    assert panel.sentence in unescape(stored)
    assert "<svg" not in stored
    svg = base64.b64decode(re.search(r"base64,([A-Za-z0-9+/=]+)", stored)[1]).decode()
    assert svg.startswith("<svg")
    assert "28.6 % vol" in svg
    assert Panel(lesson05, Rules(), tmp_path)._repr_mimebundle_()["text/html"] == stored


def test_two_panels_live_side_by_side(tmp_path):
    one, other = (Panel(lesson05, Rules(), tmp_path) for _ in range(2))
    one.set(ratio=5)
    assert other.setting.ratio == 2


def test_the_echo_of_an_earlier_scene_is_no_move(panel):
    """Two scenes in quick succession: the browser's answer to the first comes after the second was set."""
    field = next(name for name, dial in panel.dials.items() if hasattr(dial, "slider"))
    dial, first = panel.dials[field], getattr(panel.setting, field)
    panel.set(**{field: first + 20 * dial.control.step})
    sent = dial.slider.value
    panel.set(**{field: first})
    dial.slider.value = sent - 6e-14
    assert getattr(panel.setting, field) == first
    assert dial.slider.value == first
    dial.slider.value = first + 3 * dial.control.step
    assert getattr(panel.setting, field) == pytest.approx(first + 3 * dial.control.step)
