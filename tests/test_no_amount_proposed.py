"""No text of the workbook proposes an amount to take: one is typed by a person, from a teacher or a practitioner.

Read are the notebooks with what they have stored, the teacher's pages, the scenes, every string of the program
(prompts and hints, cards, refusals; what is put into them stands as {}), the sums of homework as a student sees them,
and what the panels say of their scenes.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from herbcalc import homework
from herbcalc.rules import Rules
from herbcalc.show.here import modules
from herbcalc.show.story import scenes
from herbcalc.units.refusals import Impossible, OutOfRange

ROOT = Path(__file__).resolve().parent.parent

N = r"(?:\{\}|\d[\d.,/½¼¾]*|\b(?:an?|one|two|three|four|five|ten|twenty|thirty|half an?|a few|some|several))"
SPOON = r"(?:drops?|dropper\w*|tsp|tbsp|teaspoon\w*|tablespoon\w*|spoon\w*|capsules?|sips?|cup\w*)"
SMALL = rf"(?:{SPOON}|mL|ml|fl oz)"
OFTEN = (
    r"(?:times (?:a|each|per|every) day|(?:a|each|per|every) day|daily|(?<!at )once|twice|thrice"
    r"|in the (?:morning|evening)|before bed|at night)"
)
PROPOSES = [
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        rf"\b(?:take|swallow|sip|drink)\b (?:\w+ ){{0,2}}?{N} (?:(?:to|or) {N} )?{SPOON}\b",
        rf"\b(?:take|swallow|sip|drink|give)\b [^.;:]{{0,40}}\b{OFTEN}\b",
        rf"{N} (?:(?:to|or) {N} )?{SMALL}\b[^.;:?]{{0,30}}\b{OFTEN}\b",
        r"\b(?:usual|normal|typical|average|recommended|safe|adult|child's|starting|most|daily) dos(?:e|es|ages?)\b",
        rf"\bdos(?:e|es|age) (?:is|are|of|:) ?(?:about )?{N}",
        r"\b(?:doses?|dosages?|amounts?) for (?:an? )?(?:adults?|child(?:ren)?|men|women)\b",
        rf"\b{N} {SMALL} (?:is|are) (?:enough|plenty|safe|right) for\b",
    )
]


def proposal(text: str) -> str:
    """The words of a text that propose an amount, "" where none do. An invented order that says so is a sum."""
    plain = " ".join(re.sub(r"<[^>]+>", " ", text).split())
    if "invented" in plain and "no advice" in plain:
        return ""
    return next((found.group() for pattern in PROPOSES if (found := pattern.search(plain))), "")


@pytest.mark.parametrize(
    "text",
    [
        "Take 30 drops.",
        "Take about two to three teaspoons of it.",
        "Take {} drops in water.",
        "The usual dose is small.",
        "30 drops, three times a day",
        "{} drops {} times a day",
        "5 mL daily",
        "1/2 tsp in a glass of water, twice",
        "A dropperful before bed helps.",
        "The dose is 3 mL.",
        "Dosage for children: half.",
        "Drink a cup in the morning.",
        "Give the tincture twice daily.",
        "10 mL is enough for anybody.",
        "Our story is invented. Take 30 drops.",
    ],
)
def test_a_proposal_is_known_when_seen(text):
    assert proposal(text)


@pytest.mark.parametrize(
    "text",
    [
        "The soak takes 143 g and 714 mL.",
        "Count the drops: 20 drops a minute.",
        "Take 100 mL (3 1/2 fl oz) in the bottle: what does each way pour?",
        "No amount is typed yet. It comes from your teacher or a qualified practitioner; none is proposed here.",
        "In the story, which is invented and no advice, somebody types {} drops each time, {} times a day.",
        "One standard drink is in 35.5 mL of it.",
        "How many drops make 1 mL?",
        "Weigh it once a day until it stays the same.",
    ],
)
def test_what_proposes_nothing_is_let_be(text):
    assert proposal(text) == ""


def strings(path: Path) -> Iterator[str]:
    """Every string of a module, joined as Python joins them; what is put in by the program stands as {}."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield re.sub(r"\{[^{}]*\}", "{}", node.value)
        elif isinstance(node, ast.JoinedStr):
            parts = (part.value if isinstance(part, ast.Constant) else "{}" for part in node.values)
            yield re.sub(r"\{\w+\}", "{}", "".join(parts))


def in_notebook(path: Path) -> Iterator[str]:
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        yield "".join(cell["source"])
        for output in cell.get("outputs", []):
            for said in (output.get("text", ""), *output.get("data", {}).values()):
                text = said if isinstance(said, str) else "".join(said)
                yield re.sub(r"data:image/[^\"']+", "", text)


def files() -> dict[str, list[str]]:
    """Where each text stands, and the texts."""
    found = {}
    for path in sorted(ROOT.glob("herbcalc/**/*.py")):
        found[path.relative_to(ROOT).as_posix()] = list(strings(path))
    for path in sorted([*ROOT.glob("workbook/**/*.ipynb"), *ROOT.glob("exercises/*.ipynb")]):
        found[path.relative_to(ROOT).as_posix()] = list(in_notebook(path))
    pages = [*ROOT.glob("*.md"), *ROOT.glob("workbook/teacher/*.md"), *ROOT.glob("herbcalc/data/**/*.toml")]
    for path in sorted([*pages, *ROOT.glob("herbcalc/**/*.js"), *ROOT.glob("herbcalc/data/**/*.html")]):
        found[path.relative_to(ROOT).as_posix()] = path.read_text(encoding="utf-8").split("\n\n")
    return found


def test_no_text_of_the_workbook_proposes_an_amount():
    read = files()
    assert sum(map(len, read.values())) > 5000, "something was read"
    assert {"herbcalc/data/story.toml", "README.md", "herbcalc/show/card/label.py"} <= set(read)
    said = [
        (where, words, text[:160]) for where, texts in read.items() for text in texts if (words := proposal(text))
    ]
    assert not said, said


def test_the_words_of_an_invented_order_are_found_without_the_line_that_says_so():
    """The prompts with an order are let be for that line alone: without it each is found."""
    ordered = [homework.item(12, n, "fern7", 3).prompt for n in (2, 4, 5)]
    for prompt in ordered:
        assert "invented and no advice" in prompt
        assert "typed" in prompt or "types" in prompt
        assert proposal(prompt.replace("invented", "told"))


@pytest.mark.parametrize("at", homework.items(), ids=lambda at: f"{at[0]}.{at[1]}")
def test_no_sum_of_homework_proposes_an_amount(at):
    for number in (3, 40):
        one = homework.item(*at, "fern7", number)
        texts = [one.prompt, *one.choices, *one.worked(4), *one.points]
        for typed in one.slip_answers().values():
            said = one.check(typed)
            texts += [said.hint, said.consequence]
        assert [t for t in texts if proposal(t)] == []


def test_no_scene_says_one():
    rules, looked = Rules(), 0
    for module in modules():
        for scene in scenes(module, rules):
            texts = [scene.question, scene.teacher, module.CAUTION]
            try:
                look = module.look(scene.setting, rules)
            except (Impossible, OutOfRange) as refusal:
                texts.append(str(refusal))
            else:
                texts += [
                    look.sentence,
                    look.alt,
                    look.given,
                    *look.ways_out,
                    *(n.value + n.note for n in look.numbers),
                ]
                texts += [cell for row in look.table for cell in row]
            looked += len(texts)
            assert [t for t in texts if proposal(t)] == []
    assert looked > 500


def test_who_must_ask_first_stands_beside_every_amount_of_a_day():
    told = [homework.item(*at, "fern7", 3).prompt for at in homework.items()]
    daily = [prompt for prompt in told if "times a day" in prompt]
    assert len(daily) == 3
    for who in (
        "pregnancy",
        "nursing",
        "child",
        "liver",
        "surgery",
        "recovery",
        "medicine",
        "qualified person first",
    ):
        assert all(who in prompt for prompt in daily), who
