"""Floor 5. Lesson 7: waiting and pressing. What time brings out of the herb, what the marc keeps, soaking again."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from herbcalc import maceration, menstruum
from herbcalc.rules import Rules
from herbcalc.show.cautions import FOOD_GRADE, caution
from herbcalc.show.draw.shapes import Chart, Part, halves, jar
from herbcalc.show.lessons.lesson07_again import fresh_lots, same_herb
from herbcalc.show.look import Look, Number, View, dial, pick, scenes
from herbcalc.show.words import apart, days, one_to, percent, vol
from herbcalc.units import Q
from herbcalc.units.refusals import Impossible
from herbcalc.units.saying import per_gram

LESSON = 7
TITLE = "Waiting and pressing"
QUESTION = "The marc is pressed harder. What does that change?"
GUESSES = ("it gets stronger", "there is more of it", "both", "nothing")
CAUTION = FOOD_GRADE
MODEL = "The waiting curve is a model for showing, not a measure of potency."

SIZES = {
    0.25: "powder, 1/4 mm (1/100 in)",
    1.0: "fine cut, 1 mm (1/25 in)",
    3.0: "cut, 3 mm (1/8 in)",
    8.0: "chunks, 8 mm (5/16 in)",
}
# How fast extract moves inside a piece: 1.28e-12 m²/s in passion-fruit leaf (Rodrigues and others 2023, Processes
# 11:2308). One round figure stands for all herbs here, and a piece counts as a ball.
DIFFUSIVITY = Q(1e-12, "m**2/s")
INSIDE = 1.0  # mL of liquid inside each g of dry plant, whatever the press does later; a middle value, no source


@dataclass(frozen=True)
class Setting:
    """A soak. Herb in g, ratio in mL for each g as weighed, kept in mL for each g of dry plant, waiting in days."""

    kept: float = dial(
        1.5, "kept", low=0.2, high=4, step=0.05, label="The marc keeps", batch="retained", stops=(2.0, 1.6, 0.8)
    )
    days: float = dial(14, "day", low=0, high=56, step=0.5, label="Waiting", stops=(3, 6, 14, 28))
    herb: float = dial(100, "g", low=20, high=500, step=5, label="Herb", batch="herb")
    ratio: float = dial(5, "mL/g", low=0.5, high=10, step=0.1, label="Spirit", batch="ratio")
    water: float = dial(80, "percent_wb", low=5, high=95, step=1, label="Water in the plant", batch="water")
    spirit: float = dial(
        50, "percent_vol", low=20, high=96, step=0.5, label="Spirit poured on", batch="spirit", stops="shelf"
    )
    split: float = dial(0.6, "share", low=0.05, high=0.95, step=0.01, label="Share poured the first time")
    again: str = pick(
        "once", {"once": "one soak", "same": "same herb again", "fresh": "fresh herb again"}, label="How often"
    )
    plant: str = pick("dried", {"dried": "dried herb", "fresh": "fresh plant"}, label="In the jar")
    model: str = pick("half", {"half": "a half time", "size": "the size of the pieces"}, label="The waiting goes by")
    half: float = dial(3, "day", low=0.1, high=7, step=0.1, label="Half is out after")
    size: float = pick(3.0, SIZES, label="The pieces are")


SCENES = scenes("lesson07", Setting)


def used(setting: Setting) -> set[str]:
    """The dials that count in this setting."""
    always = {"again", "plant", "herb", "ratio", "spirit", "kept"} | (
        {"water"} if setting.plant == "fresh" else set()
    )
    if setting.again == "same":
        return always | {"split"}
    if setting.again == "fresh":
        return always
    return always | {"days", "model", "half" if setting.model == "half" else "size"}


@dataclass(frozen=True)
class Soak:
    """The sums of one soak: g, mL, shares 0..1, % vol. `worth` is mL for each g of herb; None: nothing is out yet."""

    water: float
    poured: float
    liquid: float
    out: float
    kept: float
    most: float
    moved: float
    worth: float | None
    strength: dict[str, float]


def sums(s: Setting) -> Soak:
    """Everything that the sentence, the numbers and the picture of one soak are made from."""
    wet = s.water if s.plant == "fresh" else 0.0
    herb, water, spirit = Q(float(s.herb), "g"), Q(float(wet), "percent_wb"), Q(float(s.spirit), "percent_vol")
    poured, kept = Q(float(s.herb * s.ratio), "mL"), Q(float(s.kept), "mL/g")
    liquid = s.herb * s.ratio + s.herb * wet / 100
    out = float(maceration.liquid_out(herb, poured, kept, water).magnitude)
    moved = float(out_by(s, np.array([s.days]))[0])
    both = ("kitchen", "measured")
    return Soak(
        water=wet,
        poured=s.herb * s.ratio,
        liquid=liquid,
        out=out,
        kept=liquid - out,
        most=maceration.share_extracted(herb, Q([s.herb * s.ratio], "mL"), kept, water),
        moved=moved,
        worth=liquid / (moved * s.herb) if moved > 1e-6 else None,
        strength={r: float(menstruum.final_strength(herb, water, poured, spirit, r).magnitude) for r in both},
    )


def out_by(s: Setting, waited: Any) -> Any:
    """Share of what will come out that is out after so many days (a list), by the model that is chosen."""
    if s.model == "half":
        return maceration.share_by(Q(waited, "day"), Q(float(s.half), "day"))
    radius = Q(s.size / 20, "cm")
    fourier = (DIFFUSIVITY * Q(waited, "day") / radius**2).to("").magnitude
    inside = INSIDE * (1 - (s.water if s.plant == "fresh" else 0.0) / 100)
    liquid = s.ratio + (s.water / 100 if s.plant == "fresh" else 0.0)
    return maceration.uptake(fourier, "sphere", max(liquid / inside - 1, 0.05))


def nothing_comes_out(s: Setting, it: Soak, view: View) -> tuple[str, list[str]]:
    """A soak that the marc drinks whole, and what would work."""
    told = (
        f"Nothing comes out: at {one_to(s.ratio)} there is no more liquid than the marc keeps. All "
        f"{view.say(it.liquid, 'mL')} stays in it, however long it stands."
    )
    if it.water:
        least = max(s.kept * (1 - it.water / 100) - it.water / 100, 0.0)
        ways = [
            f"Pour more: anything wider than {one_to(least)} on the fresh plant gives some back.",
            "Press harder.",
        ]
        return told, ways
    try:
        maceration.herb_for(Q(it.poured, "mL"), Q(float(s.ratio), "mL/g"), Q(float(s.kept), "mL/g"))
    except Impossible as refusal:
        return told, [way.text for way in refusal.ways_out]
    return told, []


def look(setting: Setting, rules: Rules, view: View = View()) -> Look:  # noqa: B008 - frozen, never changed
    """One soak, or soaking again: what pours off, how strong it is, and what stays in the marc."""
    it = sums(setting)
    plant = "dried herb" if setting.plant == "dried" else f"fresh plant with {setting.water:g} % water"
    given = (
        f"{view.say(setting.herb, 'g')} of {plant} in {view.say(it.poured, 'mL')} of {setting.spirit:g} % vol; the "
        f"marc keeps {per_gram(setting.kept)} of dry plant."
    )
    lines = [caution(setting.spirit, rules.shelf)]
    if it.out <= 1e-9:
        sentence, ways = nothing_comes_out(setting, it, view)
        return _once(setting, it, view, given, f"{given} {sentence}", ways, lines)
    if setting.again == "same":
        return same_herb(setting, it, view, given, lines)
    if setting.again == "fresh":
        return fresh_lots(setting, it, rules, view, given, lines)
    worth = "nothing is in it yet" if it.worth is None else f"a gram of herb is in {view.say(it.worth, 'mL')}"
    first, second = view.first(it.strength["kitchen"], it.strength["measured"]), view.other()
    other = it.strength["measured" if view.rule == "kitchen" else "kitchen"]
    wet = f" ({second} {other:.1f}, {apart(first, other)})" if it.water else ""
    pace = f"half of the rest every {days(setting.half)}" if setting.model == "half" else SIZES[setting.size]
    sentence = (
        f"{given} After {days(setting.days)} of waiting {percent(it.moved)} of what can move has moved ({pace}). "
        f"Pressed, {view.say(it.out, 'mL')} pours off with {percent(it.moved * it.most)} of the herb's extract; "
        f"waiting for ever would bring {percent(it.most)}. Pressing harder changes that share and how much pours "
        f"off, never the strength: each mL (1/4 tsp) stays at {vol(first)}{wet}, and {worth}. {MODEL}"
    )
    return _once(setting, it, view, given, sentence, [], lines)


def _once(
    s: Setting, it: Soak, view: View, given: str, sentence: str, ways: list[str], lines: list[str]
) -> Look:  # fmt: skip
    share = it.moved * it.most
    say, pair = view.say, view.pair
    none = it.out <= 1e-9
    worth = ("nothing out", "") if none or it.worth is None else pair(it.worth, "mL")
    numbers = (
        Number("Pours off", *pair(it.out, "mL", round="down"), it.out, "mL"),
        Number("Extract out", percent(share), f"at most {percent(it.most)}", 100 * share, "percent"),
        Number("A gram is in", *worth, None if none else it.worth, "mL"),
        Number("In the marc", *pair(it.kept, "mL"), it.kept, "mL"),
    )
    table = (
        ("", "this soak"),
        ("poured on", say(it.poured, "mL")),
        ("the plant's own water", say(it.liquid - it.poured, "mL")),
        ("pours off", say(it.out, "mL")),
        ("left in the marc", say(it.kept, "mL")),
        ("strength, kitchen rule", vol(it.strength["kitchen"])),
        ("strength, measured", vol(it.strength["measured"])),
        ("share that has moved", percent(it.moved)),
        ("share of the extract poured off", percent(share)),
        ("share, had it stood for ever", percent(it.most)),
    )
    alt = (
        f"A jar that holds, from the bottom: {say(s.herb * (100 - it.water) / 100, 'g')} of dry plant, "
        f"{say(it.kept, 'mL')} that the marc keeps and {say(it.out, 'mL')} that pours off. Beside it the share of "
        f"the extract that pours off against the days waited, "
    )
    alt += (
        "which stays at nothing."
        if none
        else (
            f"rising fast at first and then flat below a line at {percent(it.most)}; the mark stands at "
            f"{days(s.days)} and {percent(share)}."
        )
    )
    return Look(
        sentence=sentence,
        numbers=numbers,
        alt=alt,
        table=table,
        draw=lambda board: _draw(board, s, it, view, answer=True),
        before=lambda board: _draw(board, s, it, view, answer=False),
        given=given,
        ways_out=ways,
        caution=" ".join(lines),
    )


def _draw(board: Any, s: Setting, it: Soak, view: View, answer: bool) -> None:
    """The jar with what stays and what pours off, and beside it the waiting."""
    left, right = halves(board, 0.5)

    def volume(number: float) -> str:
        return view.pair(number, "mL")[0]

    solids = s.herb * (100 - it.water) / 100
    parts = [Part("solids", solids, f"herb {view.pair(solids, 'g')[0]}")]
    if answer:
        parts.append(Part("alcohol", it.kept, f"kept {volume(it.kept)}"))
        parts.append(Part("bottle", it.out, f"pours off {volume(it.out)}"))
    else:
        parts.append(Part("alcohol", it.liquid, f"liquid {volume(it.liquid)}"))
    full = 1.1 * (it.liquid + solids)
    jar(board, "jar", left, parts, full)
    if board.narrow:
        return
    if not answer:
        board.words("ask", right.x + right.w / 2, right.y + right.h / 2, "? % out", size=board.size * 2.0, bold=True)
        return
    last = 56.0 if s.days > 28 else 28.0
    waited = np.concatenate([[0.0], np.geomspace(0.02, last, 50)])
    chart = Chart(
        board,
        "chart",
        right,
        (0.0, last, "days of waiting"),
        (0.0, 1.0, "share of the extract poured off"),
        [(n, f"{n:g}") for n in np.linspace(0, last, 5)],
        [(n, f"{100 * n:.0f} %") for n in (0.0, 0.5, 1.0)],
    )
    chart.curve("waiting", waited, it.most * out_by(s, waited))
    chart.level("most", it.most, f"at most {percent(it.most)}", ink="quiet", above=it.most < 0.86)
    chart.mark("now", s.days, it.moved * it.most, percent(it.moved * it.most), ink="bottle")
