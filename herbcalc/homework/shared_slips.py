"""Floor 4. Side roads that more than one item knows: what was done is said in the same words wherever it happens.

Each is a `Road` with a name. An item takes it with `.on(id, sum, so=...)`, and asks its own question where the
general one does not fit its jar.
"""

from __future__ import annotations

from dataclasses import dataclass

from herbcalc.homework.blueprint import Mistake, Outcome, Sum


@dataclass(frozen=True)
class Road:
    """What was done, and the question to ask back unless an item has a better one."""

    did: str
    hint: str

    def on(self, id: str, *sums: Sum, so: Outcome, hint: str = "") -> Mistake:
        """This road as the slip `id` of an item: the numbers it leads to there, and what would come of them."""
        return Mistake(id, self.did, hint or self.hint, sums, so)


# drying
DRIED_IS_BONE_DRY = Road(
    "Forgets that dried herb still holds a little water",
    "Is crisp herb bone dry? What else is on the tray, besides the solids?",
)
ONE_PERCENTAGE_OFF_THE_OTHER = Road(
    "Takes one percentage from the other",
    "The two percentages are shares of two different weights. Which weight stays the same all the way?",
)
WATER_PER_DRY_WEIGHT = Road(
    "Reads the moisture as water per dry weight",
    "Is the percentage counted against the whole fresh plant, or against its solids only?",
)

# strength
FRACTION_TURNED_OVER = Road(
    "Turns the fraction over", "Which of the two belongs above the line, and which below? Try it with easy numbers."
)
SPIRIT_IS_ALL_ALCOHOL = Road(
    "Takes the strong spirit for pure alcohol",
    "Is what you pour all alcohol? How much alcohol does your bottle have in each 100 parts?",
)

# the plant's own water
PLANT_WATER_LEFT_OUT = Road("Leaves out the water of the plant", "What did the plant bring into the jar with it?")
WHOLE_PLANT_IS_WATER = Road(
    "Counts the whole plant as water", "Is all of the plant water, or does some of it stay solid?"
)
SOLIDS_FOR_WATER = Road("Takes the solids for the water", "Which part of the plant does the moisture count?")
PLANT_WATER_OFF_THE_SPIRIT = Road(
    "Takes the plant's water off the spirit",
    "Does the plant's water take the place of spirit, or does it come on top of it?",
)

# ratios
RATIO_TURNED_ROUND = Road("Turns the ratio round", "Should there be more herb than liquid?")

# waiting, washing, dripping
SHARE_STILL_IN_THE_HERB = Road(
    "Gives the share that is still in the herb", "Is that what is out, or what is still to come?"
)
EACH_HALVING_HALF_OF_ALL = Road(
    "Lets every halving take out half of everything",
    "After the first half is out, does the next halving take half of everything, or half of the rest?",
)
DROPS_OF_WATER = Road(
    "Takes 20 drops to the mL, as for water",
    "Twenty is a count for water. How many drops of this liquid were counted?",
)
A_ML_IS_A_DROP = Road("Counts each mL as one drop", "Is a mL one drop, or many?")
