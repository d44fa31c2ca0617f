"""The Panel without a browser: what is set, shown, kept back, compared, refused and stored."""

from __future__ import annotations

import base64
import re
from html import unescape

import pytest

from herbcalc import person
from herbcalc.person import batches
from herbcalc.rules import Rules
from herbcalc.show import assets
from herbcalc.show.here import modules
from herbcalc.show.lessons import lesson01, lesson03, lesson04, lesson05
from herbcalc.show.look import Look, Number, View, key_of
from herbcalc.show.panel import Panel
from herbcalc.show.panel.markup import apart, pairs
from herbcalc.show.story import Band, scenes

LESSONS = modules()
OF = {key_of(module, 2): module for module in LESSONS}


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
    assert panel.setting == scenes(lesson05, Rules())[0].setting
    assert "29.1 % vol by the kitchen rule and 29.1 measured" in panel.sentence
    assert "under your floor of 35 % vol" in panel.sentence
    ways = html(panel, "more")
    for way in ("525 mL", "48.2 % vol", "28.6 % water", "28 mL"):
        assert way in ways, ways


def test_a_moved_slider_changes_sentence_picture_and_alt(panel):
    before = {name: panel._html[name].value for name in ("picture", "say", "tiles", "question")}
    panel.dials["ratio"].slider.value = 6
    assert panel.setting.ratio == 6
    assert "35.6 % vol" in html(panel, "say")
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
    for lesson in LESSONS:
        panel = Panel(lesson, Rules(), tmp_path)
        for dial in panel.dials.values():
            if hasattr(dial, "slider"):
                assert "(" in dial.slider.description or dial.control.unit in ("", "share", "money")
                assert dial.twin.tooltip == f"{dial.slider.description}, typed"
                assert not dial.slider.readout
            elif hasattr(dial, "twin"):
                assert dial.twin.tooltip == f"{dial.control.title()}, typed"
            else:
                assert dial.radio.description


@pytest.mark.parametrize(
    ("name", "text", "value"),
    [
        ("spirit", "33 % by weight", 39.66),  # the panel's own example of a strength
        ("spirit", "33 % w/w", 39.66),
        ("water", "400 % db", 80.0),
        ("water", "300 % of the dry weight", 75.0),
        ("herb", "12 lb", 5443.1),
        ("herb", "5 kg", 5000.0),
        ("herb", "5000", 5000.0),
    ],
)
def test_nothing_typed_is_swallowed(panel, name, text, value):
    type_in(panel, name, text)
    assert getattr(panel.setting, name) == pytest.approx(value, rel=1e-3)
    assert html(panel, "note") == ""
    assert panel.dials[name].slider.value <= panel.dials[name].control.high


def test_why_a_typed_amount_was_not_taken_stands_beside_its_box_until_the_next_one(panel):
    """On a short screen the panel's own line is out of view where a lower dial is typed."""
    dial = panel.dials["water"]
    dial.twin.value = "<b> 8 oz"
    beside = dial.children[-1]
    assert unescape(beside.value) in unescape(panel._html["note"].value)
    assert beside.value.startswith("&quot;&lt;b&gt;")
    dial.twin.value = "70 %"
    assert beside.value == ""
    dial.twin.value = " "
    assert "left empty" in beside.value
    assert dial.children[-1] is beside


def test_more_than_the_slider_reaches_stays_as_it_was_typed(panel):
    type_in(panel, "herb", "2 kg")
    dial = panel.dials["herb"]
    assert dial.slider.value == dial.control.high == 500
    assert dial.twin.value == "2000 g"
    assert "1000 mL" not in panel.sentence  # and nothing falls back to the slider's end
    assert "4000 mL" in panel.sentence
    dial.slider.value = 300
    assert panel.setting.herb == 300


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda m: m.__name__[-8:])
def test_every_box_says_what_it_could_not_read_or_takes_it(lesson, tmp_path):
    """Whatever is typed, something changes or something is said."""
    panel = Panel(lesson, Rules(), tmp_path)
    for name, dial in panel.dials.items():
        if not hasattr(dial, "twin"):
            continue
        for text in ("33 % by weight", "400 % db", "2.5", "half a pint", "3:1", "1e9", "2 weeks", "5 fl oz", "%"):
            before = getattr(panel.setting, name)
            dial.twin.value = f"{text} "
            took = getattr(panel.setting, name) != before
            if not took and not re.search("It stays at|nothing was changed", html(panel, "note")):
                assert dial.control.read(text) == pytest.approx(before), (name, text)
            if took and dial.control.kind == "count":
                assert getattr(panel.setting, name) == int(getattr(panel.setting, name))


# --- asking first ---


DRAWN = re.compile(r"<style.*?</style>|<[^!>][^>]*>", re.DOTALL)  # where a picture's lines run; its words are left
SCENES = [pytest.param(m, n, id=f"{key_of(m)}.{n + 1}") for m in LESSONS for n in range(len(scenes(m, Rules())))]


def everything(panel):
    """All that a person sees or hears, but for the dials, which hold what is given."""
    seen = " ".join(unescape(made.value) for name, made in panel._html.items() if name != "guessed")
    return re.sub(r"<svg.*?</svg>", lambda svg: DRAWN.sub(" ", svg[0]), seen, flags=re.DOTALL)


@pytest.mark.parametrize(("lesson", "n"), SCENES)
def test_a_scene_asks_shows_marks_and_stands_beside_the_first(lesson, n, tmp_path):
    """Before, a ? in its own unit stands where the figure will; after, the figure is first and its band marked."""
    panel = Panel(lesson, Rules(), tmp_path)
    panel._open(n)
    scene = panel._now()
    assert html(panel, "question") == scene.question.format(rules=Rules())
    asked = (
        unescape(re.search(r'class="herb-first"><span>.*?</span><b>(.*?)</b>', panel._html["tiles"].value)[1])
        if (panel.look)
        else "?"
    )
    assert "?" in asked
    assert panel._html["tiles"].value.count("<li") <= 1
    before = everything(panel)
    panel.answer.click()
    answer = panel._answer()
    number = answer.value.removeprefix("at least ").removeprefix("at most ")
    elsewhere = re.sub(re.escape(unescape(scene.question)), "", before)
    assert not re.search(rf"(?<![\d.,]){re.escape(number)}(?!\d)", elsewhere)
    first = unescape(re.search(r'class="herb-first"><span>(.*?)</span><b>(.*?)</b>', panel._html["tiles"].value)[2])
    first = re.sub(r"</?small>", "", first)
    assert first == answer.value
    if panel.look:
        unit = asked.replace("1:?", "").replace("?", "").strip()
        one = unit.removesuffix("s") if answer.amount == 1 else unit
        assert one in answer.value or not answer.amount
    assert panel.hands.told.value.count("herb-held") == 1
    assert panel.hands.told.value.count("it is here") == 1
    held = re.search(r'class="herb-held"><span>(.*?) <em>', panel.hands.told.value)[1]
    assert unescape(held) == next(b.words for b in panel.hands.bands if b.holds(answer.amount))
    panel.answer.click()
    assert everything(panel) == before
    stands_beside_the_first(panel, n)


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda m: m.__name__[-8:])
def test_no_scene_opens_with_its_answer(lesson, tmp_path):
    panel = Panel(lesson, Rules(), tmp_path)
    for move in [panel.next] * len(panel._all()) + [panel.back] * 3 + [panel.start]:
        panel._hidden = False  # as it is after Show me
        panel._draw()
        move()
        assert panel._hidden
        assert "herb-asking" in panel.answer._dom_classes
        assert panel.answer.description == "Show me"
        dials = [dial for dial in panel.dials.values() if hasattr(dial, "twin") and dial.layout.display != "none"]
        shown = [dial.twin.value + (dial.other.value if hasattr(dial, "other") else "") for dial in dials]
        assert not [words for words in shown if panel._answer().value in words]


def test_a_label_and_a_thermometer_stand_as_they_are_read(tmp_path):
    """151 proof had its % vol beside it, and 100 °F its °C, before anybody had guessed them."""
    panel = Panel(lesson01, Rules(), tmp_path)
    assert panel.dials["proof"].twin.value == "80 proof"
    assert panel.dials["high"].twin.value == "100 °F"
    panel.dials["proof"].twin.value = "151"
    panel.dials["high"].twin.value = "30 °C"
    assert (panel.setting.proof, panel.setting.high) == pytest.approx((151, 86))


@pytest.mark.parametrize("lesson", LESSONS, ids=lambda m: m.__name__[-8:])
def test_no_tile_gives_the_next_answer_away(lesson, tmp_path):
    """What a later scene asks for stands in no tile of an earlier one."""
    panel = Panel(lesson, Rules(), tmp_path)
    panel.turn_answer()
    answers = panel._answers
    for n in range(len(panel._given)):
        panel._open(n)
        panel.turn_answer()
        tiles = re.findall(r"<span>(.*?)</span><b>(.*?)</b>", re.sub(r"</?small>", "", panel._html["tiles"].value))
        labels = {x.label: x.key for x in panel.look.numbers} if panel.look else {}
        shown = {(labels.get(unescape(label)), unescape(value)) for label, value in tiles}
        assert not shown & {said for m, said in answers.items() if m > n}
        assert 1 <= len(tiles) <= 4


def test_next_says_where_it_goes(panel):
    assert panel.ahead.description == "Next: How dry must it be? (2 of 8)"
    panel.back()
    assert panel.ahead.description == "Next: Lemon balm in vodka, 1:2 (1 of 8)"


def test_a_moved_dial_is_asked_in_its_own_figures(tmp_path):
    panel = Panel(lesson03, Rules(), tmp_path)
    panel.dials["fresh"].twin.value = "2 lb"
    assert html(panel, "question") == "907 g (2 lb) at 80 % water, dried to 50 %: what does it weigh?"
    panel.set(fresh=1000)
    assert html(panel, "question").startswith("1000 g (2 lb 3 1/4 oz) of leaf dries")


def test_the_strip_holds_eight(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    for ratio in range(1, 11):
        panel._open(0)
        panel._hidden = False
        panel.set(ratio=ratio)
    panel.next()
    assert len(panel.strip.shown) == 8


def test_a_way_of_telling_gives_no_later_answer_away(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.turn_answer()
    for way in ("kitchen", "metric"):
        panel.units.value = way
        assert "28.6 % water" not in html(panel, "tiles")
    panel.rule.value = "measured"
    assert "Wettest plant" not in html(panel, "tiles")


def test_my_batch_moves_only_its_own_dials(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    batches.save_figures({"water": 70}, tmp_path)
    panel.set(ratio=7, spirit=60)
    press(panel, "Use my batch here")
    assert (panel.setting.water, panel.setting.ratio, panel.setting.spirit) == (70, 7, 60)


def test_a_kept_setting_beyond_the_slider_comes_back(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    type_in(panel, "herb", "2 kg")
    press(panel, "Keep this setting")
    again = Panel(lesson05, Rules(), tmp_path)
    again.back()
    assert again.setting.herb == 2000


def test_a_band_holds_its_lower_edge_and_a_small_difference_is_told():
    low, high = Band("", low=25, high=35), Band("", low=35, high=40)
    assert high.holds(35)
    assert not low.holds(35)
    a, b = (Number("", "", amount=n, unit="percent_vol") for n in (28.6, 29.0))
    assert apart(a, b, View()) == "B: 0.4 points more"


def test_the_teachers_line_is_nowhere_on_the_panel(tmp_path):
    for lesson in LESSONS:
        panel = Panel(lesson, Rules(), tmp_path)
        for scene in panel._all():
            assert scene.teacher in panel.stage.teacher
            panel.answer.click()
            assert scene.teacher not in everything(panel)
            panel.next()


def test_a_verdict_that_the_rules_do_not_share_says_so(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    panel.turn_answer()
    panel.set(water=60, ratio=4.19, spirit=40)
    assert "The two rules do not agree" in panel.sentence
    assert "Do not keep a jar" in html(panel, "cautions")
    assert "on the other side of your floor" in html(panel, "tiles"), "and in the show view it stands with the answer"
    panel.set(ratio=2)
    assert "on the other side" not in html(panel, "tiles")


# --- looking otherwise ---


def test_units_and_rule_change_the_order_and_never_the_jar(panel):
    amounts = [n.amount for n in panel.look.numbers]
    panel.units.value = "kitchen"
    assert "3 1/2 oz (100 g)" in panel.sentence
    assert panel.dials["herb"].twin.value == "3 1/2 oz"
    assert panel.dials["herb"].other.value == "100 g"
    panel.set(spirit=95)
    panel.rule.value = "measured"
    assert re.search(r"70\.\d % vol measured and 69\.1 by the kitchen rule, 1\.\d points apart", panel.sentence)
    panel.start()
    assert panel.view.units == "metric"
    assert [n.amount for n in panel.look.numbers] == amounts


def test_what_is_pinned_may_stay_faint(panel):
    plain = panel._html["picture"].value
    panel.pin.click()
    panel.before.value = "faint"
    panel.dials["ratio"].slider.value = 4
    value = panel._html["picture"].value
    assert value.count("<svg") == 1
    assert "stroke-dasharray" in value
    assert "Left showing, faint, from before" in value
    assert panel.pinned.setting.ratio == 2
    panel.pin.click()
    panel.dials["ratio"].slider.value = 2
    assert panel._html["picture"].value == plain


def test_two_jars_against_each_other(panel):
    """Both pictures whole, both curves on one chart, both by name, both in every tile with their difference."""
    panel.kept.name.value = "vodka 1:2"
    panel.pin.click()
    panel.kept.name.value = ""
    panel.set(spirit=50)
    value = unescape(panel._html["picture"].value)
    assert value.count("<svg") == 3
    assert value.count('role="img"') == 2
    assert "<b>A</b> vodka 1:2" in value
    assert "<b>B</b> 100 g (3 1/2 oz) with 75 % water, 50 % vol at 1:2" in value
    tiles = html(panel, "tiles")
    assert "A 29.1 % vol B 36.4 % vol B: 7.3 points more" in re.sub(r" +", " ", tiles)
    assert len(re.findall(r"<b>A ", panel._html["tiles"].value)) == 4
    assert "A measured 29.1; B measured 36.5" in tiles
    say = html(panel, "say")
    assert say.index("A: 100 g") < say.index("B: 100 g")
    panel.pin.click()
    assert panel._html["picture"].value.count("<svg") == 1


def stands_beside_the_first(panel, n):
    panel._open(0)
    panel.turn_answer()
    panel.pin.click()
    panel._open(n)
    assert panel._html["picture"].value.count("<svg") <= 1, "it is asked, and nothing is compared before"
    panel.turn_answer()
    if panel.look is None:
        return
    assert panel._html["picture"].value.count("<svg") == 3
    first = re.search(r'class="herb-first">.*?</li>', panel._html["tiles"].value)[0]
    assert f"<b>B {panel._answer().value}</b>" in unescape(re.sub(r"</?small>", "", first))
    assert "<b>A " in first


def test_what_was_shown_stands_as_a_strip(panel):
    panel.next()
    assert [name for name, _ in panel.strip.shown] == ["Lemon balm in vodka, 1:2"]
    panel.turn_answer()
    panel.next()
    assert len(panel.strip.shown) == 2
    assert panel.strip.shown[0][1].startswith("<svg")
    assert "<text" not in panel.strip.shown[0][1]
    panel.strip._heard(None, {"open": 0}, None)
    assert panel.setting == panel._given[0].setting
    assert not panel._hidden, "it was shown before, so it shows at once"
    assert panel._given[0].teacher in panel.stage.teacher, "and the teacher's window speaks of it"
    for odd in ({"open": 99}, {"open": "0"}, {"open": True}, "open", None):
        panel.strip._heard(None, odd, None)
    assert panel.setting == panel._given[0].setting


def test_keys_of_a_remote_are_taken_one_after_the_other(tmp_path):
    """However quickly they follow each other, each means what it means where the one before has led."""
    panel = Panel(lesson05, Rules(), tmp_path, counts_hands=True)
    for key, scene, hidden in (
        ("2", 0, True),
        ("forward", 0, False),
        ("3", 0, False),
        ("forward", 1, True),
        ("forward", 1, False),
        ("back", 0, True),
        ("undo", 0, True),
        ("pin", 0, False),
        ("9", 0, False),
        ("odd", 0, False),
    ):
        panel.stage._heard(None, {"key": key}, None)
        assert (panel._scene, panel._hidden) == (scene, hidden), key
    assert panel.hands.counts == [0, 1, 0, 0], "3 and 9 came when nothing was asked; the undo belonged to no press"
    assert panel.pinned is not None


def test_one_dial_in_the_show_view(panel):
    def chosen():
        return [name for name, dial in panel.dials.items() if "herb-chosen" in dial._dom_classes]

    assert chosen() == ["ratio"]
    panel.which.value = "herb"
    assert chosen() == ["herb"]
    panel.next()
    assert chosen() == [panel._now().drag]
    panel.all_dials.click()
    assert "herb-every" in panel._dials._dom_classes
    assert panel.all_dials.description == "One dial"


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
    start = panel._given[0].setting
    panel.pin.click()
    panel.next()
    panel.set(herb=300, spirit=96)
    panel.start()
    assert panel.setting == start
    assert panel.pinned is None
    assert panel.scenes.value == 0


def test_scenes_go_round(panel):
    names = []
    for _ in panel._given:
        names.append(panel.scenes.options[panel.scenes.value][0])
        panel.next()
    assert len(set(names)) == len(panel._given)
    assert panel.scenes.value == 0
    panel.back()
    assert panel.scenes.value == len(panel._given) - 1
    panel.scenes.value = 2
    assert panel.setting == panel._given[2].setting


def test_cautions_stand_where_they_belong(panel):
    assert "food-grade" in html(panel, "cautions")
    assert "throw it away" in html(panel, "cautions")
    panel.set(spirit=96)
    assert "Never distil at home" in html(panel, "cautions")
    panel.set(spirit=60, ratio=5)
    assert "22 °C" in html(panel, "cautions")


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
    press(again, "Delete this setting")
    assert person.settings(5, tmp_path) == []
    assert again.scenes.value == 0


def test_up_to_eight_own_settings(panel, tmp_path):
    for n in range(9):
        panel.kept.name.value = f"jar {n}"
        press(panel, "Keep this setting")
    assert len(person.settings(5, tmp_path)) == 8
    assert "8 settings are kept here already" in html(panel, "note")
    press(panel, "Delete this setting")
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
    assert batches.figures(tmp_path) == {"herb": 100, "water": 70, "ratio": 2, "spirit": 50}
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
    assert "cannot become 50 % vol" in html(panel, "picture")
    assert not html(panel, "picture").startswith("to:")
    assert "What would work" in html(panel, "picture")
    assert "<svg" not in panel._html["picture"].value
    panel.set(to=30)
    assert "<svg" in panel._html["picture"].value


def test_a_refusal_that_is_the_answer_is_kept_back_too(tmp_path):
    panel = Panel(lesson04, Rules(), tmp_path)
    panel.scenes.value = next(n for label, n in panel.scenes.options if "Can vodka become 50" in label)
    assert "guess first" in html(panel, "say")
    assert "cannot become" not in everything(panel)
    panel.answer.click()
    assert "40 % vol cannot become 50 % vol" in html(panel, "picture")


def test_any_other_trouble_is_named_and_raised(tmp_path, monkeypatch):
    usual = lesson05.look

    def look(setting, rules, view):
        if setting.herb > 200:
            raise ZeroDivisionError("a test of trouble")
        return usual(setting, rules, view)

    monkeypatch.setattr(lesson05, "look", look)
    panel = Panel(lesson05, Rules(), tmp_path)
    with pytest.raises(ZeroDivisionError):
        panel.dials["herb"].slider.value = 300
    assert "ZeroDivisionError: a test of trouble" in html(panel, "trouble")
    panel.dials["herb"].slider.value = 100
    assert html(panel, "trouble") == ""


# --- in a notebook ---


def test_what_a_notebook_stores_is_the_question(tmp_path):
    panel = Panel(lesson05, Rules(), tmp_path)
    bundle = panel._repr_mimebundle_()
    question = scenes(lesson05, Rules())[0].question
    assert bundle["text/plain"] == question
    assert "application/vnd.jupyter.widget-view+json" in bundle
    stored = bundle["text/html"]
    assert stored.startswith('<img class="herb-stored"')
    assert panel.look.given in unescape(stored)
    assert question in unescape(stored)
    assert "<svg" not in stored
    svg = base64.b64decode(re.search(r"base64,([A-Za-z0-9+/=]+)", stored)[1]).decode()
    assert svg.startswith("<svg")
    words = " ".join(re.findall(r">([^<]+)</text>", svg))
    assert "29.1" not in words + unescape(re.sub(r"base64,\S+", "", stored)), "it is for those who have guessed"
    assert "? % vol" in words
    panel.turn_answer()
    assert "29.1" not in panel._repr_mimebundle_()["text/html"]
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


def test_a_move_with_crumbs_is_taken_and_not_answered(panel):
    """The browser was told 75 for its 75.00000000000001, and lost the steps that a hand had made in between."""
    dial = panel.dials["water"]
    dial.slider.value = 74.0
    dial.slider.value = 75.00000000000001 + 1
    assert panel.setting.water == 76
    assert dial.slider.value == 75.00000000000001 + 1, "an answer overtakes the next step"
    assert dial.twin.value == "76 % water"


@pytest.mark.parametrize("name", ["07", "13", "13_cost"])
def test_a_panel_opens_where_a_house_rule_leaves_nothing_to_pour_off(tmp_path, name):
    """A marc that keeps all of 1:5 stopped these panels before they were there."""
    panel = Panel(OF[name], Rules(retained=5.0), tmp_path)
    panel.turn_answer()
    assert panel.sentence
    assert not panel._html["trouble"].value


def test_a_count_of_hands_is_shown_for_each_scene_of_a_mix(tmp_path):
    """Its herb came as a number of another library, and the panel stopped as it marked the band."""
    lesson = OF["12"]
    panel = Panel(lesson, Rules(), tmp_path, counts_hands=True)
    for scene in range(len(scenes(lesson, Rules()))):
        panel._open(scene)
        panel.hands.count(0)
        panel.turn_answer()
        assert panel.hands.told.value.count("it is here") == 1


def test_what_a_has_not_told_is_not_none():
    """ "A none" beside "least vinegar" read as if none were needed."""
    known = Number("These keep", "1 of 4 jars", amount=1, unit="jars", key="keeping")
    wanted = Number("Least vinegar", "at least 340 mL", amount=340, unit="mL", key="needed")
    earlier = Look("", (known,), "", (), lambda *_: None, lambda *_: None)
    assert "A not told" in pairs([wanted], earlier, View())


def test_a_difference_in_money_has_the_houses_sign():
    a, b = (Number("One", f"£{n:.2f}", amount=n, unit="money") for n in (4.29, 4.08))
    assert apart(a, b, View()) == "B: £0.21 less"


def test_dials_that_do_not_count_are_away_in_the_show_view_too(tmp_path):
    """All dials at once showed those of a choice that was not made."""
    panel = Panel(OF["12_drops"], Rules(), tmp_path)
    away = {name for name, dial in panel.dials.items() if "herb-away" in dial._dom_classes}
    assert away == {"volume"}
    panel.set(told_in="mL")
    assert {name for name, dial in panel.dials.items() if "herb-away" in dial._dom_classes} == {"drops"}
    css = assets.text("panel/stage.css")
    shown = re.findall(r"\.herb-every > \.herb-(?:dial|row)[^{]*\{ display", css)
    assert len(shown) == 2
    assert all(":not(.herb-away)" in rule for rule in shown)


def test_two_answers_stand_on_two_lines():
    """The place of the tiles has their name too, so "all but pairs" took in the pairs: six lines, a tiny picture."""
    for rule in re.findall(r"[^{}\n]*\{", assets.text("panel/stage.css")):
        assert ":not(.herb-pairs)" not in rule or "ul.herb-tiles:not(.herb-pairs)" in rule, rule
