"""A class's own plants reach all that speaks of a plant, and change nothing else."""

from __future__ import annotations

import re
from html import unescape

import pytest

from herbcalc import homework, person
from herbcalc.homework import in_class, key
from herbcalc.person.plants import AS_TOLD, Plants
from herbcalc.rules import Rules
from herbcalc.run import printing
from herbcalc.show import again, first_aid, given, lesson, sheets
from herbcalc.show import here as here_module
from herbcalc.show.card.capstone_page import INVENTED
from herbcalc.show.desk import own_plants
from herbcalc.show.story import scenes

OURS = Plants("Qleaf", "Qflower", "Qroot", "Qfruit", "Qplace")
TOML = "[story]\n" + "".join(f'{kind} = "{name}"\n' for kind, name in vars(OURS).items())
IN_STORY = re.compile(r"lemon balm|calendula|elderflower|elecampane|rosehip|\bhips?\b|alder lane", re.IGNORECASE)
# Said of rosehips whatever the class's fruit is; and a kind of dried plant, or of powder, by an example of each.
TRUE_OF_ROSEHIPS = re.compile(
    r"[Rr]osehips: hairs out before grinding|[Oo]f rosehips, strain the itchy|of rosehips the hairs itch|"
    r"Rub the itchy hairs out of rosehips|\(root, hips\)|dried root or hips"
)
STAY = {"12.7"}  # they give a botanical name


def left(texts):
    """What of the story's own names is left in texts."""
    return sorted({text for text in map(unescape, texts) if IN_STORY.search(TRUE_OF_ROSEHIPS.sub("", text))})


def texts_of(item):
    """All that an item can say but what is said to one answer."""
    yield from (item.prompt, *item.choices, *item.points, *item.worked(4), *item.given(1), *item.given_figures)
    yield from (part for row in item.quick for part in row)
    yield item.say(item.ask.forwards)
    for one in (*item.ask.mistakes, *item.options):
        yield from (
            one.did,
            item.say(one.hint),
            *([] if callable(one.so) and one in item.ask.mistakes else [item.say(one.so)]),
        )
    yield from (item.say(near.remark) for near in item.ask.near)
    yield from item.ask.models
    if picture := given.picture(item):
        yield given.sentence(item, picture)


EVERY = [one for one in homework.items() if f"{one[0]}.{one[1]}" not in STAY]


def test_items_say_them_for_every_number():
    said = set()
    for one in EVERY:
        situated = any(not figure.shown for figure in homework.ask(*one).figures)
        for own in range(1, 100 if situated else 3):  # else the numbers differ, and no word
            item = homework.item(*one, "fern7", own, plants=OURS)
            said.update(texts_of(item) if own < 7 else (item.prompt, *item.choices))
    assert left(said) == []
    assert all(any(name in text for text in said) for name in vars(OURS).values())


def test_what_is_said_to_an_answer_and_the_key_say_them():
    said = set()
    for one in EVERY:
        item = homework.item(*one, "fern7", 3, plants=OURS)
        typed = ["1 g", "a", *item.slip_answers().values(), *item.answers()]
        for text in typed:
            told = item.check(text, tier=4)
            said |= {told.hint, told.consequence}
        said |= {words for row in (*key.side_roads(item), *key.right_too(item)) for words in row}
    assert left(said) == []


@pytest.mark.parametrize("one", homework.items())
def test_an_item_is_the_same_but_for_the_names(one):
    ours, told = (homework.item(*one, "fern7", 3, plants=plants) for plants in (OURS, AS_TOLD))
    assert ours.drawn == told.drawn
    assert ours.figures.keys() == told.figures.keys()
    assert [OURS.say(text) if f"{one[0]}.{one[1]}" not in STAY else text for text in texts_of(told)] == list(
        texts_of(ours)
    )
    assert ours.right_letters == told.right_letters
    assert key.right(ours) == key.right(told)
    assert [ours.check(text).verdict for text in told.answers()] == [
        told.check(text).verdict for text in told.answers()
    ]


def test_a_plant_with_its_botanical_name_stays():
    item = homework.item(12, 7, "fern7", 3, plants=OURS)
    assert "lemon balm, Melissa officinalis" in item.prompt
    assert not re.search("Qleaf", "".join(item.choices))
    for one in homework.items():
        for own in range(1, 4):
            item = homework.item(*one, "fern7", own)
            named = [text for text in texts_of(item) if "officinalis" in text]
            assert bool(named) == (item.code in STAY)


def test_no_text_gives_two_plants_one_name():
    both = re.compile("calendula", re.IGNORECASE), re.compile("elderflower", re.IGNORECASE)
    told = [" ".join(texts_of(homework.item(*one, "fern7", 3))) for one in EVERY]
    told += [in_class.question(n, at + 1).prompt for n in in_class.lessons() for at in range(len(in_class.gaps(n)))]
    assert not [text for text in told if all(flower.search(text) for flower in both)]


# --- scenes ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("module", here_module.modules(), ids=lambda module: module.__name__.rpartition(".")[2])
def test_scenes_say_them_and_are_told_apart(module):
    ours, told = scenes(module, Rules(), OURS), scenes(module, Rules())
    on_a_dial = [
        scene for scene in ours if getattr(scene.setting, "herb", 0.0) in ("lemon balm", "elderflower", "rosehip")
    ]
    assert left(text for s in ours if s not in on_a_dial for text in (s.name, s.question, s.none, s.teacher)) == []
    assert len({scene.name for scene in ours}) == len(ours)
    for one, other in zip(ours, told, strict=True):
        assert (one.setting, one.asks, one.edges, one.drag) == (other.setting, other.asks, other.edges, other.drag)
        assert " (invented)" in one.name or " (invented)" not in other.name
    assert not re.search(r"(Qflower) and \1", " ".join(s.question for s in ours))


def test_a_dial_that_chooses_a_plant_keeps_its_scene():
    kitchen = scenes(here_module.module(3, "room"), Rules(), OURS)[0]
    assert kitchen.setting.herb == "lemon balm"
    assert kitchen.question.startswith("Lemon balm hangs")


def test_the_scene_to_show_again_is_found_and_says_them():
    found = again.scene_for("5.2", Rules(), OURS)
    assert found.scene.title == "Qleaf in vodka, 1:2"
    assert found.place == again.scene_for("5.2", Rules()).place


# --- gaps, benches, pages -------------------------------------------------------------------------------------------


def words(widget):
    """All text of a widget and of what is in it."""
    for name in ("value", "description", "placeholder", "stored_html", "stored_plain", "_options_labels"):
        text = getattr(widget, name, "")
        yield from text if isinstance(text, tuple) else [text] if isinstance(text, str) else []
    for child in getattr(widget, "children", ()):
        yield from words(child)


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    (tmp_path / person.CLASS).write_text(TOML, encoding="utf-8")
    return tmp_path


@pytest.mark.parametrize("number", in_class.lessons())
def test_gaps_and_benches_say_them(number):
    said = set()
    for at in range(len(in_class.gaps(number))):
        said.update(texts_of_gap(in_class.question(number, at + 1, OURS)))
    if number:
        bench = in_class.bench(number, OURS)
        said.update(in_class.told(bench, Rules(), {box.name: box.example for box in bench.boxes}))
        said.update(text for box in bench.boxes for text in (box.label, box.example))
    assert left(said) == []


def test_a_page_hands_them_on(home):
    here = lesson(5)
    assert own_plants(OURS)[0] in here.notes
    there = [here.panel(), here.bench(), here.mixed(1), here.mixed(2)]
    there += [here.gap(at + 1) for at in range(len(in_class.gaps(5)))] + [here.item(n) for n in here.items()]
    said = [text for widget in there for text in words(widget)]
    assert left(said) == []
    assert all(any(name in text for text in said) for name in (OURS.leaf, OURS.flower, OURS.root, OURS.fruit))
    assert left(text for at in range(len(in_class.gaps(0))) for text in words(first_aid().gap(at + 1))) == []


def texts_of_gap(gap):
    yield from (gap.prompt, *gap.worked(4), *gap.given(1), gap.say(gap.ask.forwards))
    for text in ["1 g", *gap.slip_answers().values(), *gap.answers()]:
        told = gap.check(text)
        yield from (told.hint, told.consequence)


def test_a_fresh_set_says_them_too(home):
    card = lesson(5).item(2)
    card.fresh_set()
    assert "Qleaf" in card.prompt.value
    assert "set 2" in card.prompt.value


def test_the_label_and_the_plan_are_at_the_class_s_place(home):
    said = " ".join(words(lesson(12).label()))
    assert "bed 3, Qplace" in said
    assert "Alder Lane" not in said
    assert "Lemon balm" in said
    plan = lesson(14).capstone()
    assert "a stand at Qplace, invented" in " ".join(words(plan))
    assert "Alder Lane" not in " ".join(words(plan))
    assert "(Qplace)" in INVENTED.format(place=plan.one.place)
    assert "Qleaf, leaf" in " ".join(words(lesson(15).own_jar("plan")))


def test_one_line_tells_what_a_page_s_own_text_means():
    assert own_plants(AS_TOLD) == []
    (line,) = own_plants(Plants("nettle", "yarrow", "burdock root", "hawthorn berry", "Mill Street"))
    assert line.startswith("Your class has nettle for lemon balm, yarrow for calendula and elderflower, burdock root")
    assert "and Mill Street for Alder Lane." in line


# --- paper and the teacher's side -----------------------------------------------------------------------------------


def test_paper_says_them(home, monkeypatch):
    monkeypatch.setattr(printing, "chromium", lambda: None)
    printing.carry_out(printing.Wanted("fern7", [3], "5,12.1"), home)
    pages = [path.read_text("utf-8") for path in home.glob("*.html")]
    assert len(pages) == 2
    assert left(pages) == []
    assert any("Qleaf" in page for page in pages)
    # The picture's own letters too.
    drawn = sheets.sheet([homework.item(5, 2, "fern7", 3, plants=OURS)])
    assert drawn.count("Qleaf") >= 3


def test_a_name_that_our_font_lacks_is_drawn_without_a_word_of_it(recwarn):
    item = homework.item(5, 2, "fern7", 3, plants=Plants("よもぎ"))
    assert "よもぎ" in given.svg(item, given.picture(item))
    assert [str(warning.message) for warning in recwarn] == []


def test_the_overview_says_them():
    from herbcalc.homework import class_view
    from herbcalc.show import overview

    around = overview.Around(plants=OURS)
    road = class_view.Road("12.2", "m1", "Counts all of the mix as lemon balm", {1: ()}, ())
    assert overview._somebody(road, around) == "counts all of the mix as Qleaf"
