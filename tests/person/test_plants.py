"""A class's own plants: what class.toml may name, what is refused and why, and how a text says other names."""

from __future__ import annotations

import csv
import re
import unicodedata
from importlib.resources import files

import pytest

from herbcalc.person import class_file, plants, strong
from herbcalc.person.plants import AS_TOLD, Plants

FORBIDDEN = re.compile(r"\b(error|invalid|wrong)\b", re.IGNORECASE)
OURS = 'leaf = "nettle"\nflower = "yarrow"\nroot = "burdock root"\nfruit = "hawthorn berry"\nplace = "Mill Street"\n'


def read(tmp_path, text):
    path = tmp_path / "class.toml"
    path.write_text(text, encoding="utf-8")
    return class_file.read(path)


# --- what is said ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("own", "text", "said"),
    [
        ({"leaf": "nettle"}, "Lemon balm's leaf, lemon balm leaf", "Nettle's leaf, nettle leaf"),
        (
            {"leaf": "raspberry leaf"},
            "A lemon balm plant, dried lemon balm",
            "A raspberry plant, dried raspberry leaf",
        ),
        ({"leaf": "raspberry leaf"}, "fresh lemon balm leaf", "fresh raspberry leaf"),
        ({"leaf": "elder leaf"}, "A lemon balm plant", "An elder plant"),
        ({"leaf": "eucalyptus"}, "a lemon balm plant", "a eucalyptus plant"),
        ({"leaf": "écorce"}, "a lemon balm plant", "an écorce plant"),
        ({"leaf": "Lady's mantle"}, "fresh lemon balm, {m}", "fresh Lady's mantle, {m}"),
        ({"flower": "yarrow"}, "An elderflower tincture, calendula heads", "A yarrow tincture, yarrow flowers"),
        ({"flower": "limeflower"}, "600 g of calendula heads are", "600 g of limeflowers are"),
        ({"leaf": "raspberry leaves"}, "A lemon balm plant, an elderflower", "A raspberry plant, an elderflower"),
        ({"leaf": "raspberry leaves"}, "The lemon balm's share of it: 50", "The share of raspberry leaf in it: 50"),
        ({"leaf": "pine needles"}, "fresh lemon balm leaf", "fresh pine needles"),
        ({"leaf": "yarrow flowering tops"}, "A lemon balm plant", "A yarrow plant"),
        ({"leaf": "cleavers"}, "fresh lemon balm", "fresh cleavers"),
        ({"fruit": "juniper berries"}, "A rosehip syrup, rosehips", "A juniper berry syrup, juniper berries"),
        ({"fruit": "juniper berry"}, "want dried rosehip at 1:5", "want dried juniper berries at 1:5"),
        ({"root": "unicorn root"}, "An elecampane tincture", "A unicorn tincture"),
        ({"leaf": "Dandelion", "root": "dandelion root"}, "A lemon balm plant", "A Dandelion plant"),
        (
            {"leaf": "Dandelion", "root": "dandelion root"},
            "lemon balm and elecampane",
            "Dandelion leaf and dandelion root",
        ),
        ({"leaf": "dandelion leaf", "root": "dandelion root"}, "lemon balm, leaf", "dandelion, leaf"),
        ({"leaf": "elecampane"}, "lemon balm with elecampane", "elecampane leaf with elecampane"),
        ({"root": "burdock root"}, "60 elecampane roots; elecampane", "60 burdock roots; burdock"),
        ({"root": "burdock"}, "An elecampane tincture, elecampane root", "A burdock tincture, burdock root"),
        ({"root": "turmeric rhizome"}, "60 elecampane roots", "60 turmeric rhizomes"),
        ({"leaf": "dandelion", "root": "dandelion root"}, "elecampane, lemon balm", "dandelion root, dandelion leaf"),
        ({"fruit": "hawthorn berry"}, "Rosehips; rosehip syrup", "Hawthorn berries; hawthorn berry syrup"),
        (
            {"place": "St Mary's room 5"},
            "bed 3, Alder Lane; an alder laner",
            "bed 3, St Mary's room 5; an alder laner",
        ),
        # One pass: a name that is another's in the story is not said anew.
        ({"leaf": "rosehip", "fruit": "lemon balm"}, "Lemon balm and rosehips", "Rosehip and lemon balms"),
        ({"leaf": r"\g<1>"}, "lemon balm", r"\g<1>"),
    ],
)
def test_a_text_is_said_with_other_names(own, text, said):
    assert Plants(**own).say(text) == said


def test_nothing_else_is_touched():
    ours = Plants("nettle", "yarrow", "burdock", "hawthorn berry", "Mill Street")
    kept = "Balm, lemon, calendulas, rosehipped, marshmallow root, fennel seed, 1:2, 35 % vol, hips that are a kind"
    assert ours.say(kept) == kept
    data = (1.0, range(3), None, {"lemon balm": 2})
    assert ours.named(data) == data, "a key is no text"
    assert AS_TOLD.named(data) is data


def test_what_is_true_of_one_plant_stays_true():
    ours = Plants(flower="yarrow", fruit="hawthorn berry")
    assert ours.say("a fine cloth: the hairs of hips itch.") == "a fine cloth: of rosehips the hairs itch."
    assert ours.say("Strain the hips' itchy hairs out.") == "Of rosehips, strain the itchy hairs out."
    assert (
        ours.say("More is left. Hairs out before grinding.") == "More is left. Rosehips: hairs out before grinding."
    )
    seeds = Plants(fruit="fennel seed")
    assert seeds.say("Dried rosehips, freed of seeds and hairs, ground") == "Dried fennel seeds, ground"
    assert seeds.say("Rosehips, halved (invented)") == "Fennel seeds on the tray (invented)"
    assert seeds.say("in pieces as big as hazelnuts") == "in lumps as big as hazelnuts"
    assert "USDA" not in ours.say("rosehips, picked at 59 % water (USDA 58.7), stands at 25 %")
    assert ours.say("Calendula wants 70 (invented)") == "A jar that wants 70 (invented)"


# --- what class.toml says -------------------------------------------------------------------------------------------


def test_a_class_names_its_plants_and_its_place(tmp_path):
    found = read(tmp_path, f'class = "fern7"\n[rules]\nfloor = 30\n[story]\n{OURS}')
    assert found.plants == Plants("nettle", "yarrow", "burdock root", "hawthorn berry", "Mill Street")
    assert not found.amiss
    assert found.rules.floor == 30
    assert read(tmp_path, "").plants == AS_TOLD == read(tmp_path, "[story]\n").plants
    assert read(tmp_path, '[story]\nroot = "burdock"\n').plants == Plants(root="burdock")


@pytest.mark.parametrize(
    "name", ["よもぎ", "Brennnessel", "крапива", "نعناع", "पुदीना", "St John's wort", "ñandú-x", "ab", "梅"]
)
def test_letters_of_any_script_will_do(tmp_path, name):
    decomposed = unicodedata.normalize("NFD", name)
    assert read(tmp_path, f'[story]\nleaf = "  {decomposed} "\n').plants.leaf.strip("\u2068\u2069") == (
        unicodedata.normalize("NFC", name)
    )


def test_words_from_right_to_left_leave_the_figure_after_them_where_it_is(tmp_path):
    leaf = read(tmp_path, '[story]\nleaf = "ورق نعناع"\nroot = "nettle root"\n').plants.leaf
    assert leaf == "\u2068ورق نعناع\u2069", "two of Unicode's isolates, or 78 is shown before the name"
    assert Plants(leaf=leaf).say("fresh lemon balm, 78 % water") == f"fresh {leaf}, 78 % water"


def test_a_curly_apostrophe_is_one(tmp_path):
    assert read(tmp_path, '[story]\nleaf = "lady\u2019s mantle"\n').plants.leaf == "lady's mantle"


@pytest.mark.parametrize(
    ("line", "said", "stays"),
    [
        ("leaf = 7", 'a name in quotes, such as leaf = "nettle"', "is lemon balm, as in the story"),
        ('flower = ["a"]', 'a name in quotes, such as flower = "yarrow"', "is calendula and elderflower, as"),
        ('root = ""', "1 to 40 letters, and this one has 0", "is elecampane root, as in the story"),
        (f'root = "{"a" * 41}"', "and this one has 41", "is elecampane root"),
        (f'root = "{"a" * 90_000}"', "and this one has 90,000", "is elecampane root"),
        ('leaf = "<b>mint"', 'blanks, hyphens and apostrophes, and "<" stands', "is lemon balm"),
        ('leaf = "mint & co"', '"&" stands in this one', "is lemon balm"),
        ('leaf = "{rules.floor}"', '"{" stands in this one', "is lemon balm"),
        ('leaf = "mint 2"', '"2" stands in this one', "is lemon balm"),
        (
            'leaf = "-mint"',
            'begins with a letter and is made of letters, blanks, hyphens and apostrophes, and "-"',
            "is lemon balm",
        ),
        ('leaf = "mint\\u0000"', "a sign that cannot be seen", "is lemon balm"),
        ('leaf = "mint\\u202e"', "a sign that cannot be seen", "is lemon balm"),
        ('leaf = "mint\\u0007"', "a sign that cannot be seen", "is lemon balm"),
        ('leaf = "mint 🌿"', '"🌿" stands', "is lemon balm"),
        ('place = "<i>"', "made of letters, numbers, blanks", "is Alder Lane, as"),
        ('leaf = "Elder flowers"', "stands for another plant here already", "is lemon balm"),
        ('leaf = "Hawthorn berries"', "stands for another plant here already", "is lemon balm"),
        ('root = "Marsh-mallow root"', "its gum swells in the cone, and lessons 8 and 9 say", "is elecampane root"),
        ('"\\u202eleaf" = "mint"', '"?leaf" is nothing that the story knows', "does nothing"),
        ('leaf = "Elderflower"', "stands for another plant here already", "is lemon balm"),
        ('leafs = "mint"', 'nothing that the story knows. Did you mean "leaf"?', "does nothing"),
        ('bark = "oak"', "It knows: leaf, flower, root, fruit, place.", "does nothing"),
        ('class = "fern7"', '"class" stands at the top of the file', "does nothing"),
        ("floor = 30", '"floor" is a house rule. Write it below a line that says [rules]', "does nothing"),
        (
            'leaf = "Woolly Foxglove"',
            '"Woolly Foxglove" is not taken: foxglove acts on the heart',
            "is lemon balm",
        ),
    ],
)
def test_what_cannot_be_used_gets_one_sentence_and_the_rest_stands(tmp_path, line, said, stays):
    found = read(tmp_path, f'[story]\n{line}\nfruit = "hawthorn berry"\n')
    assert found.plants == Plants(fruit="hawthorn berry")
    (note,) = found.notes
    assert said in note
    assert f"Until then it {stays}" in note
    assert note.startswith("class.toml, [story]: ")
    assert not FORBIDDEN.search(note)
    assert len(note) < 330
    assert note.isprintable()


def test_a_plant_outside_the_story_and_a_story_that_is_no_heading(tmp_path):
    (note,) = read(tmp_path, 'leaf = "nettle"\n').notes
    assert '"leaf" belongs to the story. Write it below a line that says [story].' in note
    (note,) = read(tmp_path, 'story = "nettle"\n').notes
    assert "Write [story] on a line of its own" in note


@pytest.mark.parametrize(
    "line", ['leaf = "Lemon Balm"', 'root = "elecampane"', 'fruit = "rose hips"', 'place = "Alder Lane"']
)
def test_what_the_story_has_already_changes_nothing(tmp_path, line):
    found = read(tmp_path, f"[story]\n{line}\n")
    assert found.plants == AS_TOLD
    assert not found.amiss


def test_two_of_one_name_are_told_apart_by_their_part(tmp_path):
    found = read(tmp_path, '[story]\nleaf = "Dandelion"\nroot = "dandelion"\n')
    assert found.plants == Plants(root="dandelion")
    assert 'leaf: "Dandelion" stands for' in found.notes[0]
    assert read(tmp_path, '[story]\nleaf = "nettle"\nroot = "Nettles"\n').amiss
    assert not read(tmp_path, '[story]\nleaf = "dandelion"\nroot = "dandelion root"\n').amiss
    swapped = read(tmp_path, '[story]\nleaf = "rosehip"\nfruit = "lemon balm"\n')
    assert not swapped.amiss, "they have changed places"


# --- the short list -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "name",
    [
        "foxglove", "Foxgloves", "fox-glove leaf", "DIGITALIS purpurea", "woolly foxglove", "monk's hood",
        "Monk’s-hood",
        "Wolf's bane", "wolfsbane root", "Deadly Nightshade berries", "Atropa bella-donna", "henbane", "thornapple",
        "thorn apple seed", "jimson weed", "lily of the valley", "Lilies-of-the-Valley", "oleander", "meadow saffron",
        "water hemlock", "poke root", "pokeroot", "Phytolacca americana", "ephedra", "ma huang", "comfrey leaf",
        "Symphytum", "coltsfoot flower", "butterbur", "lobelia", "yew", "mistletoe berry", "greater celandine",
        "tansy",
        "pennyroyal", "savin", "wormseed", "male fern", "mayapple", "may apples", "blood root", "birthwort",
        "Aristolochia clematitis", "colts foot", "broom", "opium poppy", "kava", "chaparral", "rue",
        "holly berries", "blue cohosh", "cherry laurel", "goldenseal root", "Árnica",
    ],
)  # fmt: skip
def test_a_plant_on_the_short_list_is_refused_with_the_reason(tmp_path, name):
    for key in plants.KINDS:
        found = read(tmp_path, f'[story]\n{key} = "{name}"\n')
        assert found.plants == AS_TOLD
        (note,) = found.notes
        assert "is not taken" in note
        assert strong.NOT_SAFE in note
        assert not FORBIDDEN.search(note)
        assert not re.search(r"\d", note), "nothing of amounts"


@pytest.mark.parametrize(
    "name",
    [
        "nettle", "yarrow", "burdock root", "hawthorn berry", "lemon balm", "calendula", "elderflower",
        "elecampane root",
        "rosehip", "marshmallow root", "dandelion", "chamomile", "St John's wort", "mint", "apple mint", "marigold",
        "sea buckthorn", "saffron", "ginger", "laurel", "wild rose", "goat's rue", "fern", "clover", "ginseng", "bay",
        "eastern hemlock", "Western Hemlock needles", "butcher's broom", "rabbit tobacco", "germander speedwell",
        "quinoa", "Chenopodium album", "rhubarb", "dead nettle", "wood betony", "ground ivy", "black cohosh",
        "elderberry",
    ],
)  # fmt: skip
def test_other_plants_are_not_on_it(name):
    assert strong.why_not(name) is None


def test_a_place_may_be_called_as_it_likes(tmp_path):
    assert read(tmp_path, '[story]\nplace = "Foxglove Lane 12"\n').plants == Plants(place="Foxglove Lane 12")


def test_each_row_of_the_list_has_a_reason_and_a_source_that_the_head_names():
    lines = (files("herbcalc") / "data" / "strong_plants.csv").read_text(encoding="utf-8").splitlines()
    head = "\n".join(line for line in lines if line.startswith("#"))
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    assert len(rows) > 50
    assert "not thereby safe" in head
    spelled = [name.strip() for row in rows for name in row["names"].split(";")]
    assert len(spelled) == len(set(spelled))
    for row in rows:
        assert row["why"] in {*strong.WHY, strong.OTHER}
        assert all(
            re.search(rf"^# .*\b{one.strip()}\b.*:", head, re.MULTILINE) for one in row["source"].split(";")
        ), row
    others = [name.strip() for row in rows if row["why"] == strong.OTHER for name in row["names"].split(";")]
    assert [name for name in spelled if not strong.why_not(name)] == others
    for name in others:
        assert strong.why_not(f"{name} and foxglove"), "what stands beside it is looked at"
