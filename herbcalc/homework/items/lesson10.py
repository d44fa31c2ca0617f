"""Floor 4. Lesson 10: without alcohol. What plant water does to glycerin, vinegar, honey and syrup."""

from __future__ import annotations

from dataclasses import replace

from herbcalc import preserving
from herbcalc.homework.blueprint import (
    MOISTURE,
    SHARE,
    VOLUME,
    Ask,
    Figures,
    Option,
    bare,
    case,
    grid,
    mistake,
    one_of,
)
from herbcalc.homework.shared_slips import (
    FRACTION_TURNED_OVER,
    PLANT_WATER_LEFT_OUT,
    SOLIDS_FOR_WATER,
    WHOLE_PLANT_IS_WATER,
)
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import BY_METRIC, G_PER_OZ, METRIC, PLANT_WATER, SAFE, g, mL, pct, vol
from herbcalc.homework.wording import exact as n

_HEAVY = 1.26  # g in each mL of glycerin; herbcalc/data/densities.csv says where from
_GLYCERIN = f"1 mL of glycerin weighs 1.26 g (1 fl oz about {1.26 * 29.5735 / G_PER_OZ:.2f} oz)."
_CUP = "A cup of sugar weighs 200 g (about 7 oz), a cup of water 237 g (8 1/4 oz)."
_ACID = replace(SHARE, drop=r"\s*(?:% ?w/v|g ?(?:/|\b(?:per|in|for)\b) ?(?:each |every )?100 ?ml)\b", instead=" %")
_BABY = "No honey for a child under 1 year."
_LID = "No bare metal lid on vinegar."

_M = grid("m", "g", 60, 300, 10)
_W = grid("w", "percent_wb", 62, 88)


def _label_of(what: str, right: float, x: float) -> str:
    """What a label would say by somebody's number, in parts of a hundred, and what the jar holds."""
    if not 0 <= x <= 100:
        return f"A share lies between 0 and 100 %. Can a jar be {pct(x / 100)} {what}?"
    way = "weaker" if x / 100 > right else "stronger"
    return f"With that sum the label would say {pct(x / 100)} {what}, and the jar is {way} than its label."


# --- glycerin -------------------------------------------------------------------------------------------------------


def _glycerin(f: Figures) -> float:
    return bare(preserving.glycerin_share, f.m, 100 * f.w, f.V)


def _of_glycerin(f: Figures, x: float) -> str:
    return _label_of("glycerin", _glycerin(f), x)


def _water_of(f: Figures, w: Walk) -> float:
    return w.step("mL", f"Water that the plant brings, in mL: {n(f.w)} × {n(f.m)}", f.w * f.m)


def _glycerin_way(f: Figures, w: Walk) -> None:
    water = _water_of(f, w)
    liquid = w.total("mL", f"Liquid in the jar, in mL: {n(f.V)} + {n(water)}", f.V, water)
    w.step("pct", f"Glycerin divided by liquid: {n(f.V)} ÷ {n(liquid)}", f.V / liquid)


def _weighed_way(f: Figures, w: Walk) -> None:
    poured = w.step("mL", f"Room that the glycerin takes, in mL: {n(f.G)} ÷ 1.26", f.G / _HEAVY)
    water = _water_of(f, w)
    liquid = w.total("mL", f"Liquid in the jar, in mL: {n(poured)} + {n(water)}", poured, water)
    w.step("pct", f"Glycerin divided by liquid: {n(poured)} ÷ {n(liquid)}", poured / liquid)


def _weighed(f: Figures) -> float:
    return bare(preserving.glycerin_share, f.m, 100 * f.w, f.G / _HEAVY)


def _of_weighed(f: Figures, x: float) -> str:
    return _label_of("glycerin", _weighed(f), x)


def _least_glycerin(f: Figures) -> float:
    return bare(preserving.glycerin_needed, f.m, 100 * f.w, f.t)


def _least_way(f: Figures, w: Walk) -> None:
    water = _water_of(f, w)
    rest = w.step("pct", f"The share that may be water: 100 − {n(100 * f.t)}", 1 - f.t)
    liquid = w.step(
        "mL", f"Liquid of which that water is just this share, in mL: {n(water)} ÷ {n(rest)}", water / rest
    )
    w.total("mL", f"The rest of it is glycerin, in mL: {n(liquid)} − {n(water)}", liquid, -water)


def _least_by_parts(f: Figures, w: Walk) -> None:
    """So many mL of glycerin for each mL of water."""
    each = w.step("", "", f.t / (1 - f.t))
    w.step("mL", "", each * w.step("mL", "", f.w * f.m))


def _with_glycerin(f: Figures, x: float) -> str:
    ends = x / (x + f.m * f.w)
    return f"With {mL(x)} the jar would end at {pct(ends)} glycerin, {'under' if ends < f.t else 'over'} {pct(f.t)}."


# --- vinegar --------------------------------------------------------------------------------------------------------


def _acid(f: Figures) -> float:
    return bare(preserving.acid_share, f.m, 100 * f.w, f.V, f.a)


def _acid_way(f: Figures, w: Walk) -> None:
    acid = w.step("g", f"Acid, {n(100 * f.a)} g in every 100 mL (3 1/2 fl oz), in g: {n(f.a)} × {n(f.V)}", f.a * f.V)
    water = _water_of(f, w)
    liquid = w.total("mL", f"Liquid in the jar, in mL: {n(f.V)} + {n(water)}", f.V, water)
    w.step("pct", f"Acid divided by liquid: {n(acid)} ÷ {n(liquid)}", acid / liquid)


def _acid_by_share(f: Figures, w: Walk) -> None:
    """How much of the liquid is still vinegar, and the acid of that."""
    liquid = w.step("mL", "", f.V + w.step("mL", "", f.w * f.m))
    w.step("pct", "", f.a * w.step("", "", f.V / liquid))


def _of_acid(f: Figures, x: float) -> str:
    return _label_of("acid", _acid(f), x)


# --- honey ----------------------------------------------------------------------------------------------------------


def _honey(f: Figures) -> float:
    return bare(preserving.honey_water, f.m, 100 * f.w, f.H, 100 * f.h) / 100


def _honey_way(f: Figures, w: Walk) -> None:
    own = w.step("g", f"Water in the honey itself, in g: {n(f.h)} × {n(f.H)}", f.h * f.H)
    leaf = w.step("g", f"Water that the plant brings, in g: {n(f.w)} × {n(f.m)}", f.w * f.m)
    water = w.total("g", f"Water in all, in g: {n(own)} + {n(leaf)}", own, leaf)
    honey = w.total("g", f"Honey with that water in it, in g: {n(f.H)} + {n(leaf)}", f.H, leaf)
    w.step("pct", f"Water divided by all of it: {n(water)} ÷ {n(honey)}", water / honey)


def _honey_by_solids(f: Figures, w: Walk) -> None:
    """What is no water stays the same."""
    solids = w.step("g", "", (1 - f.h) * f.H)
    whole = w.step("g", "", f.H + w.step("g", "", f.w * f.m))
    w.step("pct", "", 1 - w.step("pct", "", solids / whole))


def _of_honey(f: Figures, x: float) -> str:
    if not 0 <= x <= 100:
        return f"A share lies between 0 and 100 %. Can honey be {pct(x / 100)} water?"
    way = "wetter" if _honey(f) > x / 100 else "drier"
    return f"You would take it for {pct(x / 100)} water, and the honey is {way} than that."


def _no_honey(f: Figures) -> int:
    """0: no amount does it; 1: it can be done."""
    return 0 if f.h > f.t else 1


def _honey_said(f: Figures) -> str:
    if f.h > f.t:
        return (
            f"The honey holds {pct(f.h)} before any leaf is in it, and the leaf only adds to that. A pound or a "
            f"barrel of it stays over {pct(f.t)}."
        )
    need = bare(preserving.honey_needed, f.m, 100 * f.w, 100 * f.t, 100 * f.h)
    return f"Worked through, {g(need)} of this honey takes up the leaf's water and ends at {pct(f.t)}."


def _tight(f: Figures) -> str:
    return f"{_honey_said(f)} Honey over its limit makes gas, and under a tight lid that bursts the jar."


def _honey_wish_way(f: Figures, w: Walk) -> None:
    leaf = w.step("g", f"Water that the leaf brings, in g: {n(f.w)} × {n(f.m)}", f.w * f.m)
    if f.h > f.t:
        w.say(f"The honey holds {pct(f.h)} itself, and the limit is {pct(f.t)}: it has no room for those {g(leaf)}.")
    else:
        spare = w.step("", f"Room in each g of honey, before it is at the limit: {n(f.t)} − {n(f.h)}", f.t - f.h)
        over = w.step("pct", f"How far the leaf's own water is over the limit: 100 − {n(100 * f.t)}", 1 - f.t)
        much = w.step("g", f"So much of it is over, in g: {n(over)} × {n(leaf)}", over * leaf)
        w.step("g", f"Honey that has so much room, in g: {n(much)} ÷ {n(spare)}", much / spare)
    w.say(f"So: ⟦{w.letter(_no_honey(f))}⟧")


# --- syrup ----------------------------------------------------------------------------------------------------------


def _sugar(f: Figures) -> float:
    return bare(preserving.sugar_share, 200 * f.c, 237 * f.k)


def _sugar_way(f: Figures, w: Walk) -> None:
    sugar = w.step("g", f"Sugar, 200 g for each cup, in g: {n(f.c)} × 200", f.c * 200)
    water = w.step("g", f"Water, 237 g for each cup, in g: {n(f.k)} × 237", f.k * 237)
    whole = w.total("g", f"Syrup, in g: {n(sugar)} + {n(water)}", sugar, water)
    w.step("pct", f"Sugar divided by syrup: {n(sugar)} ÷ {n(whole)}", sugar / whole)


def _of_sugar(f: Figures, x: float) -> str:
    return _label_of("sugar", _sugar(f), x)


def _spirit(f: Figures) -> float:
    return bare(preserving.spirit_for, f.V, 100 * f.a, 100 * f.t)


def _spirit_way(f: Figures, w: Walk) -> None:
    need = w.step("mL", f"Alcohol that the syrup itself would need, in mL: {n(f.t)} × {n(f.V)}", f.t * f.V)
    spare = w.step(
        "", f"What each mL of the spirit can spare and still be at the line: {n(f.a)} − {n(f.t)}", f.a - f.t
    )
    w.step("mL", f"Spirit that can spare so much, in mL: {n(need)} ÷ {n(spare)}", need / spare)


def _spirit_by_parts(f: Figures, w: Walk) -> None:
    """So many mL of spirit for each mL of syrup."""
    w.step("mL", "", w.step("", "", f.t / (f.a - f.t)) * f.V)


def _with_spirit(f: Figures, x: float) -> str:
    ends = x * f.a / (x + f.V)
    way = "under" if ends < f.t else "over"
    return f"With {mL(x)} of spirit it would be {vol(ends)}, {way} {vol(f.t)}."


ITEMS = (
    Ask(
        10,
        1,
        "sum",
        f"{{m}} of fresh lemon balm, {{w}} water, goes into {{V}} of pure glycerin. What share of the liquid is "
        f"glycerin in the end, by volume, in %? {PLANT_WATER} {METRIC}",
        (grid("m", "g", 100, 300, 50), grid("w", "percent_wb", 70, 90, 5), grid("V", "mL", 100, 600, 50)),
        SHARE,
        lambda f: 100 * _glycerin(f),
        mistakes=(
            PLANT_WATER_LEFT_OUT.on(
                "m82",
                lambda _: 100.0,
                so=_of_glycerin,
                hint="That is what stood in the bottle. What did the plant bring into the jar with it?",
            ),
            mistake(
                "m83",
                "Takes the mL of glycerin for grams, and divides by 1.26",
                "The glycerin is given in mL already. Does it have to be changed from grams?",
                lambda f: 100 * (f.V / _HEAVY) / (f.V / _HEAVY + f.m * f.w),
                so=_of_glycerin,
            ),
            WHOLE_PLANT_IS_WATER.on("m600", lambda f: 100 * f.V / (f.V + f.m), so=_of_glycerin),
            SOLIDS_FOR_WATER.on("m601", lambda f: 100 * f.V / (f.V + f.m * (1 - f.w)), so=_of_glycerin),
            mistake(
                "m602",
                "Gives the share of the plant's water",
                "That is the other part of the liquid. How much of it is glycerin?",
                lambda f: 100 * f.m * f.w / (f.V + f.m * f.w),
                so=_of_glycerin,
            ),
        ),
        path=_glycerin_way,
        forwards="Glycerin and plant water together are all of the liquid: do your share and the water's make 100?",
    ),
    Ask(
        10,
        2,
        "sum",
        f"This time the pure glycerin is weighed: {{G}} of it, on {{m}} of fresh calendula with {{w}} water. "
        f"{_GLYCERIN} What share of the liquid is glycerin in the end, by volume, in %? {PLANT_WATER} {METRIC}",
        (grid("G", "g", 100, 500, 10), _M, _W),
        SHARE,
        lambda f: 100 * _weighed(f),
        mistakes=(
            mistake(
                "m603",
                "Takes the grams of glycerin for mL",
                "A mL of glycerin is heavier than a g. How much room do these grams take?",
                lambda f: 100 * f.G / (f.G + f.m * f.w),
                so=_of_weighed,
            ),
            mistake(
                "m604",
                "Multiplies by 1.26 instead of dividing",
                "Glycerin is heavier than water. Do its grams take more room than their number, or less?",
                lambda f: 100 * f.G * _HEAVY / (f.G * _HEAVY + f.m * f.w),
                so=_of_weighed,
            ),
            WHOLE_PLANT_IS_WATER.on("m605", lambda f: 100 * f.G / _HEAVY / (f.G / _HEAVY + f.m), so=_of_weighed),
            PLANT_WATER_LEFT_OUT.on("m606", lambda _: 100.0, so=_of_weighed),
        ),
        path=_weighed_way,
        forwards="Turn the grams into mL first. Is your number of mL smaller than the number of grams?",
    ),
    Ask(
        10,
        3,
        "sum",
        f"{{m}} of fresh elderflower, {{w}} water, is to stand in pure glycerin. The line of this question: {{t}} "
        f"glycerin by volume, in the end. How many mL of glycerin does it need at least? {PLANT_WATER} {METRIC}",
        (_M, _W, one_of("t", "percent", 55, 60, 65)),
        VOLUME,
        _least_glycerin,
        mistakes=(
            mistake(
                "m607",
                "Takes the line's share of the plant's water",
                "The share is of all the liquid. Can there be less glycerin than water, if over half is glycerin?",
                lambda f: f.t * f.m * f.w,
                so=_with_glycerin,
            ),
            mistake(
                "m608",
                "Stops at the whole liquid",
                "That is all the liquid there will be. How much of it is the plant's water?",
                lambda f: f.m * f.w / (1 - f.t),
                so=_with_glycerin,
            ),
            WHOLE_PLANT_IS_WATER.on("m609", lambda f: f.m * f.t / (1 - f.t), so=_with_glycerin),
            FRACTION_TURNED_OVER.on("m610", lambda f: f.m * f.w * (1 - f.t) / f.t, so=_with_glycerin),
            mistake(
                "m611",
                "Divides the plant's water by the line's share",
                "Which share of the liquid will that water be: the glycerin's share, or what is left of 100?",
                lambda f: f.m * f.w / f.t,
                so=_with_glycerin,
            ),
        ),
        path=_least_way,
        other_paths=(_least_by_parts,),
        forwards="Pour your mL on: glycerin divided by glycerin and plant water, what share is that?",
    ),
    Ask(
        10,
        4,
        "sum",
        f"{{m}} of fresh elderflower, {{w}} water, goes into {{V}} of vinegar that is {{a}} acid. How much acid "
        f"has the liquid in the end, in %? {_LID} {PLANT_WATER} {METRIC}",
        (_M, _W, grid("V", "mL", 150, 800, 10), one_of("a", "percent", 50, 60, 70, over=10)),
        _ACID,
        lambda f: 100 * _acid(f),
        mistakes=(
            PLANT_WATER_LEFT_OUT.on(
                "m84",
                lambda f: 100 * f.a,
                so=_of_acid,
                hint="That is what the bottle said. What has joined the vinegar since?",
            ),
            WHOLE_PLANT_IS_WATER.on("m612", lambda f: 100 * f.a * f.V / (f.V + f.m), so=_of_acid),
            SOLIDS_FOR_WATER.on("m613", lambda f: 100 * f.a * f.V / (f.V + f.m * (1 - f.w)), so=_of_acid),
            mistake(
                "m614",
                "Divides the acid by the plant's water",
                "Is the acid spread through the plant's water alone, or through all the liquid?",
                lambda f: 100 * f.a * f.V / (f.m * f.w),
                so=_of_acid,
            ),
            mistake(
                "m615",
                "Takes the plant's water off the vinegar",
                "Does the plant's water take the place of vinegar, or does it come on top of it?",
                lambda f: 100 * f.a * (f.V - f.m * f.w) / f.V,
                so=_of_acid,
            ),
        ),
        allowed=lambda f: 1.2 * f.m * f.w < f.V,
        path=_acid_way,
        other_paths=(_acid_by_share,),
        forwards="Is your number below what the bottle said? How much of the liquid is still vinegar?",
    ),
    Ask(
        10,
        5,
        "sum",
        f"{{m}} of fresh lemon balm, {{w}} water, stands in {{H}} of honey that holds {{h}} water itself, and is "
        f"strained off. How much water does the honey hold then, in % of its weight? {_BABY} {METRIC}",
        (_M, _W, grid("H", "g", 200, 900, 20), grid("h", "percent_wb", 16, 19)),
        MOISTURE,
        lambda f: 100 * _honey(f),
        mistakes=(
            PLANT_WATER_LEFT_OUT.on(
                "m85",
                lambda f: 100 * f.h,
                so=_of_honey,
                hint="That is the honey as it was. What has it drawn out of the leaf?",
            ),
            mistake(
                "m86",
                "Leaves out the water in the honey itself",
                "Was the honey dry before the leaf went in?",
                lambda f: 100 * f.m * f.w / (f.H + f.m * f.w),
                so=_of_honey,
            ),
            mistake(
                "m616",
                "Divides by the honey as it was, without the water that came in",
                "Has the jar of honey not become heavier by the leaf's water?",
                lambda f: 100 * (f.h + f.m * f.w / f.H),
                so=_of_honey,
            ),
            WHOLE_PLANT_IS_WATER.on("m617", lambda f: 100 * (f.h * f.H + f.m) / (f.H + f.m), so=_of_honey),
            mistake(
                "m618",
                "Takes the plain middle of both shares of water",
                "Is there as much leaf as honey in this jar?",
                lambda f: 50 * (f.h + f.w),
                so=_of_honey,
            ),
        ),
        path=_honey_way,
        other_paths=(_honey_by_solids,),
        forwards="Is your number above what the honey held before, and below the leaf's? Which is there more of?",
    ),
    Ask(
        10,
        6,
        "choice",
        f"{{m}} of leaf with {{w}} water is to stand in honey that holds {{h}} water itself. The limit of this "
        f"question is {{t}} water in the end. You have as much honey as you like. What do you say? {_BABY} "
        f"{BY_METRIC}",
        (
            grid("m", "g", 50, 200, 10),
            grid("w", "percent_wb", 10, 60),
            grid("h", "percent_wb", 165, 245, 5, 10),
            one_of("t", "percent_wb", 200, over=10),
            case(2),
        ),
        allowed=lambda f: _no_honey(f) == f.case and abs(f.h - f.t) > 0.008,
        options=(
            Option(
                "It cannot be had with this honey: no amount is enough.",
                "How wet is the honey before the leaf goes in? Is that over the limit, or under it?",
                "m619",
                "Says that no amount is enough where the honey has room",
                _honey_said,
            ),
            Option(
                "It can be had: with enough of this honey it ends at the limit.",
                "How wet is the honey before the leaf goes in? Can more of the same honey make it drier?",
                "m620",
                "Thinks that enough of a thin honey makes up for its water",
                _honey_said,
            ),
            Option(
                "It can be had with any amount, because honey keeps whatever goes in.",
                "Where does the leaf's water go? What does a yeast make of wet honey?",
                "m621",
                "Thinks that honey keeps whatever is put into it",
                _honey_said,
            ),
            Option(
                "It can be had if the jar is closed tightly.",
                "What does a honey make that ferments, and what does that do to a tight lid?",
                "m622",
                "Thinks that a tight lid keeps a wet honey",
                _tight,
            ),
        ),
        answer=_no_honey,
        path=_honey_wish_way,
    ),
    Ask(
        10,
        7,
        "sum",
        f"A rosehip syrup is made of {{c}} cups of sugar and {{k}} {{cups}} of tea, strained through a fine cloth: "
        f"the hairs of hips itch. {_CUP} Count the tea as water. "
        f"What share of the syrup is sugar, by weight, in %? {METRIC}",
        (one_of("c", "", 15, 20, 25, 30, 40, 50, 60, over=10), one_of("k", "", 10, 15, 20, 25, 30, over=10)),
        SHARE,
        lambda f: 100 * _sugar(f),
        also={"cups": lambda f: "cup" if f.k == 1 else "cups"},
        mistakes=(
            mistake(
                "m87",
                "Takes cups as if sugar and water weighed the same",
                "Put a cup of each on the scale: which is heavier?",
                lambda f: 100 * f.c / (f.c + f.k),
                so=_of_sugar,
            ),
            mistake(
                "m623",
                "Divides the sugar by the water",
                "Is the share of the water alone, or of the whole syrup?",
                lambda f: 100 * 200 * f.c / (237 * f.k),
                so=_of_sugar,
            ),
            mistake(
                "m624",
                "Gives the share of the water",
                "That is the other part of the syrup. How much of it is sugar?",
                lambda f: 100 * 237 * f.k / (200 * f.c + 237 * f.k),
                so=_of_sugar,
            ),
            mistake(
                "m625",
                "Swaps the weights of the two cups",
                "Which cup weighs 200 g (about 7 oz): that of sugar, or that of water?",
                lambda f: 100 * 237 * f.c / (237 * f.c + 200 * f.k),
                so=_of_sugar,
            ),
        ),
        allowed=lambda f: f.c > f.k,
        path=_sugar_way,
        forwards="Weigh it in your head: sugar and water in g, then the sugar's part of both together.",
    ),
    Ask(
        10,
        8,
        "sum",
        f"You have {{V}} of thin elecampane syrup and spirit of {{a}}. The line of this question is {{t}} in the "
        f"end. How many mL of the spirit must go into the syrup? {SAFE} {METRIC}",
        (
            grid("V", "mL", 150, 800, 10),
            one_of("a", "percent_vol", 400, 500, 755, 950, over=10),
            one_of("t", "percent_vol", 180, 200, 220, 250, over=10),
        ),
        VOLUME,
        _spirit,
        mistakes=(
            mistake(
                "m626",
                "Takes the alcohol that the syrup needs, and forgets that the spirit makes the jar fuller",
                "What you pour fills the jar too. Must that part not be at the line as well?",
                lambda f: f.V * f.t / f.a,
                so=_with_spirit,
            ),
            mistake(
                "m627",
                "Takes the line's share of the syrup as spirit",
                "That is pure alcohol, for the syrup alone. Is the spirit pure?",
                lambda f: f.V * f.t,
                so=_with_spirit,
            ),
            FRACTION_TURNED_OVER.on("m628", lambda f: f.V * (f.a - f.t) / f.t, so=_with_spirit),
            mistake(
                "m629",
                "Leaves the line's share of the jar to the spirit",
                "A share of the jar is no share of alcohol yet. How strong is the spirit?",
                lambda f: f.V * f.t / (1 - f.t),
                so=_with_spirit,
            ),
        ),
        path=_spirit_way,
        other_paths=(_spirit_by_parts,),
        forwards="Pour your spirit in: how much alcohol, how much liquid, how strong?",
    ),
)
