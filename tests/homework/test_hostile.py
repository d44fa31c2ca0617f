"""Any text at all gets an answer in words, at once. HERBCALC_FUZZ sets how many texts; 20,000 if it is not set."""

import os
import random
import time

from herbcalc.homework import item, items

COUNT = int(os.environ.get("HERBCALC_FUZZ", "20000"))
SLOWEST = 0.050  # seconds of processor time for one answer
VERDICTS = {"right", "say the unit", "other unit", "slip", "not yet", "unread"}
PARTS = (
    *"0123456789.,/-+:%°$ \t\n½¼¾⅓⁄−×*()[]{}'\"\\",
    *("1e308", "1e999", "-0", "nan", "inf", "0x10", "१२", "１２", "𝟙", "٣", "NaN", "Infinity", "1_000", "٫"),
    *(
        " g",
        " kg",
        " mL",
        "ml",
        " oz",
        " fl oz",
        " fl. oz.",
        " cups",
        " tbsp",
        " lb",
        "% vol",
        " %",
        " percent",
        "proof",
    ),
    *(" °F", "degC", " F", "1:5", " : ", " mL/g", " days", " h", " hours", "$5", " and ", " to ", " x ", "day "),
    *(
        "__import__('os')",
        "${HOME}",
        "{m}",
        "%s%n",
        "<script>",
        "\x00",
        "\u202e",
        "\ufeff",
        "e\u0301",
        "\ud800",
        "😀",
    ),
    *("a", "b", "c", "A B C", "abaac", "the water of the plant", "(" * 50, "9" * 60, "1/" * 40, "1 " * 60, "½" * 30),
)


def _texts(count):
    """The same texts on every run: pieces of amounts and of mischief, strung together."""
    dice = random.Random(20260302)
    for number in range(count):
        if number % 11 == 0:
            yield "".join(
                chr(dice.choice((dice.randrange(32, 127), dice.randrange(0x110000))))
                for _ in range(dice.randrange(1, 60))
            )
        elif number % 97 == 0:
            yield dice.choice(PARTS) * dice.randrange(1, 400)
        else:
            yield "".join(dice.choice(PARTS) for _ in range(dice.randrange(0, 9)))


def test_any_text_is_answered_in_words_and_at_once():
    ones = [item(*at, "fern7", 3) for at in items()]
    slowest, of = 0.0, ""
    for number, text in enumerate(_texts(COUNT)):
        one = ones[number % len(ones)]
        start = time.process_time()
        said = one.check(text, number % 5)
        took = time.process_time() - start
        if took > slowest:
            slowest, of = took, text
        assert said.verdict in VERDICTS, text
        assert isinstance(said.hint, str), text
        if said.verdict != "right":
            assert said.hint.strip(), (one, text)
        assert len(said.hint) < 4000, (one, text)
        assert len(said.read) < 80, (one, text)
    print(f"{COUNT} texts, slowest {1000 * slowest:.2f} ms: {of[:60]!r}")
    assert slowest < SLOWEST, (slowest, of)


def test_nothing_typed_is_a_right_answer_by_accident_of_reading():
    """Number words, dates and formulas are no amounts."""
    one = item(3, 2, "fern7", 3)
    right = f"{one.drawn.high:.1f}"
    for text in (f"{right} g g", f"{right} g or 5 g", f"{right} g/g", f"0 g {right}"):
        assert one.check(text).verdict != "right", text
