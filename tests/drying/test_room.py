"""The room: can it dry this herb, how much air, and three answers to one question."""

import pytest

from herbcalc import drying, moisture
from herbcalc.units import OutOfRange, Q

WARM = Q(25, "degC")
STOP = moisture.dried_weight(Q(1000, "g"), Q(80, "percent_wb"))  # 222.2 g


def test_in_damp_air_lemon_balm_stops_far_above_ten():
    damp = drying.stops_in("lemon balm", WARM, 0.8)
    assert damp.moisture.magnitude == pytest.approx(16.97, abs=0.01)
    assert not damp.enough
    assert damp.illustrative
    assert "never gets down to 10 % water" in damp.text
    assert "Illustrative" in damp.text
    dry = drying.stops_in("lemon balm", WARM, 0.4)
    assert dry.enough
    assert dry.moisture.magnitude < 10


def test_just_at_the_dampest_air_that_will_do():
    edge = drying.stops_in("lemon balm", WARM, 0.5).dampest
    assert drying.stops_in("lemon balm", WARM, edge).enough
    assert not drying.stops_in("lemon balm", WARM, edge + 1e-4).enough
    assert drying.equilibrium_moisture("lemon balm", WARM, edge).magnitude == pytest.approx(100 / 9, abs=1e-6)


def test_a_wish_that_any_air_meets_and_a_room_outside_of_the_curve():
    assert drying.stops_in("leaf", WARM, 0.9, target=Q(60, "percent_wb")).dampest == 0.95
    assert "outside of that" in drying.stops_in("lemon balm", Q(5, "degC"), 0.5).text
    assert "outside of that" not in drying.stops_in("lemon balm", Q(30, "degC"), 0.5).text
    with pytest.raises(OutOfRange, match="one room at a time"):
        drying.stops_in("leaf", WARM, [0.5, 0.6])


def test_air_for_a_tray():
    # Worked with other tools: 3.814 kg in a day, air of 25 °C and 50 % that leaves at 80 %.
    flow = drying.airflow(Q(3.814, "kg"), Q(24, "hour"), 0.0019860, Q(1920.4 / 1648, "kg/m**3"))
    assert flow.to("m**3/hour").magnitude == pytest.approx(68.7, abs=0.1)
    twice = drying.airflow(Q(3.814, "kg"), Q(12, "hour"), 0.0019860, Q(1920.4 / 1648, "kg/m**3"))
    assert twice.magnitude == pytest.approx(2 * flow.magnitude)
    assert drying.airflow(Q(0, "g"), Q(1, "day"), 0.002, Q(1.2, "kg/m**3")).magnitude == 0
    with pytest.raises(OutOfRange, match="no fan is large enough"):
        drying.airflow(Q(100, "g"), Q(1, "day"), 0.0, Q(1.2, "kg/m**3"))


def test_the_tray_in_damp_air_is_where_the_three_answers_part():
    room = drying.stops_in("lemon balm", WARM, 0.8)
    rests = moisture.dried_weight(Q(1000, "g"), Q(80, "percent_wb"), room.moisture)
    asked = drying.dry_enough(rests + Q(1, "g"), rests, STOP, hands="bends", room=room)
    assert (asked.by_weight, asked.by_two_weighings, asked.by_hands) == (False, True, False)
    assert not asked.agree
    assert asked.verdict == "they disagree"
    assert "stopped above the stop weight. The room is too damp" in asked.texts[-1]
    assert "rh 0.80" in asked.texts[-1]


@pytest.mark.parametrize(
    ("before", "now", "hands", "verdict", "says"),
    [
        (222, 221, "crisp", "dry", "put it away"),
        (222, 221, "no fog", "dry", "put it away"),
        (222, 221, None, "dry", "put it away"),
        (400, 300, "bends", "not yet", "dry on"),
        (300, 221, "crisp", "they disagree", "still changes"),
        (222, 221, "fog", "they disagree", "Trust the hands"),
        (300, 260, "crisp", "they disagree", "crisp edges hide wet stems"),
        (260, 259, None, "they disagree", "too damp"),
    ],
)
def test_every_way_to_agree_and_disagree(before, now, hands, verdict, says):
    asked = drying.dry_enough(Q(before, "g"), Q(now, "g"), STOP, hands=hands)
    assert asked.verdict == verdict
    assert says in asked.texts[-1]
    assert len(asked.texts) == (3 if hands is None else 4)


def test_two_weighings_at_their_limit():
    def agree(before, now):
        return drying.dry_enough(Q(before, "g"), Q(now, "g"), STOP).by_two_weighings

    assert agree(300, 297)
    assert agree(300, 303)
    assert not agree(300, 296.9)
    soon = drying.dry_enough(Q(300, "g"), Q(300, "g"), STOP, apart=Q(2, "hour"))
    assert "weigh again tomorrow" in soon.texts[1]
    with pytest.raises(OutOfRange, match='"crisp"'):
        drying.dry_enough(Q(300, "g"), Q(300, "g"), STOP, hands="fine")
