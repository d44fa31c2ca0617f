"""What a teacher marks from: `check` accepts what the key calls right, and knows each side road by its number."""

import pytest

from herbcalc.homework import ask, item, items, key

NUMBERS = (1, 50, 99)


@pytest.mark.parametrize("at", items(), ids=lambda at: f"{at[0]}.{at[1]}")
def test_what_the_key_says_is_what_check_says(at, classes):
    for class_code in classes:
        for number in NUMBERS:
            one = item(*at, class_code, number)
            for text in key.right(one):
                assert one.check(text).verdict == "right", (one, text)
            for text, _ in key.right_too(one):
                assert one.check(text).verdict == "right", (one, text)
            for said, did in key.side_roads(one):
                for text in said.split(" or "):
                    assert one.check(text).verdict == "slip", (one, text, did)


@pytest.mark.parametrize("at", items(), ids=lambda at: f"{at[0]}.{at[1]}")
def test_nothing_is_missing_in_the_key(at):
    one, declared = item(*at, "fern7", 7), ask(*at)
    assert bool(key.right(one)) == (one.kind != "sentence")
    assert len(key.side_roads(one)) == len(
        [m for m in declared.mistakes if m.sums] if one.kind == "sum" else one.slip_answers()
    )
    assert bool(key.mended(one)) == (one.kind == "find the slip")


def test_the_smaller_end_of_the_band_comes_first():
    # 230 g of plant, 72 % water, 575 mL of 95 % vol: kitchen rule 0.95 * 2.5 / 3.22; measured, a little more.
    one = item(5, 2, "fern7", 3)
    low, high = key.right(one)
    assert low == f"{95 * 2.5 / 3.22:.1f} % vol"
    assert 0 < float(high.split()[0]) - float(low.split()[0]) < 3
