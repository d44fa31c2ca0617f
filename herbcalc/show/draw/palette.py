"""Floor 5. The colours of herbcalc, on a light and on a dark ground, and the patterns that go with them.

Every colour has one meaning in every lesson, and a pattern or a word beside it, so that nothing hangs on colour.
The sets were chosen by simulating the three kinds of colour-blindness (Machado, Oliveira and Fernandes, IEEE
Transactions on Visualization and Computer Graphics 2009, 15(6)) and keeping the meanings apart under each; a test
repeats that, and the contrasts of WCAG 2.2 (1.4.3 for text, 1.4.11 for shapes).
"""

from __future__ import annotations

LIGHT = {
    "ground": "#fbf6ec",  # unbleached paper
    "card": "#f3eadb",  # a tile on the ground
    "ink": "#2b2420",  # words and outlines
    "quiet": "#63574d",  # words that stand back
    "rule": "#8a7c70",  # hairlines
    "pattern": "#2b2420",  # the lines inside a filling
    "solids": "#a67548",  # the dry plant: bark
    "water": "#8fc1dd",  # water: sky
    "alcohol": "#f2b632",  # alcohol: calendula
    "bottle": "#2c6350",  # what may be poured off: leaf
    "limit": "#8e2450",  # a line that is not to be crossed: elderberry
    "curve": "#1f5a86",  # a relation that is drawn
    "band": "#c9d9e4",  # how sure
    "ghost": "#7d7066",  # the setting before
    "keeps": "#2c6b4a",  # words: all is well
    "short": "#8e2450",  # words: under the line
    "focus": "#1f5a86",
}
DARK = {
    "ground": "#211c19",
    "card": "#322a25",
    "ink": "#f6eee1",
    "quiet": "#cbbfb1",
    "rule": "#8f8276",
    "pattern": "#211c19",
    "solids": "#b47d4b",
    "water": "#7fb7da",
    "alcohol": "#f5c451",
    "bottle": "#3c7d62",
    "limit": "#f09abb",
    "curve": "#9ccbec",
    "band": "#3d5161",
    "ghost": "#a89c90",
    "keeps": "#9fd8b5",
    "short": "#f09abb",
    "focus": "#9ccbec",
}
PAPER = {**LIGHT, "ground": "#ffffff", "card": "#ffffff", "ink": "#000000", "pattern": "#000000"}  # it is printed
GROUNDS = {"light": LIGHT, "dark": DARK, "paper": PAPER}

# The pattern of each filling, in matplotlib's hatch letters.
PATTERNS = {"solids": "xx", "water": "--", "alcohol": "//", "bottle": "||", "band": "", "card": "", "ground": ""}

# What a class must tell apart when they stand side by side in one picture.
TOLD_APART = ("solids", "water", "alcohol", "bottle")

FONT = "'DejaVu Sans', Verdana, 'Segoe UI', sans-serif"


def css() -> str:
    """The colours as CSS variables `--herb-ink` ..., for the panel's own ground (`.herb-panel`, `.herb-dark`).

    A refusal is no alarm: while our widgets are on the page, the notebook has a quiet ground behind a stopped cell.
    """

    def block(selector: str, colours: dict[str, str]) -> str:
        lines = "".join(f"--herb-{name}:{value};" for name, value in colours.items())
        return f"{selector}{{{lines}--herb-font:{FONT};}}\n"

    quiet = "html:root{--jp-rendermime-error-background:transparent;}\n"
    return quiet + block(".herb-panel", LIGHT) + block(".herb-panel.herb-dark", DARK)
