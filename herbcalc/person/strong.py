"""Floor 4. Plants that the story of a class does not take, from data/strong_plants.csv, and why.

The list is short. A plant that is not on it is not thereby safe, which is said wherever one is refused.
"""

from __future__ import annotations

import csv
import re
import unicodedata
from functools import cache
from importlib.resources import files

_CLOSE = "its useful and its harmful amounts lie close"
WHY = {
    "heart": f"acts on the heart, and {_CLOSE}",
    "nerves": f"acts on nerves and breath, and {_CLOSE}",
    "cells": f"harms the body's cells, and {_CLOSE}",
    "gut": f"hurts stomach and bowel, and {_CLOSE}",
    "liver": "can harm the liver, also in amounts that people took for useful",
    "kidney": "can harm kidneys for good, even in small amounts",
    "skin": "can blister the skin of those who handle it",
    "pa": "can hold pyrrolizidine alkaloids, which harm the liver little by little",
    "wild": "is at risk in the wild, and this story picks and digs from stands",
}
OTHER = "other"  # a harmless plant with a listed name in its own: eastern hemlock is a tree
NOT_SAFE = "Ask a qualified practitioner about it. This list is short: a plant that is not on it is not thereby safe."


@cache
def _listed() -> dict[str, tuple[str, str]]:
    """Every spelling in one word -> the name as the list has it, and why."""
    text = (files("herbcalc") / "data" / "strong_plants.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    named = [(name.strip(), row["why"]) for row in rows for name in row["names"].split(";")]
    return {"".join(_words(name)): (name, why) for name, why in named}


def _words(name: str) -> list[str]:
    """The words of a name in one spelling: small letters, no accents, hyphens or apostrophes, one of each thing."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    plain = "".join(c for c in plain if not unicodedata.combining(c))
    plain = re.sub(r"['’ʼ`]", "", plain)
    return [_single(word) for word in re.findall(r"\w+", plain)]


def _single(word: str) -> str:
    if word.endswith("ies"):
        return f"{word[:-3]}y"
    return word.removesuffix("s")


def why_not(name: str) -> str | None:
    """Why a plant is not taken into the story, in a sentence; None where it is not on the list.

    A name is found in longer ones too ("woolly foxglove leaf"), in one word or two, and for more than one of them.

    >>> why_not("Woolly Fox-gloves")[:62]
    'foxglove acts on the heart, and its useful and its harmful amo'
    >>> why_not("nettle") is why_not("eastern hemlock") is None
    True
    """
    words, at = _words(name), 0
    while at < len(words):
        ends = range(len(words), at, -1)
        to = next((end for end in ends if "".join(words[at:end]) in _listed()), at)
        listed, why = _listed().get("".join(words[at:to]), ("", OTHER))
        if why != OTHER:
            return f"{listed} {WHY[why]}. {NOT_SAFE}"
        at = max(to, at + 1)
    return None
