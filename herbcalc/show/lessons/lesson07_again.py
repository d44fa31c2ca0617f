"""Floor 5. The second half of lesson 7: the same herb soaked again, and the same liquid on fresh herb again."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from herbcalc import maceration
from herbcalc.rules import Rules
from herbcalc.show.draw.shapes import Chart, Part, Place, halves, stack
from herbcalc.show.look import Look, Number, View
from herbcalc.show.words import percent, vol
from herbcalc.units import Q

LOTS = 3


def best_first(herb: float, water: float, poured: float, kept: float) -> float:
    """mL of the first of two soaks that draws the most; the plant's water is already in the jar for that one."""
    solids, brought = herb * (1 - water / 100), herb * water / 100
    split = maceration.best_split(Q(poured + brought, "mL"), Q(solids, "g"), Q(kept, "mL/g"), 2).magnitude
    return float(np.clip(split[0] - brought, 0.0, poured))


def shares(herb: float, water: float, poured: float, kept: float, first: Any) -> Any:
    """Share of the extract in both soaks together, for each first portion in mL (a list)."""
    portions = np.stack([first, poured - np.asarray(first)], axis=-1)
    return maceration.share_extracted(Q(herb, "g"), Q(portions, "mL"), Q(kept, "mL/g"), Q(water, "percent_wb"))


def same_herb(s: Any, it: Any, view: View, given: str, lines: list[str]) -> Look:
    """The same herb soaked twice with a given menstruum, split as the dial says."""
    herb, kept, say = float(s.herb), float(s.kept), view.say
    first = s.split * it.poured
    drawn = maceration.same_herb_again(
        Q(herb, "g"), Q([first, it.poured - first], "mL"), Q(kept, "mL/g"), Q(it.water, "percent_wb")
    )
    out, share = drawn.out.magnitude, drawn.share
    together, best = float(share.sum()), best_first(herb, it.water, it.poured, kept)
    most = float(shares(herb, it.water, it.poured, kept, np.array([best]))[0])
    short = together < most - 0.0005
    sentence = (
        f"{given} The first soak gets {say(first, 'mL')}, the second {say(it.poured - first, 'mL')}. Out come "
        f"{say(out[0], 'mL')} with {percent(share[0])} of the extract and {say(out[1], 'mL')} with "
        f"{percent(share[1])}: {percent(together)} together, and one soak with it all would bring "
        f"{percent(it.most)}. "
    )
    sentence += (
        f"The best split pours {say(best, 'mL')} first and brings {percent(most)}: then both soaks press out equally."
        if short
        else "That is the best split: both soaks press out equally."
    )
    numbers = (
        Number("Pours off", *view.pair(out.sum(), "mL", round="down"), float(out.sum()), "mL"),
        Number("Extract out", percent(together), f"one soak {percent(it.most)}", 100 * together, "percent"),
        Number("Best first pour", *view.pair(best, "mL"), best, "mL"),
        Number("Best share", percent(most), "", 100 * most, "percent"),
    )
    table = (
        ("", "first soak", "second soak", "together"),
        ("poured on", say(first, "mL"), say(it.poured - first, "mL"), say(it.poured, "mL")),
        ("pours off", say(out[0], "mL"), say(out[1], "mL"), say(out.sum(), "mL")),
        ("share of the extract", percent(share[0]), percent(share[1]), percent(together)),
        ("left in the marc", "", "", percent(float(drawn.left))),
        ("endless small soaks", "", "", percent(_endless(herb, it, kept))),
    )
    rows = [
        (f"first: {view.pair(out[0], 'mL')[0]} out, {percent(share[0])}", [Part("bottle", share[0])]),
        (f"second: {view.pair(out[1], 'mL')[0]} out, {percent(share[1])}", [Part("bottle", share[1])]),
        (f"left in the marc: {percent(drawn.left)}", [Part("solids", float(drawn.left))]),
    ]
    splits = np.linspace(0.05, 0.95, 46)
    points = shares(herb, it.water, it.poured, kept, splits * it.poured)
    low = max(0.0, np.floor(10 * min(float(points.min()), it.most)) / 10 - 0.1)

    def chart(board: Any, place: Place) -> None:
        made = Chart(
            board,
            "split",
            place,
            (0.0, 1.0, "% poured the first time"),
            (low, 1.0, "share of the extract"),
            [(n, f"{100 * n:.0f}") for n in (0.0, 0.5, 1.0)],
            [(n, f"{100 * n:.0f} %") for n in (low, 1.0)],
        )
        made.curve("split", splits, points)
        made.level("once", it.most, f"one soak {percent(it.most)}", ink="quiet", above=False)
        board.dot("best", *made.at(best / it.poured, most), ink="limit", across=9.0)
        made.note("best", best / it.poured, most, "best", ink="limit", lift=0.95 if most < 0.8 + 0.2 * low else 0.3)
        made.mark("now", s.split, together, percent(together), ink="bottle")

    alt = (
        f"Three bars of the herb's extract: {percent(share[0])} in the first {say(out[0], 'mL')}, "
        f"{percent(share[1])} in the second {say(out[1], 'mL')}, {percent(drawn.left)} left in the marc. Beside "
        f"them a curve of the share drawn against the share poured the first time; it has a gentle top at "
        f"{percent(best / it.poured)}, and the mark stands at {percent(s.split)}."
    )
    return _look(sentence, numbers, alt, table, rows, chart, 1.0, given, lines)


def _endless(herb: float, it: Any, kept: float) -> float:
    solids = herb * (1 - it.water / 100)
    return float(maceration.endless_soaks(Q(it.liquid, "mL"), Q(solids, "g"), Q(kept, "mL/g")))


def fresh_lots(s: Any, it: Any, rules: Rules, view: View, given: str, lines: list[str]) -> Look:
    """The pressed liquid of one soak on a new lot of the same plant, and again."""
    say, floor = view.say, rules.floor
    herbs = Q([float(s.herb)] * LOTS, "g")
    both = {
        rule: maceration.fresh_herb_again(
            Q(it.poured, "mL"),
            herbs,
            Q(float(s.kept), "mL/g"),
            Q(it.water, "percent_wb"),
            Q(float(s.spirit), "percent_vol"),
            rule,
        )
        for rule in ("kitchen", "measured")
    }
    lots, other = both[view.rule], both["measured" if view.rule == "kitchen" else "kitchen"]
    out, worth, strength = lots.out.magnitude, 1 / lots.worth.magnitude, lots.strength.magnitude
    last = len(out) - 1
    told = ", ".join(vol(x) for x in strength)
    seconds = ", ".join(f"{x:.1f}" for x in other.strength.magnitude)
    sentence = (
        f"{given} What is pressed off goes on the same weight again, up to {LOTS} lots. The strength falls: {told} "
        f"({view.other()} {seconds}), because each fresh lot brings its water. "
        if it.water
        else f"{given} What is pressed off goes on the same weight again, up to {LOTS} lots. Dried herb "
        "brings hardly any water, so the strength stays as poured. "
    )
    drunk = out[last] <= 1e-9
    sentence += (
        f"Lot {last + 1} drinks all that is left, and nothing more comes out. "
        if drunk
        else f"In the end {say(out[last], 'mL')} is left, with a gram of plant in {say(worth[last], 'mL')}. "
    )
    herb_got = 0.0 if drunk else float(lots.in_bottle.magnitude[last])
    sentence += (
        f"Of {say(s.herb * (last + 1), 'g')} of plant the worth of {say(herb_got, 'g')} is in the bottle: richer in "
        "each mL (1/4 tsp), and dearly paid for."
    )
    under = [n + 1 for n, x in enumerate(strength) if x < floor - 1e-9]
    if under:
        sentence += f" Lot {under[0]} is under your floor of {floor:g} % vol."
        lines = [
            "Do not keep a jar that is under the floor; if it smells off, bubbles or moulds, throw it away.",
            *lines,
        ]
    numbers = (
        Number("Strength, last lot", vol(strength[last]), f"{view.other()} {other.strength.magnitude[-1]:.1f}",
               float(strength[last]), "percent_vol"),
        Number("Left to pour off", *view.pair(out[last], "mL", round="down"), float(out[last]), "mL"),
        Number("A gram is in", *view.pair(worth[last], "mL"), float(worth[last]), "mL"),
        Number("Plant-worth in it", *view.pair(herb_got, "g"), herb_got, "g"),
    )  # fmt: skip
    table = (
        ("", *(f"lot {n + 1}" for n in range(len(out)))),
        ("pours off", *(say(x, "mL") for x in out)),
        ("strength, kitchen rule", *(vol(x) for x in both["kitchen"].strength.magnitude)),
        ("strength, measured", *(vol(x) for x in both["measured"].strength.magnitude)),
        ("a gram of plant is in", *(say(x, "mL") for x in worth)),
    )
    rows = [
        (f"lot {n + 1}: {vol(y)}, {view.pair(x, 'mL')[0]} out", [Part("bottle", float(x))])
        for n, (x, y) in enumerate(zip(out, strength, strict=True))
    ]

    def chart(board: Any, place: Place) -> None:
        made = Chart(
            board,
            "lots",
            place,
            (0.5, LOTS + 0.5, "lot of plant"),
            (0.0, 100.0, "% vol"),
            [(n, f"{n}") for n in range(1, LOTS + 1)],
            [(n, f"{n}") for n in (0, 50, 100)],
        )
        where = list(range(1, len(strength) + 1))
        made.curve("fall", where, strength)
        made.level("floor", floor, f"your floor, {floor:g} % vol", above=False)
        for n, x in zip(where[:-1], strength[:-1], strict=True):
            board.dot(f"lot {n}", *made.at(n, x), ink="alcohol")
        made.mark("last", where[-1], strength[-1], vol(strength[-1]))

    alt = (
        "Bars of what pours off after each lot: "
        + ", ".join(f"lot {n + 1} {say(x, 'mL')}" for n, x in enumerate(out))
        + f". Beside them the strength, falling from lot to lot: {told}; a line at the floor of {floor:g} % vol."
    )
    return _look(sentence, numbers, alt, table, rows, chart, max(float(out[0]), 1.0), given, lines)


def _look(
    sentence: str,
    numbers: Sequence[Number],
    alt: str,
    table: Sequence[Sequence[str]],
    rows: Sequence[tuple[str, list[Part]]],
    chart: Callable[[Any, Place], None],
    full: float,
    given: str,
    lines: list[str],
) -> Look:
    return Look(
        sentence=sentence,
        numbers=numbers,
        alt=alt,
        table=table,
        draw=lambda board: _draw(board, rows, chart, full, answer=True),
        before=lambda board: _draw(board, rows, chart, full, answer=False),
        given=given,
        caution=" ".join(lines),
    )


def _draw(
    board: Any,
    rows: Sequence[tuple[str, list[Part]]],
    chart: Callable[[Any, Place], None],
    full: float,
    answer: bool,
) -> None:
    """Bars one below the other, and a chart beside them; before the guess, the names of the bars alone."""
    left, right = halves(board, 0.52)
    full = board.scale("bars", full, full)
    step = left.h / 3
    for n, (title, parts) in enumerate(rows):
        place = Place(left.x, left.y + left.h - step * (n + 1) + 6, left.w - 6, step - 6)
        if answer:
            stack(board, f"row {n}", place, parts, full, title)
        else:
            stack(board, f"row {n}", place, [], full, title.split(":")[0] + ": ?")
    if board.narrow:
        return
    if answer:
        chart(board, right)
    else:
        board.words("ask", right.x + right.w / 2, right.y + right.h / 2, "?", size=board.size * 2.4, bold=True)
