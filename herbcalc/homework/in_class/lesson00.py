"""Floor 4. First aid for sums, before all lessons: fractions, per cent of what, units, guessing, the calculator."""

from __future__ import annotations

from herbcalc.homework.blueprint import VOLUME, WEIGHT, Figures, Want, mistake
from herbcalc.homework.in_class.shapes import fixed, gap
from herbcalc.homework.walk import Walk
from herbcalc.homework.wording import exact as n
from herbcalc.homework.wording import g

_DROPS = Want(("count",), "", "drops", exact=True, drop=r"\bdrops?\b")


def _marks(f: Figures, w: Walk) -> None:
    one = w.step("mL", f"One of four equal parts, in mL: {n(f.V)} ÷ 4", f.V / 4)
    w.step("mL", f"Three of them, in mL: 3 × {n(one)}", 3 * one)


def _of_the_leaf(f: Figures, w: Walk) -> None:
    w.step("g", f"{n(100 * f.w)} of every 100 parts, in g: {n(f.w)} × {n(f.m)}", f.w * f.m)


def _twice(f: Figures, w: Walk) -> None:
    first = w.step("mL", f"After the first time three quarters are left, in mL: 0.75 × {n(f.V)}", 0.75 * f.V)
    w.step("mL", f"The second quarter is one of what is left now, in mL: 0.75 × {n(first)}", 0.75 * first)


def _for_each(f: Figures, w: Walk) -> None:
    w.step("mL", f"g times mL for each g: the g go out, and mL are left: {n(f.m)} × 5", 5 * f.m)


def _drops(f: Figures, w: Walk) -> None:
    w.step("drops", f"mL times drops for each mL: the mL go out, and drops are left: {n(f.V)} × 40", 40 * f.V)


def _about(_: Figures, w: Walk) -> None:
    w.step("mL", "Jars and mL to whole tens, and multiplied: 20 × 50", 20 * 50.0)


def _bags(f: Figures, w: Walk) -> None:
    both = w.total("g", f"First all the herb, in g: {n(f.a)} + {n(f.b)}", f.a, f.b)
    w.step("g", f"Then shared out, in g: {n(both)} ÷ 5", both / 5)


GAPS = (
    gap(
        "Fractions as jars",
        "A jar holds {V}. Three marks cut it into four equal parts, and it is filled up to the third mark. How much "
        "is in it?",
        fixed(V=(480, "mL")),
        VOLUME,
        lambda f: 0.75 * f.V,
        _marks,
    ),
    gap(
        "Per cent of what?",
        "A basket of {m} of leaf is {w} water. How much does that water weigh?",
        fixed(m=(500, "g"), w=(80, "percent_wb")),
        WEIGHT,
        lambda f: f.w * f.m,
        _of_the_leaf,
    ),
    gap(
        "Per cent of what, once more",
        "From a bottle of {V} you pour off a quarter, 25 %. Next day you pour off 25 % of what is left. How much is "
        "left now?",
        fixed(V=(800, "mL")),
        VOLUME,
        lambda f: 0.75 * 0.75 * f.V,
        _twice,
        mistakes=(
            mistake(
                "m221",
                "Takes the second quarter of the whole bottle",
                "Is the second 25 % a share of the full bottle, or of what was left in it?",
                lambda f: 0.5 * f.V,
                so="That would leave half, and the second time less was poured off than the first.",
            ),
        ),
    ),
    gap(
        "Units that go out",
        "Each g of herb takes 5 mL of spirit (1 oz about 4 3/4 fl oz). You have {m} of herb. How much spirit is "
        "that?",
        fixed(m=(60, "g")),
        VOLUME,
        lambda f: 5 * f.m,
        _for_each,
    ),
    gap(
        "Units that go out, once more",
        "A dropper gives 40 drops for each mL. How many drops are in a bottle of {V}?",
        fixed(V=(30, "mL")),
        _DROPS,
        lambda f: 40 * f.V,
        _drops,
    ),
    gap(
        "A guess before the sum",
        "19 jars take {V} each. Round both to a whole ten and multiply in your head. About how much is it?",
        fixed(V=(48, "mL")),
        VOLUME,
        lambda _: 1000.0,
        _about,
        forwards="19 is nearly 20, and 48 is nearly 50. Twenty times fifty?",
    ),
    gap(
        "The calculator",
        "{a} and {b} of herb are mixed and shared into 5 equal bags. How much is in each? Try the keys: do they add "
        "first?",
        fixed(a=(120, "g"), b=(80, "g")),
        WEIGHT,
        lambda f: (f.a + f.b) / 5,
        _bags,
        mistakes=(
            mistake(
                "m222",
                "Presses all the keys in a row, so that only the second weight is shared",
                "What did the calculator do first? Press = after the +, and only then ÷.",
                lambda f: f.a + f.b / 5,
                so=lambda _, x: f"Five bags of {g(x)} would be more herb than there is.",
            ),
        ),
    ),
)
