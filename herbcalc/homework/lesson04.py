"""Floor 4. Lesson 4: cutting strong spirit."""

from __future__ import annotations

from herbcalc import cutting
from herbcalc.ethanol import density
from herbcalc.homework import lesson04_two
from herbcalc.homework.question import (
    VOLUME,
    Ask,
    Figures,
    grid,
    mistake,
    one_of,
)
from herbcalc.homework.told import METRIC, OUNCES, mL, vol
from herbcalc.units import Q

_SAFE = "Food-grade spirit only, and no flame near strong spirit."

_LINE = "You pour the spirit and then top up with water to the line."


def _forward(f: Figures, x: float) -> str:
    """How strong the cut would be with x mL of spirit in it."""
    strength = x * f.a / f.T
    if x > f.T:
        return f"{mL(x)} of spirit does not go into a jar of {mL(f.T)}."
    way = "under" if strength < f.t else "over"
    return f"With {mL(x)} of spirit, topped up to {mL(f.T)}, the mix would be {vol(strength)}, {way} your {vol(f.t)}."


def _whole_bottle(f: Figures, x: float) -> str:
    strength = f.V * f.a / x
    if strength > 1:
        return f"{mL(x)} is less than the bottle holds, and water was to be added."
    return f"Topped up to {mL(x)} the bottle would end at {vol(strength)}, and you want {vol(f.t)}."


def _heavy(share: float) -> str:
    """What 1 mL of it weighs at 20 °C."""
    each = float(density(Q(100 * share, "percent_vol")).to("g/mL").magnitude)
    return f"{each:.4f} g for each mL (about {each / OUNCES:.3f} oz for each fl oz)"


ITEMS = (
    Ask(
        4,
        1,
        "sum",
        f"You want {{T}} of spirit at {{t}}, and your bottle is {{a}}. {_LINE} How many mL of spirit go in? "
        f"{METRIC} {_SAFE}",
        (
            grid("T", "mL", 250, 1000, 50),  # clean numbers to begin with
            one_of("a", "percent_vol", 755, 950, over=10),
            grid("t", "percent_vol", 35, 70, 5),
        ),
        VOLUME,
        lambda f: f.T * f.t / f.a,
        allowed=lambda f: f.t < f.a - 0.04,
        mistakes=(
            mistake(
                "m19",
                "Takes the strong spirit for pure alcohol",
                "Is what you pour all alcohol? How much alcohol does your bottle have in each 100 parts?",
                lambda f: f.T * f.t,
                so=_forward,
            ),
            mistake(
                "m20",
                "Takes one percentage from the other",
                "Try your sum on a spirit that is to stay as strong as it is. How much spirit would it ask for?",
                lambda f: f.T * (f.a - f.t),
                so=_forward,
            ),
            mistake(
                "m21",
                "Gives the water instead of the spirit",
                "Is that what comes from the bottle, or from the tap?",
                lambda f: f.T - f.T * f.t / f.a,
                so=_forward,
            ),
            mistake(
                "m22",
                "Turns the fraction over",
                "How much does your jar hold? Would that much spirit leave room for water?",
                lambda f: f.T * f.a / f.t,
                so=_forward,
            ),
            mistake(
                "m23",
                "Multiplies by both strengths",
                "Go forwards: how much alcohol would that much spirit bring, and how strong is the full jar?",
                lambda f: f.T * f.t * f.a,
                so=_forward,
            ),
        ),
        path=lambda f: [
            f"Alcohol wanted in the jar: {vol(f.t)} of {mL(f.T)} is ⟦{mL(f.T * f.t)}⟧",
            f"All of it comes from spirit of {vol(f.a)}: divide by {f.a:g}, ⟦{mL(f.T * f.t / f.a)}⟧",
        ],
        forwards="Take your mL of spirit: how much alcohol is in it, and how strong is the full jar?",
    ),
    Ask(
        4,
        2,
        "sum",
        f"You take a whole bottle, {{V}} of {{a}}, down to {{t}} with water, topping up to the line. How much "
        f"does it make in all, in mL? {METRIC} {_SAFE}",
        (
            one_of("V", "mL", 350, 375, 500, 700, 750, 1000, 1750),
            one_of("a", "percent_vol", 755, 800, 900, 950, 960, over=10),
            grid("t", "percent_vol", 35, 70),
        ),
        VOLUME,
        lambda f: f.V * f.a / f.t,
        allowed=lambda f: f.t < f.a - 0.04,
        mistakes=(
            mistake(
                "m25",
                "Takes the difference of the percentages as the water to add",
                "The same alcohol in a weaker mix: how many times as much liquid must it be spread through?",
                lambda f: f.V * (1 + f.a - f.t),
                so=_whole_bottle,
            ),
            mistake(
                "m26",
                "Turns the fraction over",
                "Can there be less in the jar after water has come in?",
                lambda f: f.V * f.t / f.a,
                so=_whole_bottle,
            ),
            mistake(
                "m27",
                "Gives what is added instead of what it makes",
                "That is what comes on top of the bottle. How full is the jar then?",
                lambda f: f.V * f.a / f.t - f.V,
                so=_whole_bottle,
            ),
        ),
        path=lambda f: [
            f"Alcohol in the bottle: {vol(f.a)} of {mL(f.V)} is ⟦{mL(f.V * f.a)}⟧",
            f"That must be {vol(f.t)} of the whole: divide by {f.t:g}, ⟦{mL(f.V * f.a / f.t)}⟧",
        ],
        forwards="Spread the bottle's alcohol through your volume: how strong is it?",
    ),
    Ask(
        4,
        3,
        "sum",
        f"You cut spirit of {{a}} to make {{T}} at {{t}}. Alcohol and water nestle together when they mix, so "
        f"the jar takes a little more water than the kitchen rule says. At 20 °C the spirit weighs {{heavy_a}}, "
        f"the finished mix {{heavy_t}} and water {{heavy_w}}. Weights do add up: how many mL of water really go "
        f"in? {METRIC} {_SAFE}",
        (
            grid("T", "mL", 500, 1000, 10),
            one_of("a", "percent_vol", 900, 950, 960, over=10),
            grid("t", "percent_vol", 45, 70),
        ),
        VOLUME,
        lambda f: float(cutting.cut.plain(100 * f.a, 100 * f.t, f.T, None).water.magnitude),
        also={
            "heavy_a": lambda f: _heavy(f.a),
            "heavy_t": lambda f: _heavy(f.t),
            "heavy_w": lambda f: _heavy(0.0),
        },
        mistakes=(
            mistake(
                "m24",
                "Lets the volumes simply add",
                "Fine at the kitchen table. Do alcohol and water, poured together, fill as much as they did apart?",
                lambda f: f.T - f.T * f.t / f.a,
                so=lambda f, x: (
                    f"With {mL(x)} of water the mix stays under the line of {mL(f.T)}, and a little too strong."
                ),
            ),
            mistake(
                "m124",
                "Gives the spirit instead of the water",
                "Is that what comes from the bottle, or from the tap?",
                lambda f: f.T * f.t / f.a,
                so=lambda f, x: (
                    f"{mL(x)} is what comes from the bottle; together with as much water it would not be {vol(f.t)}."
                ),
            ),
        ),
        path=lambda f: [
            f"Spirit: {vol(f.t)} of {mL(f.T)}, divided by {f.a:g}, is ⟦{mL(f.T * f.t / f.a)}⟧",
            f"By the kitchen rule the rest is water: ⟦{mL(f.T - f.T * f.t / f.a)}⟧",
            "The finished mix weighs its mL times its g for each mL, and so does the spirit; the water is what "
            f"is between: ⟦{mL(float(cutting.cut.plain(100 * f.a, 100 * f.t, f.T, None).water.magnitude))}⟧",
        ],
        forwards="Begin with the kitchen rule. The measured water is a few parts in a hundred more than that.",
    ),
    *lesson04_two.ITEMS,
)
