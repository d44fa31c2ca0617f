"""One's own jar: each box is kept when it is typed and found again, the bench stands beside the plan, whatever is
typed gets words."""

from __future__ import annotations

import json
import re
from html import unescape

import pytest

from herbcalc import person
from herbcalc.person import batches
from herbcalc.rules import Rules
from herbcalc.show import cautions
from herbcalc.show.card import own_batch, own_jar
from herbcalc.show.card.capstone_boxes import PLAN
from herbcalc.show.card.own_batch import BOXES, PAGES
from herbcalc.show.here import OWN_JAR, Here
from herbcalc.units import OutOfRange

FORBIDDEN = re.compile(r"\b(error|invalid|wrong|traceback|nan|inf|None)\b", re.IGNORECASE)
A_JAR = {
    ("plan", "gather"): "1 kg",
    ("plan", "reckoned"): "20",
    ("plant", "sample_fresh"): "100 g",
    ("plant", "sample_dried"): "25 g",
    ("plant", "basket"): "980 g",
    ("drying", "tray"): "272 g",
    ("drying", "drying"): "6",
    ("jar", "jar"): "400 g",
    ("jar", "with_herb"): "500 g",
    ("jar", "with_all"): "965 g",
    ("pressing", "out"): "9 fl oz",
    ("pressing", "marc"): "315 g",
    ("pressing", "soaking"): "5 weeks",
    ("drops", "first"): "190",
    ("drops", "second"): "195 drops",
    ("drops", "third"): "188",
}


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(person.VARIABLE, str(tmp_path))
    person.news()
    return tmp_path


def a_page(here=None):
    """All cards of the page, as the notebook opens them."""
    here = here or Here(OWN_JAR)
    return {page: here.own_jar(page) for page in ("", *PAGES, "says")}


def type_in(cards, typed):
    for (page, box), text in typed.items():
        cards[page].places[box].value = text


def words(card):
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", card.said.value)).split())


def test_before_anything_is_typed_nothing_is_written_and_each_page_says_what_to_do(home):
    cards = a_page()
    assert "No batch is begun yet" in words(cards[""])
    assert "Nothing is planned yet" in words(cards["plan"])
    assert "no plan to set it beside" in words(cards["says"])
    assert cards["says"].use_button.layout.display == "none"
    assert list(home.iterdir()) == []
    for card in cards.values():
        bundle = card._repr_mimebundle_()
        assert bundle["text/plain"] == card.title
        assert str(home) not in bundle["text/html"]


def test_what_is_typed_is_kept_at_once_and_stands_there_another_day(home):
    cards = a_page()
    type_in(cards, A_JAR)
    cards["drying"].weighings.place.value = "0 h; 980 g\n12 h; 500 g\n36 h; 272 g"
    assert 'Kept in "my batch"' in words(cards["plant"])
    assert "The sample, bone dry: 25 g" in words(cards["plant"])
    assert "Days on the tray: 6 days" in words(cards["drying"])
    assert "Days in the jar: 35 days" in words(cards["pressing"])
    assert "3 weighings over 36 hours" in words(cards["drying"].weighings)
    assert f"{len(A_JAR) + 1} boxes are filled in" in words(cards[""])
    kept = {box: text for (_, box), text in A_JAR.items()}
    assert batches.typed("jar") == kept | {"log": "0 h; 980 g\n12 h; 500 g\n36 h; 272 g"}
    again = a_page()
    assert {box: again[page].places[box].value for page, box in A_JAR} == kept
    assert again["drying"].weighings.place.value.startswith("0 h; 980 g")
    assert words(again["says"]) == words(cards["says"])


def test_the_bench_stands_beside_the_plan_and_says_what_to_use(home):
    cards = a_page()
    type_in(cards, A_JAR)
    told = words(cards["says"])
    assert "From what really went in, 350 mL (11 3/4 fl oz) was to come" in told
    assert "the marc kept 2.3" in told
    assert "not 1.5. Use that next time." in told
    assert "You reckoned with 20 drops" in told
    assert "retained =" not in told, "a class's own figure is the teacher's to set"
    before = batches.typed("jar")
    cards["says"].use()
    own = batches.figures()
    assert (own["water"], own["drops"]) == (pytest.approx(75), pytest.approx(38.2))
    assert own["retained"] == pytest.approx((500 - 266.16) / 100, rel=0.01)
    assert before.items() <= batches.typed("jar").items()
    assert "not 1.5. Use that next time." in words(cards["says"]), "the plan stays what it was"
    assert "Its water when fresh: 80 %" in words(cards["plan"])
    cards[""].new.value = "rosehip, October"
    cards[""].begin()
    assert all(place.value == "" for page in PAGES for place in cards[page].places.values())
    cards["plan"].places["bottles"].value = "4"
    assert 'from your batch "my batch"' in words(cards["plan"])
    assert "2.3" in words(cards["plan"])


def test_ones_own_figure_stands_in_the_next_plan_as_it_was_said(home):
    cards = a_page()
    type_in(cards, A_JAR)
    cards["says"].use()
    cards[""].new.value = "the next"
    cards[""].begin()
    for box in ("keeps", "reckoned"):
        assert re.fullmatch(r"[\d.]{2,4}( mL/g)?", cards["plan"].places[box].placeholder)


def test_several_batches_each_with_boxes_of_its_own(home):
    cards = a_page()
    choosing = cards[""]
    for name, grams in (("lemon balm, July", "100 g"), ("<b>rosehip</b> & co", "200 g")):
        choosing.new.value = name
        choosing.begin()
        cards["plant"].places["basket"].value = grams
    assert choosing.list.options == ("lemon balm, July", "<b>rosehip</b> & co")
    assert "<b>rosehip" not in choosing.said.value + cards["plant"].said.value, "a name is never page"
    choosing.list.value = "lemon balm, July"
    assert cards["plant"].places["basket"].value == "100 g"
    assert batches.current() == "lemon balm, July"
    batches.choose("<b>rosehip</b> & co")  # as another window does
    cards["plant"].places["basket"].value = "110 g"
    assert batches.typed("jar", of="lemon balm, July")["basket"] == "110 g", "the batch that is shown is written to"
    assert batches.typed("jar")["basket"] == "200 g"
    choosing.ask()
    assert "Let" in unescape(choosing.asked.value)
    choosing.sure.children[0].click()
    assert batches.names() == ["lemon balm, July", "<b>rosehip</b> & co"]
    choosing.ask()
    choosing.sure.children[1].click()
    assert batches.names() == ["<b>rosehip</b> & co"]
    assert cards["plant"].places["basket"].value == "200 g"


SILLY = [
    "350", "five", "-5 g", "0 g", "<script>alert(1)</script>", "9" * 99, "1e999 g", "x" * 600, "100 mL", "100 g", "%",
    "½", "nan", "inf g", "100 % vol", "80 %", "\x00", "1:0", "0:0", "()", "100 kg 3", "ninety drops", "12.5", "−3 g",
    "60 kg",
]  # fmt: skip


TYPED = [box for box in BOXES.values() if not box.chosen]


def test_whatever_is_typed_gets_a_kind_sentence():
    for box in TYPED:
        for text in SILLY:
            amiss, found = own_batch.heard(box.page, {box.name: text})
            assert len(amiss) + len(found) == (box.kind != own_batch.WORDS), (box.name, text)
            for line in (*amiss, *found):
                assert line.startswith(f"{box.label}: ")
                assert not FORBIDDEN.search(line.replace(text, "")), (box.name, text)
                assert len(line) < 400
                assert not line.removeprefix(f"{box.label}: ").startswith(f"{box.name.replace('_', ' ')}: ")
        if box.kind != own_batch.WORDS:
            assert own_batch.heard(box.page, {box.name: "blue"})[0], box.name
            assert own_batch.heard(box.page, {box.name: "-5 g"})[0], box.name


def test_whatever_is_typed_is_kept_and_stops_nothing(home):
    type_in(a_page(), A_JAR)
    cards = {}
    for box in TYPED:
        if box.page not in cards:  # its page and the last are open: with all eight each word takes four times as long
            here = Here(OWN_JAR)
            cards = {page: here.own_jar(page) for page in (box.page, "says")}
        place = cards[box.page].places[box.name]
        before = place.value
        for text in ("<script>alert(1)</script>", "0 g", "1 mL"):
            place.value = text
            assert batches.typed("jar")[box.name] == text
            assert "Kept in" in words(cards[box.page])
            assert "<script>" not in cards[box.page].said.value
            assert not FORBIDDEN.search(words(cards["says"])), (box.name, text)
        place.value = before
    assert "Use that next time." in words(cards["says"])
    cards["drops"].places["measure"].value = "x" * 4001
    assert "Not kept yet." in words(cards["drops"])


def test_each_example_can_be_read():
    for box in BOXES.values():
        assert own_batch.read(box, box.example) is not None, box.name


def test_what_cannot_be_so_is_said_beside_the_plan(home):
    cards = a_page()
    type_in(cards, {**A_JAR, ("jar", "with_herb"): "300 g"})
    assert "Were two of them swapped?" in words(cards["says"])


def test_what_cannot_be_so_is_said_where_it_was_typed(home):
    cards = a_page()
    type_in(cards, {("plan", "gather"): "1 kg", ("jar", "jar"): "600 g", ("jar", "with_herb"): "500 g"})
    assert "swapped" in words(cards["jar"])
    assert "swapped" not in words(cards["plan"]) + words(cards["pressing"])
    type_in(cards, {("jar", "with_herb"): "700 g", ("plan", "ratio"): "5:1"})
    assert "swapped" not in words(cards["jar"])
    assert 'type "1:5"' in words(cards["plan"])


def test_a_plan_of_lesson_14_does_not_go_unasked(home):
    cards = a_page()
    type_in(cards, {("plan", "gather"): "1 kg"})
    cards[""].ask()
    assert "lesson 14" not in cards[""].asked.value
    batches.save_typed(PLAN, "gather", "7", home)
    cards[""].ask()
    assert "lesson 14" in cards[""].asked.value


def test_a_plan_that_cannot_be_made_says_what_would_work(home):
    cards = a_page()
    type_in(cards, {("plan", "bottles"): "10", ("plan", "state"): "fresh", ("plan", "spirit"): "40 %"})
    told = words(cards["plan"])
    assert "under your floor of 35 % vol" in told
    assert "Make it 1:" in told
    type_in(cards, {("plan", "bottles"): "", ("plan", "gather"): "100 g"})
    told = words(cards["plan"])
    assert cautions.WEAK in told
    assert "30 mL (1 fl oz) of 95 % vol" in told, "and what would keep it"
    assert cards["plan"].places["ratio"].placeholder == "1:2", "an empty box shows what it stands for"
    cards["plan"].places["spirit"].value = ""
    assert "95 % vol" in words(cards["plan"]), "a fresh plant takes the strong one"
    cards["plan"].places["method"].value = "drip"
    assert "A fresh plant cannot drip" in words(cards["plan"])


def test_cautions_stand_at_their_moment(home):
    cards = a_page()
    held = {page: unescape(cards[page].caution.value) for page in PAGES}
    assert "look-alike" in held["plant"]
    assert cautions.LEAVE in held["plant"]
    assert cautions.DAMP in held["drying"]
    assert cautions.FOOD_GRADE in held["jar"]
    assert own_jar.LABEL_NOW in held["jar"]
    assert "95 % vol catches fire" in held["jar"], "nobody has said which: the strongest on the shelf"
    assert cautions.WET_MARC in held["pressing"]
    assert cautions.NOT_ADVICE in held["drops"]
    assert cautions.ASK_FIRST in held["drops"]
    cards["jar"].places["strength"].value = "80 proof"
    assert "40 % vol catches fire" in unescape(cards["jar"].caution.value)
    fresh = {("plan", "gather"): "100 g", ("plan", "state"): "fresh", ("plant", "basket"): "100 g"}
    type_in(cards, {**fresh, ("jar", "poured"): "200 mL", ("plan", "water"): "80 %"})
    told = words(cards["says"])
    assert cautions.WEAK in told
    assert "30 mL (1 fl oz) of 95 % vol" in told
    cards["pressing"].places["out"].value = "200 mL"
    assert cautions.WEAK in words(cards["says"])
    assert "30 mL (1 fl oz) of 95 % vol" not in words(cards["says"]), "it is pressed"


def test_a_plan_goes_by_the_rules_of_its_class(home):
    rules = Rules(floor=45.0, dried_to=12.0)
    order = own_batch.planned({"gather": "1 kg"}, rules, home, "").batch.order
    assert (order.floor.magnitude, order.dried_to.magnitude) == (45.0, 12.0)


def test_a_new_batch_takes_the_figure_of_the_one_begun_last(home):
    for name, kept in (("first", 2.0), ("second", 1.2), ("new", None)):
        batches.choose(name)
        if kept:
            batches.save_figures({"retained": kept})
    found = own_batch.planned({"gather": "1 kg"}, Rules(), home, "new")
    assert found.taken["keeps"] == "1.2 mL/g"
    assert any('from your batch "second"' in line for line in found.whence)


def test_what_is_poured_counts_before_what_was_planned_and_a_count_is_whole(home):
    typed = {"strength": "40 % vol", "spirit": "95 % vol"}
    assert own_jar._strength(typed, 50.0) == 40.0
    assert "no whole number" in own_batch.heard("drops", {"first": "190.5"})[0][0]


def test_who_teaches_sees_the_line_for_the_class(home):
    person.save_me("fern7", 1, teacher=True)
    cards = a_page()
    type_in(cards, A_JAR)
    told = words(cards["says"])
    assert "retained = 2.3" in told
    assert "Now it is 1.5." in told
    cards["jar"].places["with_herb"].value = "420 g"  # 20 g of herb cannot have kept all that
    assert "retained = " not in words(cards["says"])


def test_no_plan_and_no_bench_proposes_an_amount_to_take():
    assert not any(re.search(r"\b(dose|take|daily|a day)\b", box.label, re.IGNORECASE) for box in BOXES.values())


@pytest.mark.parametrize(
    "found",
    [
        {"batches": {"a": {"figures": {"water": "x", "retained": -1, "drops": 1e99, "ratio": True}, "typed": {}}}},
        {"batches": {"a": {"figures": {}, "typed": {"jar": {"state": "boiled", "log": "\x00", "odd": "x"}}}}},
        {"batches": [1]},
        {"water": 1e308, "spirit": "strong"},
    ],
)
def test_an_edited_file_opens_every_card(home, found):
    (home / person.BATCH).write_text(json.dumps(found))
    cards = a_page()
    cards["plan"].places["gather"].value = "1 kg"
    assert "comes out" in words(cards["plan"])
    for card in cards.values():
        assert not FORBIDDEN.search(words(card))


def test_a_file_that_cannot_be_read_is_put_aside_and_the_page_says_so(home):
    (home / person.BATCH).write_text("{")
    cards = a_page()
    assert "batch.json.put-aside-1" in words(cards[""])
    cards["plan"].places["gather"].value = "1 kg"
    assert "comes out" in words(cards["plan"])


def test_a_folder_that_cannot_be_written_is_said_and_the_page_goes_on(home, monkeypatch):
    blocked = home / "a file"
    blocked.write_text("in the way")
    monkeypatch.setenv(person.VARIABLE, str(blocked))
    cards = a_page()
    cards["plan"].places["gather"].value = "1 kg"
    assert "in the way" in words(cards["plan"])
    cards[""].new.value = "mine"
    cards[""].begin()
    assert "Not yet." in words(cards[""])


def test_the_page_has_neither_panel_nor_gaps_and_says_so(home):
    here = Here(OWN_JAR)
    assert here.items() == []
    for opened in (here.panel, here.bench, lambda: here.gap(1), lambda: here.item(1)):
        with pytest.raises(OutOfRange, match=r"no panel|no gaps|no homework"):
            opened()


def test_a_page_is_called_by_its_name(home):
    with pytest.raises(OutOfRange, match='no page "tray"'):
        Here(OWN_JAR).own_jar("tray")


def test_the_curve_of_ones_own_log_goes_on_to_the_page(home):
    here = Here(OWN_JAR)
    cards = a_page(here)
    cards["drying"].weighings.place.value = "0 h; 1000 g\n6 h; 744 g\n12 h; 561 g\n24 h; 372 g\n48 h; 243 g"
    assert here._curve is not None
    cards["drying"].weighings.place.value = ""
    assert here._curve is None


def test_a_batch_on_one_page_lies_in_the_persons_folder_and_goes_with_the_rest(home):
    """With its days, its picture and its name; what stands in the way of it is said."""
    card = Here(OWN_JAR).own_jar("plan")
    card.lay()
    assert "type the basket or the bottles" in card.made.value
    card.places["bottles"].value = "10"
    card.places["plant"].value = "lemon <b>balm</b>, leaf"
    card.places["day"].value = "in July"
    card.lay()
    assert "type that day" in card.made.value
    assert "14 July 2026, with its month in words, would work" in card.said.value
    card.places["day"].value = "14 July 2026"
    card.lay()
    path = person.folder() / person.MY_BATCH
    assert str(path) in card.made.value
    page = path.read_text(encoding="utf-8")
    assert "lemon &lt;b&gt;balm&lt;/b&gt;, leaf" in page
    assert "14 July 2026: gather" in page
    assert "18 August 2026: press" in page, "a week on the tray, four in the jar"
    assert page.count("<svg") == 1
    assert path in person.all_of_mine(None)


def test_the_plan_is_drawn_anew_when_it_changes_and_not_with_each_box_of_the_bench(home, monkeypatch):
    cards = a_page()
    type_in(cards, A_JAR)
    drawn, streams, before = [], own_jar.streams, cards["plan"].picture.value
    monkeypatch.setattr(own_jar, "streams", lambda *a, **k: drawn.append(a) or streams(*a, **k))
    type_in(cards, {("pressing", "out"): "320 mL", ("jar", "with_all"): "960 g"})
    assert (len(drawn), cards["plan"].picture.value == before) == (0, True)
    type_in(cards, {("plan", "gather"): "1.3 kg"})
    assert (len(drawn), cards["plan"].picture.value == before) == (1, False)


def test_a_box_typed_reads_the_file_no_oftener_beside_many_batches(home, monkeypatch):
    cards = a_page()
    read, table_in = [], batches.table_in
    monkeypatch.setattr(batches, "table_in", lambda *a: read.append(a) or table_in(*a))
    type_in(cards, {("plan", "gather"): "1 kg", ("plant", "basket"): "900 g"})
    read.clear()
    type_in(cards, {("plant", "basket"): "950 g"})
    alone = len(read)
    for n in range(20):
        batches.save_figures({"water": 70.0}, of=f"batch {n}")
    read.clear()
    type_in(cards, {("plant", "basket"): "970 g"})
    assert len(read) == alone
