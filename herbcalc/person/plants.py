"""Floor 4. The plants that a class works with: every text of the story is said with their names.

The workbook's texts are written in the plants of the story: lemon balm (leaf), calendula and elderflower (flower),
elecampane (root), rosehip (fruit), at Alder Lane. A class may name plants of its own, and its place, under [story] in
class.toml (`class_file`). Scenes, items, gaps and benches are data, so what a class hears is the same data once more
with other names in it (`Plants.named`): no text says a plant in a way of its own, and none has to be written twice.
Figures, units and draws have no names in them, and stay.

What is true of one plant only stays with that plant:
- a text that gives a plant's botanical name: item 12.7, the invented label of lesson 12, the plants of the capstone
  (`Ask.names_stay` for an item; the two cards are told the place alone);
- the drying room, whose dial chooses a plant for its own published curve: its scenes follow their dial;
- the hairs of rosehips, what the USDA says of them, calendula that wants strong spirit: `_ROWS` says these so that
  they are true beside any plant;
- fennel seed and other plants that a text is about: they are none of the story's. Marshmallow, whose gum stops
  a cone, is not taken for one either (`told_of`).
"""

from __future__ import annotations

import dataclasses
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache, wraps
from typing import Any, TypeVar

T = TypeVar("T")

# What each is called in the story. Of its two flowers no text but one names both, so one name stands for the two.
IN_STORY = {
    "leaf": ("lemon balm",),
    "flower": ("calendula", "elderflower"),
    "root": ("elecampane root",),
    "fruit": ("rosehip",),
    "place": ("Alder Lane",),
}
KINDS = tuple(kind for kind in IN_STORY if kind != "place")
# What a name may end with: "nettle leaves", "limeflower". A fruit goes by its own name.
_PARTS = {
    "leaf": ("leaf", "leaves", "herb", "tops", "needle", "needles", "frond", "fronds", "parts"),
    "flower": ("flower", "flowers", "blossom", "blossoms", "head", "heads", "petal", "petals", "bud", "buds", "tops"),
    "root": ("root", "roots", "rhizome", "rhizomes", "tuber", "tubers", "bulb", "bulbs"),
    "fruit": (),
}
_ALWAYS_MORE = ("needles", "parts", "tops")  # "a pine needle tincture" would do, "a yarrow top tincture" would not
_GUM = (
    "its gum swells in the cone, and lessons 8 and 9 say to soak it for that, while the plants of the story drip. "
    "A plant with little gum would do."
)
_PLURAL = re.compile(r"[^siu]s$")
# What stands in the texts, and what is said instead. {leaf} is the name, {leaf+} the name with its part, {leaf-} the
# name without it, {root~} too, unless another is told by that name, {fruits} more than one of them. A longer text is
# looked for before a shorter one.
_ROWS = {
    "leaf": {
        "lemon balm": "{leaf}",
        "lemon balm leaf": "{leaf+}",
        "lemon balm plant": "{leaf-} plant",
        "lemon balm, leaf": "{leaf-}, leaf",
        "the lemon balm's share of it": "the share of {leaf} in it",
    },
    "flower": {
        "calendula": "{flower}",
        "calendula heads": "{flowers+}",
        "calendula tops": "{flowers+}",
        "calendula wants 70": "a jar that wants 70",  # its resin does; other flowers may not
        "calendula and elderflower at": "two lots of {flower} at",
        "elderflower": "{flower}",
    },
    "root": {"elecampane": "{root~}", "elecampane root": "{root+}", "elecampane roots": "{roots+}"},
    "fruit": {
        "rosehip": "{fruit}",
        "rosehips": "{fruits}",
        "dried rosehip": "dried {fruits}",
        "rosehips, picked at 59 % water (usda 58.7)": "{fruits}, picked at 59 % water",
        "rosehips, freed of seeds and hairs": "{fruits}",  # fennel is a seed, and nobody seeds a juniper berry
        "rosehips, halved": "{fruits} on the tray",  # an elderberry is not halved
        "in pieces as big as hazelnuts": "in lumps as big as hazelnuts",  # nor as big as that
        "ground hips": "ground {fruits}",
        "dried hips": "dried {fruits}",
        "the hips drink": "the {fruits} drink",
        "hips hold less water than leaf": "at 59 % there is less water than in leaf",
        "hairs out before grinding": "rosehips: hairs out before grinding",
        "strain the hips' itchy hairs out": "of rosehips, strain the itchy hairs out",
        "the hairs of hips itch": "of rosehips the hairs itch",
    },
    "place": {"alder lane": "{place}"},
}


@dataclass(frozen=True)
class Plants:
    """The names of a class's leaf, flower, root and fruit, and of its place; "" where it is that of the story.

    >>> ours = Plants(leaf="nettle", root="angelica root", fruit="hawthorn berry")
    >>> ours.say("A lemon balm plant carries 240 leaves. Rosehips, ground.")
    'A nettle plant carries 240 leaves. Hawthorn berries, ground.'
    >>> ours.say("A calendula tincture with an elecampane tincture")
    'A calendula tincture with an angelica tincture'
    """

    leaf: str = ""
    flower: str = ""
    root: str = ""
    fruit: str = ""
    place: str = ""

    def say(self, text: str) -> str:
        """A text of the story with this class's names in it."""
        pattern, said = _table(self)
        return text if pattern is None else pattern.sub(lambda found: _in_place(found, said), text)

    def named(self, thing: T) -> T:
        """Texts as data with this class's names: a text, rows and tables of them, a dataclass, a call that gives any.

        What is no text stays as it is, and so does everything where the class has no names of its own.

        >>> Plants(leaf="nettle").named(("lemon balm", 100.0, {"a": lambda f: f"{f} of lemon balm"}))[2]["a"]("1 g")
        '1 g of nettle'
        """
        return thing if self == AS_TOLD else _named(thing, self)

    @property
    def place_alone(self) -> Plants:
        """The same class where a text keeps the plants of the story."""
        return Plants(place=self.place)


AS_TOLD = Plants()  # the story as it is told to everybody


def _named(thing: Any, plants: Plants) -> Any:
    if isinstance(thing, str):
        return plants.say(thing)
    if isinstance(thing, tuple | list):
        return type(thing)(_named(one, plants) for one in thing)
    if isinstance(thing, Mapping):
        return {name: _named(one, plants) for name, one in thing.items()}
    if dataclasses.is_dataclass(thing) and not isinstance(thing, type):
        own = {f.name: _named(getattr(thing, f.name), plants) for f in dataclasses.fields(thing)}
        return dataclasses.replace(thing, **own)
    if callable(thing) and not isinstance(thing, type):

        @wraps(thing)
        def said(*given: Any, **more: Any) -> Any:
            return _named(thing(*given, **more), plants)

        return said
    return thing


@lru_cache(maxsize=16)
def _table(plants: Plants) -> tuple[re.Pattern[str] | None, dict[str, str]]:
    """What to look for, and what is said instead of each, for the names that a class has."""
    forms = _forms(plants)
    said = {text: instead.format_map(forms) for kind in IN_STORY if getattr(plants, kind) for text, instead in
            _ROWS[kind].items()}  # fmt: skip
    if not said:
        return None, {}
    listed = "|".join(re.escape(text) for text in sorted(said, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:(an?) )?({listed})(?!\w)", re.IGNORECASE), said


def _in_place(found: re.Match[str], said: dict[str, str]) -> str:
    """What is said instead of one find: with a capital where one stood, and the article that goes with it."""
    article, text = found.groups()
    instead = said[text.lower()]
    if text[0].isupper() and not article:
        instead = f"{instead[0].upper()}{instead[1:]}"
    if not article:
        return instead
    first = unicodedata.normalize("NFD", instead.lower())
    return f"{article[0]}{'n' if first[0] in 'aeiou' and not first.startswith(('eu', 'uni')) else ''} {instead}"


def _forms(plants: Plants) -> dict[str, str]:
    forms = {"place": plants.place}
    told = {kind: (getattr(plants, kind),) if getattr(plants, kind) else IN_STORY[kind] for kind in KINDS}
    for kind in KINDS:
        name, parts = one_of(getattr(plants, kind), kind), _PARTS[kind]
        # Leaf and root of one plant are told apart by their part wherever they are named.
        others = {spelled(_bare(one, other)) for other in KINDS if other != kind for one in told[other]}
        bare = _bare(name, kind)
        shared = spelled(bare) in others
        part = not parts or any(word.endswith(parts) for word in name.lower().split())
        whole = name if part else f"{name} {parts[0]}"
        forms |= {kind: whole if shared else name, f"{kind}+": whole, f"{kind}s": more_than_one(name)}
        forms |= {f"{kind}-": bare, f"{kind}~": whole if shared else bare, f"{kind}s+": more_than_one(whole)}
    return forms


def _bare(name: str, kind: str) -> str:
    """A name without its part: "burdock root" is burdock, "yarrow flowering tops" yarrow."""
    parts = "|".join(_PARTS.get(kind, ()))
    return re.sub(rf" (?:aerial |flowering )?(?:{parts})$", "", name, flags=re.IGNORECASE) if parts else name


def spelled(name: str) -> str:
    """A name in one spelling, by which two that are the same are found: "Rose-hips" is "rosehip"."""
    return re.sub(r"ies$", "y", re.sub(r"[ -]", "", name.casefold())).removesuffix("s")


def of_the_story(name: str, kind: str) -> bool:
    """Whether a class names what the story has already, however it spells it.

    >>> of_the_story("Rose hips", "fruit"), of_the_story("elecampane", "root"), of_the_story("calendula", "flower")
    (True, True, False)
    """

    return [spelled(_bare(name, kind))] == [spelled(_bare(one, kind)) for one in IN_STORY[kind]]


def told_of(name: str) -> str | None:
    """Why a plant of which a text tells something of its own cannot be another; None where none does.

    >>> told_of("Marshmallow root")[:26], told_of("nettle")
    ('its gum swells in the cone', None)
    """
    gummy = re.search(r"marsh-? ?mallow|alth(?:ae|e)a", name, re.IGNORECASE)
    return _GUM if gummy else None


def one_of(name: str, kind: str) -> str:
    """A name for one, where a class has written it for more: of parts, and of fruits; "cleavers" and "hops" are none.

    >>> [one_of(*given) for given in (("juniper berries", "fruit"), ("nettle leaves", "leaf"), ("cleavers", "leaf"))]
    ['juniper berry', 'nettle leaf', 'cleavers']
    """
    low = name.lower()
    if low.endswith("leaves"):
        return f"{name[:-3]}f"
    if not _PLURAL.search(low) or (kind != "fruit" and not low.endswith(_PARTS[kind])) or low.endswith(_ALWAYS_MORE):
        return name
    if low.endswith("ies"):
        return f"{name[:-3]}y"
    return name[:-2] if re.search(r"(?:x|z|ch|sh)es$", low) else name[:-1]


def more_than_one(name: str) -> str:
    """A name for more than one, where English has a rule for it; a name that is so already stays.

    >>> [more_than_one(name) for name in ("rosehip", "hawthorn berry", "sea buckthorn berries", "peach", "いちご")]
    ['rosehips', 'hawthorn berries', 'sea buckthorn berries', 'peaches', 'いちご']
    """
    if not re.search(r"[a-z]$", name.lower()) or _PLURAL.search(name.lower()):
        return name
    if re.search(r"[^aeiou]y$", name.lower()):
        return f"{name[:-1]}ies"
    return f"{name}{'es' if re.search(r'(?:s|x|z|ch|sh)$', name.lower()) else 's'}"
