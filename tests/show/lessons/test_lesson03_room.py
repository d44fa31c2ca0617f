"""Lesson 3, the room: where herb stops, what the air carries off, and three answers to "dry enough?"."""

from __future__ import annotations

import dataclasses
import subprocess
import sys

import pytest

from herbcalc import air, drying, moisture, person
from herbcalc.rules import Rules
from herbcalc.show.draw.board import Board
from herbcalc.show.draw.shapes import parted
from herbcalc.show.here import Here
from herbcalc.show.lessons import lesson03_room as room
from herbcalc.show.look import View
from herbcalc.show.story import scenes
from herbcalc.units import Q

RULES = Rules()
SCENES = scenes(room, RULES)


def setting(scene=1, **values):
    return dataclasses.replace(SCENES[scene - 1].setting, **values)


def drawn(look):
    """The words in the picture, after the guess."""
    board = Board(612, 262, size=16.5, small=14.5)
    board.start()
    left, right = parted(board, look.share)
    look.left(board, left, True)
    look.right(board, right)
    return " ".join(a.get_text() for key, a in board._artists.items() if key.startswith("words"))


def test_lemon_balm_comes_to_rest_where_the_sums_say():
    it = room.sums(setting(), RULES)
    rests = moisture.to_wet_basis(drying.equilibrium_moisture("lemon balm", Q(22, "degC"), 0.7))
    assert it.rests == pytest.approx(rests.magnitude)
    assert it.heavy == pytest.approx(200 / (1 - it.rests / 100))
    assert it.stop == pytest.approx(200 / 0.9)
    assert it.above == pytest.approx(it.heavy - it.stop)
    assert not it.enough


def test_a_published_point_of_lemon_balm_leaf():
    # Argyropoulos and others (2012), LWT 47: 0.124 kg/kg at 25 °C is the safe storage moisture; 11.03 % wet basis.
    it = room.sums(setting(warm=25, damp=0.6), RULES)
    assert it.rests == pytest.approx(11.03, abs=0.02)


def test_the_air_carries_what_the_balance_says():
    """All the water in so many m³ an hour for so many hours is what has to go."""
    for values in ({"damp": 0.5}, {"damp": 0.3, "fresh": 3000}, {"warm": 30, "hours": 48}):
        s = setting(5, **values)
        it = room.sums(s, RULES)
        assert it.flow * s.hours * it.carries / room.LOT == pytest.approx(it.gone)
        assert it.gone == pytest.approx(s.fresh - max(it.stop, it.heavy))


def test_carried_by_a_printed_row():
    # drying_air_capacity: air of 25 °C and rh 0.5 picks up 2.315 g for each m³ until it is 80 % full (PsychroLib).
    assert room.sums(setting(5), RULES).carries == pytest.approx(231.5, abs=0.1)


def test_air_that_is_full_carries_nothing_and_says_so():
    look = room.look(setting(damp=0.85), RULES)
    assert look.number("flow").amount is None
    assert "no fan is large enough" in look.sentence
    assert "no air does it" in " ".join(map(" ".join, look.table))
    assert look.number("carries").amount == 0


def test_warming_the_same_air_is_a_way_out_that_works():
    it = room.sums(setting(), RULES)
    warm, damp = it.warm_enough
    assert damp == pytest.approx(air.rh_when_warmed(Q(22, "degC"), 0.7, Q(warm, "degC")).magnitude)
    assert room.sums(setting(warm=warm, damp=damp), RULES).enough
    less = warm - 1
    damper = float(air.rh_when_warmed(Q(22, "degC"), 0.7, Q(less, "degC")).magnitude)
    assert not room.sums(setting(warm=less, damp=damper), RULES).enough
    assert room.look(setting(), RULES).ways_out[0].startswith("Warm the same air to 26 °C (78.8 °F)")


def test_no_way_out_is_warmer_than_the_house_window():
    for warm in range(5, 51, 5):
        it = room.sums(setting(warm=warm, damp=0.9), RULES)
        assert it.warm_enough is None or it.warm_enough[0] <= RULES.warmest
    assert room.sums(setting(warm=38, damp=0.9), RULES).warm_enough is None


def test_the_dampest_air_is_the_edge():
    it = room.sums(setting(), RULES)
    assert room.sums(setting(damp=it.dampest - 0.001), RULES).enough
    assert not room.sums(setting(damp=it.dampest + 0.001), RULES).enough
    assert room.at_most(it.dampest) == "53 %"
    assert it.dampest > 0.53


def test_the_three_answers_disagree_where_the_room_is_too_damp():
    s = SCENES[6].setting
    it, look = room.sums(s, RULES), room.look(s, RULES)
    assert (it.answers.by_weight, it.answers.by_two_weighings, it.answers.by_hands) == (False, True, False)
    assert it.answers.verdict == "they disagree"
    words = drawn(look)
    for one in ("Stop weight: not yet", "Two weighings: they agree", "Hands: not yet"):
        assert one in words
        assert one in look.alt
    dry = room.sums(setting(damp=0.3, hands="crisp"), RULES)
    assert dry.answers.verdict == "dry"
    assert "Hands: nobody has felt it" in drawn(room.look(setting(), RULES))


def test_a_model_says_so_and_a_drawn_curve_is_called_illustrative():
    for herb in room.HERBS:
        look = room.look(setting(herb=herb), RULES)
        assert "a model" in drawn(look)
        assert "By a model" in look.sentence
        illustrative = drying.sorption(herb).illustrative
        assert ("illustrative" in drawn(look)) == illustrative
        assert ("llustrative" in look.sentence) == illustrative


@pytest.mark.parametrize("warm", [5, 22, 47, 50])
def test_over_the_house_window_the_warning_is_told(warm):
    told = room.look(setting(warm=warm, damp=0.3), RULES).caution
    assert ("over your house window" in told) == (warm > 37.8)
    if told:
        assert "37.8 °C (100 °F)" in told
    wide = room.look(setting(warm=warm, damp=0.3), Rules(warmest=55)).caution
    assert "window" not in wide


def test_outside_of_where_its_curve_was_made_it_says_so():
    assert "made for 25 °C (77 °F) to 45 °C (113 °F)" in room.look(setting(warm=22), RULES).sentence
    assert "made for" not in room.look(setting(warm=30), RULES).sentence


def test_air_in_both_systems():
    for view in (View(), View(units="kitchen")):
        told = room.look(setting(5), RULES, view).sentence
        for one in ("m³", "cubic feet a minute", "m³ an hour", "3530 cubic feet"):
            assert one in told
    feet = 100 / 0.3048**3
    assert feet == pytest.approx(3530, abs=2)


def test_the_panel_needs_neither_pandas_nor_scipy():
    watched = (
        "import pint, sys; before = set(sys.modules)\n"
        "from herbcalc.rules import Rules; from herbcalc.show.here import module\n"
        "from herbcalc.show.story import scenes\n"
        "m = module(3, 'room'); [m.look(s.setting, Rules()) for s in scenes(m, Rules())]\n"
        "new = {name.split('.')[0] for name in set(sys.modules) - before}\n"
        "assert not new & {'pandas', 'scipy', 'matplotlib'}, new"
    )
    seen = subprocess.run([sys.executable, "-c", watched], capture_output=True, text=True)
    assert seen.returncode == 0, seen.stderr


def own(*grams):
    """A curve of somebody's own log, weighed every six hours."""
    return drying.fit(Q([6.0 * n for n in range(len(grams))], "hour"), Q([float(g) for g in grams], "g"))


def test_hours_by_ones_own_curve():
    """The tray of the log shrinks to the part of its first weight to which this load must shrink."""
    assert "No log of yours is drawn yet" in room.look(setting(2), RULES).sentence
    curve = own(900, 660, 500, 400, 330, 285, 250, 230, 215)
    look = room.look(setting(2), RULES, View(own=curve))
    hours = float(curve.time_to(Q(900 * (200 / 0.9) / 1000, "g")).magnitude)
    assert f"about {hours:.3g} hours" in look.sentence
    assert "a guess past your last weighing" in look.sentence
    assert "a tray like the one you weighed" in look.sentence
    assert any("95 of every 100" in row[1] for row in look.table if row[0].startswith("hours by your own"))
    more = room.look(setting(2, fresh=3000), RULES, View(own=curve)).sentence
    assert f"about {hours:.3g} hours" in more, "a larger load on more trays like that one"
    damp = room.look(setting(1), RULES, View(own=curve)).sentence
    assert "in this room it never gets there" in damp


def test_ones_own_curve_that_never_gets_there_or_cannot_say_by_when():
    flat = own(900, 700, 620, 600, 598, 597)
    assert "never shrank as far as 222 g" in room.look(setting(2), RULES, View(own=flat)).sentence
    begun = own(900, 880, 855)
    assert "nobody can say by when" in room.look(setting(2), RULES, View(own=begun)).sentence


def test_the_log_card_tells_the_panels_of_its_page(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    here = Here(3)
    panel = here.panel("room")
    card = here.log()
    assert panel.view.own is None, "the invented log is nobody's own"
    card.place.value = "0 h; 900 g\n6 h; 660 g\n12 h; 500 g\n24 h; 330 g\n36 h; 250 g"
    card.work_out()
    panel.turn_answer()
    assert "By your own log's curve" in panel.sentence
    assert here.panel("room").view.own is panel.view.own, "a panel that is opened later knows it too"
    card.place.value = "no log"
    card.work_out()
    assert here.panel("room").view.own is None


def test_herb_that_is_drier_than_the_air_would_take_water_up():
    look = room.look(setting(herb="rosehip", damp=0.95, water=50), RULES)
    assert "take water up" in look.sentence
    assert "To carry off" not in look.sentence
    it = room.sums(setting(herb="rosehip", damp=0.95, water=50), RULES)
    assert it.heavy > 1000
    assert it.gone == 0
    drawn(look)


def test_too_warm_and_too_damp_are_both_told():
    told = room.look(setting(herb="elderflower", warm=40, damp=0.9), RULES).caution
    assert "over your house window" in told
    assert "mould" in told


@pytest.mark.parametrize("herb", room.HERBS)
def test_damp_outside_of_where_a_curve_was_made_is_told(herb):
    low, high = drying.sorption(herb).damp
    for damp in (0.05, 0.2, 0.5, 0.88, 0.95):
        told = room.look(setting(herb=herb, warm=30, damp=damp, water=95), RULES).sentence
        assert (f"{100 * low:.0f} % to {100 * high:.0f} % damp" in told) == (not low <= damp <= high)


def test_all_three_are_only_said_of_three():
    asked = dict(room.look(setting(damp=0.3, hands="crisp"), RULES).table)
    alone = dict(room.look(setting(damp=0.3), RULES).table)
    assert asked["all three together"] == "dry"
    assert "all three together" not in alone


def test_the_rooms_of_the_scenes_are_air_that_there_is():
    """Outdoor or house air, warmed: 45 % at 35 °C would be air of 22 °C that is nearly full."""
    for at, cool, low, high in ((3, 22, 0.4, 0.7), (4, 28, 0.3, 0.6), (6, 22, 0.5, 0.7)):
        s = SCENES[at - 1].setting
        was = (
            s.damp * (air.saturation_pressure(Q(s.warm, "degC")) / air.saturation_pressure(Q(cool, "degC"))).magnitude
        )
        assert low < was < high, SCENES[at - 1].name
