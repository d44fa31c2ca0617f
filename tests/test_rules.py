"""House rules: one table, a teacher's sheet over it, everything within bounds and refused in a sentence."""

import dataclasses
import re

import pytest

from herbcalc.rules import Rules, load
from herbcalc.units import OutOfRange, WrongUnit


def sheet(folder, text):
    (folder / "class.toml").write_text(text, encoding="utf-8")
    return load(folder)


def test_defaults():
    rules = Rules()
    assert (rules.floor, rules.cover, rules.retained) == (35.0, 6.35, 1.5)
    assert (rules.retained, rules.retained_by_hand, rules.retained_pressed) == (1.5, 1.6, 0.8)
    assert (rules.dried_to, rules.ratio_reading, rules.currency) == (10.0, "added", "$")
    assert (rules.retained_oil, rules.cold_days, rules.wax_soft, rules.wax_firm) == (2.0, 4.0, 0.116, 0.2)
    assert (rules.leaf_share, rules.stand_share, rules.hemisphere) == (1 / 3, 0.1, "north")
    assert rules.shelf == (40.0, 50.0, 75.5, 95.0)
    with pytest.raises(dataclasses.FrozenInstanceError):
        rules.floor = 20.0


def test_every_rule_says_what_it_is():
    for rule in dataclasses.fields(Rules):
        assert rule.metadata["label"]
        assert rule.metadata["sentence"].endswith(".")
        if "low" in rule.metadata:
            assert rule.metadata["low"] <= rule.default <= rule.metadata["high"]
            for end in ("low", "high"):
                assert getattr(Rules(**{rule.name: rule.metadata[end]}), rule.name) == rule.metadata[end]
    lines = Rules().lines()
    assert len(lines) == len(dataclasses.fields(Rules))
    assert "not found in print" in lines[0]
    assert any("6.35 mm (1/4 in)" in line for line in lines)
    assert sum("no source" in line for line in lines) >= 3


def test_no_file_means_the_defaults(tmp_path, monkeypatch):
    assert load(tmp_path) == Rules()
    assert load(tmp_path / "nowhere") == Rules()
    monkeypatch.setenv("HERBCALC_HOME", str(tmp_path))
    assert load() == Rules()
    (tmp_path / "class.toml").write_text("[rules]\nfloor = 30\n")
    assert load().floor == 30.0


def test_a_teachers_sheet(tmp_path):
    top = 'class = "fern"\ncurrency = "£"\nshelf = [95, 40, 43.5]\n'
    rules = sheet(tmp_path, top + '[rules]\nfloor = 25\ndried_to = 8\nratio_reading = "dry"\n')
    assert (rules.floor, rules.dried_to, rules.ratio_reading) == (25.0, 8.0, "dry")
    assert (rules.currency, rules.shelf) == ("£", (40.0, 43.5, 95.0))
    assert rules.cover == 6.35
    assert isinstance(rules.floor, float)


def test_a_sheet_saved_on_another_system(tmp_path):
    (tmp_path / "class.toml").write_bytes(b"\xef\xbb\xbf[rules]\r\nfloor = 30\r\n")
    assert load(tmp_path).floor == 30.0


@pytest.mark.parametrize(
    ("text", "refusal", "words"),
    [
        ("[rules]\nfloor = 3", OutOfRange, ("floor", "3 % vol", "20 % vol", "60 % vol", "35 % vol")),
        ("[rules]\nfloor = 61", OutOfRange, ("floor", "61 % vol")),
        ("[rules]\nfloor = nan", OutOfRange, ("floor", "no number")),
        ("[rules]\nfloor = -inf", OutOfRange, ("floor", "no number")),
        ("[rules]\ncover = 60", OutOfRange, ("cover", "60 mm (2 1/4 in)", "50 mm (2 in)")),
        ("[rules]\nretained = 33", OutOfRange, ("retained", "from 0.1 mL")),
        ("[rules]\nretained = 20", OutOfRange, ("retained", "5 mL for each g")),
        ('[rules]\nfloor = "35 %"', WrongUnit, ("floor", "without quotes", "20 % vol")),
        ("[rules]\nfloor = true", WrongUnit, ("floor", "a number")),
        ("[rules]\nfloor = " + "9" * 400, WrongUnit, ("floor", "a number")),
        ("[rules]\nleaf_share = 33", OutOfRange, ("leaf_share", "33.3 of every 100", "0 of every 100")),
        ('[rules]\nstand_share = "1/10"', WrongUnit, ("stand_share", "a share of 1", "100 of every 100")),
        ("[rules]\ncold_days = 14", OutOfRange, ("cold_days", "14 days", "2 days", "7 days")),
        ('[rules]\ncold_days = "4"', WrongUnit, ("cold_days", "in days")),
        ("[rules]\nsoak_days = 10.5", WrongUnit, ("soak_days", "a whole number in days", "365 days")),
        ("[rules]\nsoak_days = 0", OutOfRange, ("soak_days", "1 day", "28 days")),
        ("[rules]\nmoisture_off = 50", OutOfRange, ("moisture_off", "50 points", "20 points", "5 points")),
        ('[rules]\nmoisture_off = "5"', WrongUnit, ("moisture_off", "of points")),
        ("[rules]\njug_off = 3", OutOfRange, ("jug_off", "3 of every 100")),
        ("[rules]\nscale_off = 0", OutOfRange, ("scale_off", "1 g")),
        ("[rules]\nwax_firm = 20", OutOfRange, ("wax_firm", "50 of every 100")),
        ('[rules]\nhemisphere = "east"', WrongUnit, ("hemisphere", "'north', 'south'")),
        ("[rules]\nfloors = 30", WrongUnit, ('"floors"', "floor, cover")),
        ("[rules]\nshelf = [40]", WrongUnit, ("shelf", "above the line [rules]")),
        ("rules = 3", WrongUnit, ("[rules]",)),
        ('[rules]\nratio_reading = "wet"', WrongUnit, ("ratio_reading", "'finished'")),
        ("[rules]\nratio_reading = [1]", WrongUnit, ("ratio_reading",)),
        ("shelf = [40, 150]", OutOfRange, ("shelf", "150 % vol", "97 % vol")),
        ("shelf = []", WrongUnit, ("shelf", "list")),
        ("shelf = 40", WrongUnit, ("shelf", "list")),
        ('shelf = ["40"]', WrongUnit, ("shelf", "list")),
        ('currency = "dollars"', WrongUnit, ("currency", '"€"')),
        ("currency = 5", WrongUnit, ("currency",)),
        ("this is no sheet", WrongUnit, ("line 1",)),
        ("[rules]\nfloor = 30\nfloor = 31", WrongUnit, ("cannot be read",)),
        ("a = " + "[" * 5000, WrongUnit, ("cannot be read",)),
    ],
)
def test_refused_by_name(tmp_path, text, refusal, words):
    with pytest.raises(refusal) as refused:
        sheet(tmp_path, text)
    said = str(refused.value)
    for word in ("class.toml", *words):
        assert word in said
    assert said.endswith(".")
    assert not re.search(r"\b(error|invalid|wrong)\b", said.replace(str(tmp_path), ""), re.IGNORECASE)


def test_a_file_of_another_sort(tmp_path):
    (tmp_path / "class.toml").write_bytes(b"\xff\xfe\x00\x01")
    with pytest.raises(WrongUnit, match="not plain text"):
        load(tmp_path)
    (tmp_path / "class.toml").unlink()
    (tmp_path / "class.toml").mkdir()
    with pytest.raises(WrongUnit, match="cannot be read"):
        load(tmp_path)


def test_rules_made_by_hand_are_checked_too():
    with pytest.raises(OutOfRange, match="floor"):
        Rules(floor=99)
    assert Rules(shelf=[50, 40]).shelf == (40.0, 50.0)


def test_a_rule_above_the_heading_is_not_passed_over(tmp_path):
    (tmp_path / "class.toml").write_text('class = "fern7"\nfloor = 30\n', encoding="utf-8")
    with pytest.raises(WrongUnit, match=r'class\.toml: "floor" is a house rule\. Write it below a line'):
        load(tmp_path)
