"""Every item, all 99 numbers of five class codes: right answers are right, slips are themselves, all stand apart."""

import csv
import math
import re
from pathlib import Path

import pytest

from herbcalc import ethanol, homework
from herbcalc.homework import ask, item, items
from herbcalc.homework.walk import Walk, as_it_is, as_shown, three_figures, whole_ones
from herbcalc.units import Q

CATALOGUE = Path(__file__).parent / "catalogue.csv"
ITEMS = items()
NAMES = [f"{lesson}.{number}" for lesson, number in ITEMS]
NUMBERS = range(1, 100)
SUMS = [at for at in ITEMS if ask(*at).kind == "sum"]


def test_the_items_of_the_course_are_all_here():
    """Every item that the catalogue of slips names, and no gap in the numbers of a lesson."""
    with CATALOGUE.open(encoding="utf-8") as lines:
        named = {row["item"] for row in csv.DictReader(line for line in lines if not line.startswith("#"))}
    assert {item for item in named if int(item.split(".")[0]) in {of for of, _ in ITEMS}} <= set(NAMES)
    for lesson in {of for of, _ in ITEMS}:
        numbers = [n for of, n in ITEMS if of == lesson]
        assert numbers == [*range(1, len(numbers) + 1)]
        assert len(numbers) >= 6


def _typed(number, unit):
    """A number as a student would type it: four figures, with the unit of the catalogue."""
    text = f"{number:.1f}" if abs(number) >= 1000 else f"{float(f'{number:.4g}'):.10f}".rstrip("0").rstrip(".")
    return f"1:{text}" if unit == "x" else f"{text} {unit}"


def _plain(one):
    """Figures as the catalogue's sums read them: percentages as shares of 1, the rest in their own unit."""
    return {
        name: float(q.magnitude) / (100 if str(q.units).startswith("percent_") else 1)
        for name, q in one.figures.items()
        if name not in one.ask.listed
    }


@pytest.mark.parametrize("at", ITEMS, ids=NAMES)
def test_right_is_right_and_every_slip_is_itself(at, classes, catalogue):
    rows = catalogue.get(f"{at[0]}.{at[1]}", [])
    declared = ask(*at)
    family = {m.id: m.twin or m.id for m in declared.mistakes}
    for class_code in classes:
        for number in NUMBERS:
            one = item(*at, class_code, number)
            where = (one, one.figures)
            answers = one.answers()
            assert len(answers) >= 3, where
            for text in answers:
                assert one.check(text).verdict == "right", (where, text, one.check(text))
            for name, text in one.slip_answers().items():
                said = one.check(text)
                assert said.verdict == "slip", (where, name, text, said)
                assert family.get(said.slip, said.slip) == family.get(name, name), (where, name, text, said)
                assert said.hint.rstrip().endswith("?") or "?" in said.hint, (where, said)
                assert said.consequence, (where, said)
            if rows and class_code == classes[0]:
                _agrees_with_the_catalogue(one, rows, family, where)


def _agrees_with_the_catalogue(one, rows, family, where):
    names = _plain(one)
    names |= {"water_to_add": _water, "min": min, "ceil": math.ceil, "floor": math.floor, "round": round}
    for row in rows:
        if row["right"]:
            right = eval(row["right"], {"__builtins__": {}}, names)
            assert one.check(_typed(right, row["unit"])).verdict == "right", (where, row)
        slip = eval(row["slip"], {"__builtins__": {}}, names)
        said = one.check(_typed(slip, row["unit"]))
        assert said.verdict == "slip", (where, row, said)
        assert family[said.slip] == family[row["id"]], (where, row, said)


def _water(spirit, a, t):
    """mL of water for a cut, by weights that add up, with the densities of the library's own formula."""
    heavy = [float(ethanol.density(Q(100 * x, "percent_vol")).magnitude) for x in (a, t, 0.0)]
    return (spirit * a / t * heavy[1] - spirit * heavy[0]) / heavy[2]


def test_every_slip_of_the_catalogue_belongs_to_its_item(catalogue):
    known = {(slip.id, slip.item) for slip in homework.slips()}
    wanted = {(row["id"], row["item"]) for rows in catalogue.values() for row in rows}
    assert len(wanted) == 92
    assert wanted <= known


def test_slip_ids_are_used_once_and_own_ones_start_at_101(catalogue):
    ids = [slip.id for slip in homework.slips()]
    assert len(ids) == len(set(ids))
    listed = {row["id"] for rows in catalogue.values() for row in rows}
    assert all(int(name[1:]) > 100 for name in set(ids) - listed)


@pytest.mark.parametrize("at", SUMS, ids=lambda at: f"{at[0]}.{at[1]}")
def test_numbers_stand_apart(at):
    """The promise itself, worked anew: three tolerances from the right band, two from each other, none nought."""
    declared = ask(*at)
    want, family = declared.want, {m.id: m.twin or m.id for m in declared.mistakes}
    for number in NUMBERS:
        drawn = item(*at, "fern7", number).drawn
        t = want.tolerance
        for name, slip in drawn.slips:
            assert slip != 0
            if want.exact:
                assert slip != drawn.low
            elif want.within is not None:
                assert not drawn.low - 4 * want.within <= slip <= drawn.high + 4 * want.within
            else:
                assert not drawn.low * (1 - 4 * t) <= slip <= drawn.high * (1 + 4 * t)
            for other, number_ in drawn.slips:
                if family[other] == family[name]:
                    continue
                gap = abs(slip - number_)
                if want.exact:
                    assert gap >= 1
                elif want.within is not None:
                    assert gap > 2 * want.within
                else:
                    assert gap > 2 * t * max(abs(slip), abs(number_))


@pytest.mark.parametrize("at", SUMS, ids=lambda at: f"{at[0]}.{at[1]}")
def test_answers_rounded_on_the_way_stay_near_and_apart(at):
    """Each step to three figures, or to whole grams and mL: under 3 % from the right band, and no slip beside it."""
    want = ask(*at).want
    if want.exact or want.within is not None:
        return
    for number in NUMBERS:
        drawn = item(*at, "moss", number).drawn
        assert len(drawn.rounded) == 2 * (1 + len(ask(*at).other_paths))
        for end in drawn.rounded:
            assert drawn.low * 0.975 <= end <= drawn.high * 1.025, (number, drawn)
            for name, slip in drawn.slips:
                assert abs(slip - end) >= 0.0199 * abs(end), (number, name, drawn)


ROUNDED = re.compile(r"ounded (up|down): ([\d.]+), so (\d+) ")


@pytest.mark.parametrize("at", [at for at in SUMS if ask(*at).want.exact], ids=lambda at: f"{at[0]}.{at[1]}")
def test_a_count_is_the_same_however_the_steps_before_it_are_rounded(at):
    """Whoever writes each step to three figures, or to whole grams, counts as many plants. The line that rounds up or
    down has a broken number to round: not "rounded up: 105, so 105"."""
    for number in NUMBERS:
        one = item(*at, "wren hollow 41", number)
        for rounding in (as_it_is, as_shown, three_figures, whole_ones):
            walk = Walk(rounding)
            one.ask.path(one.drawn.f, walk)
            assert walk.end == one.drawn.low, (one, rounding, walk.end, one.drawn)
        for way, shown, count in ROUNDED.findall("\n".join(one.worked(4))):
            assert 0 < (int(count) - float(shown)) * (1 if way == "up" else -1) < 1, one.worked(4)


def test_plants_rounded_up_at_every_winter_count_too():
    """Somebody who goes back winter by winter cannot let a part of a plant die."""
    for number in NUMBERS:
        one = item(2, 6, "fern7", number)
        plants = one.drawn.f.H
        for _ in range(3):
            plants = math.ceil(plants / (1 - one.drawn.f.d))
        said = one.check(f"{plants} plants")
        assert said.verdict == "right"
        assert ("to spare" in said.hint) == (plants > one.drawn.low), (one, plants, said)
        assert one.check(f"{plants + 1} plants").verdict != "right"
        assert one.check(f"{one.drawn.low - 1:.0f} plants").verdict == "slip"


@pytest.mark.parametrize("at", ITEMS, ids=NAMES)
def test_figures_are_found_soon_for_any_class(at):
    """If one draw in eight is good, five hundred redraws miss once in 10^29: no class code can run out."""
    attempts = [item(*at, f"class{n}", 1 + n % 99).attempt for n in range(100)]
    assert sum(attempts) / len(attempts) < 8


def test_a_second_go_brings_other_figures():
    first, second = item(5, 2, "fern7", 3), item(5, 2, "fern7", 3, go=2)
    assert first.figures != second.figures
    assert second.check(second.answers()[0]).verdict == "right"
