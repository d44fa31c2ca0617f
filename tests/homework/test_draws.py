"""Own numbers are the same on every machine: the rule written out, and a digest of all draws by edition."""

import hashlib

import pytest

from herbcalc.homework import ask, item, items
from herbcalc.homework.draws import Seat, normal_form
from herbcalc.units.refusals import OutOfRange

# A digest of everything that is drawn, by item and edition. Changing what an item draws means raising its edition
# (in the lesson's module) and writing the new line here; the old answers in result files then keep their own edition.
PINNED = {
    "1.1 edition 1": "bc62c9fa155e37ea",
    "1.2 edition 1": "14c59da1c106ac78",
    "1.3 edition 1": "d40a1b7d4441dfd0",
    "1.4 edition 1": "8039f824ede76ea0",
    "1.5 edition 1": "f54a44ed57090c10",
    "1.6 edition 1": "adfa9941534b73f3",
    "1.7 edition 1": "2de4fe3371062080",
    "1.8 edition 1": "d5ca67ab73a8db55",
    "2.1 edition 1": "1ea79f37597b023d",
    "2.2 edition 2": "57bb6ec6e9ccad95",
    "2.3 edition 2": "0e5be591f8eb8cc1",
    "2.4 edition 2": "956f7c88020967fb",
    "2.5 edition 1": "a05b67053ea75e78",
    "2.6 edition 2": "de62e2238551849a",
    "2.7 edition 1": "787374502ba8984c",
    "3.1 edition 1": "4668c9d9f3e36907",
    "3.2 edition 1": "d5beb4650f9850b4",
    "3.3 edition 1": "939d1b1312348eb6",
    "3.4 edition 1": "9389109e26e8c224",
    "3.5 edition 1": "f90d70f72f60838c",
    "3.6 edition 3": "a66a1ede0bb27f08",
    "3.7 edition 3": "21e7990774fbc995",
    "3.8 edition 1": "47fc73df70d0be72",
    "3.9 edition 1": "71287fa7e38384c4",
    "3.10 edition 1": "d396698785b845b3",
    "3.11 edition 1": "12eb4b237a29e2d2",
    "3.12 edition 1": "2f4fb0df5d48fa61",
    "4.1 edition 1": "640ab3b28b640687",
    "4.2 edition 1": "2ba6b9d71e2bc95b",
    "4.3 edition 1": "a9cb28c031e58e5b",
    "4.4 edition 3": "44f20c88b98e2bf7",
    "4.5 edition 1": "8a4334ea6975e7c5",
    "4.6 edition 2": "fab6b80d30b116bd",
    "4.7 edition 1": "b66940c921a86868",
    "4.8 edition 1": "4c22aa7ce8732660",
    "5.1 edition 1": "40a78ed258fc1056",
    "5.2 edition 1": "44f9c58a1fb2e1d5",
    "5.3 edition 2": "ecd4c55b04e620bc",
    "5.4 edition 2": "b3447ebcedace469",
    "5.5 edition 1": "5bf901833059f8ba",
    "5.6 edition 3": "e258e7958c7df354",
    "5.7 edition 3": "718fbc081148b8e6",
    "5.8 edition 1": "5ba8882c875b5287",
    "6.1 edition 1": "d0e52b7b0254d8d5",
    "6.2 edition 1": "635b3e035bea79a5",
    "6.3 edition 1": "3ff0088bb1c75c43",
    "6.4 edition 1": "036411c1c0f43bba",
    "6.5 edition 2": "3bd31b5148551afd",
    "6.6 edition 3": "75428995d6595b90",
    "6.7 edition 1": "11887e619c4f2ef8",
    "6.8 edition 1": "f447ba06dd89e12a",
    "7.1 edition 1": "37a1f1759f194ab3",
    "7.2 edition 1": "843c9614f02b24d6",
    "7.3 edition 1": "ad55b9a543b15100",
    "7.4 edition 2": "e2a9133b447614dc",
    "7.5 edition 1": "dfbd8d88c9d46fb5",
    "7.6 edition 1": "f8984206b453dc36",
    "7.7 edition 1": "21f1bd1763f8acfd",
    "7.8 edition 1": "1f2fb22fde2f2688",
    "8.1 edition 1": "1f00a030bc12e480",
    "8.2 edition 2": "da0aa3a0bccb3d9f",
    "8.3 edition 2": "d553d264263c5feb",
    "8.4 edition 2": "d7418465a5fa5498",
    "8.5 edition 1": "1fd5f91d3540a61e",
    "8.6 edition 2": "982c684946ac5a54",
    "8.7 edition 1": "ca21810ced03c2cb",
    "8.8 edition 2": "c8f49ee01bb3db02",
    "9.1 edition 2": "db3d4c4ed9250989",
    "9.2 edition 2": "6c8f27cc27a19b7c",
    "9.3 edition 2": "0416ea6a3aa9f70f",
    "9.4 edition 3": "ef4badae2a19e234",
    "9.5 edition 1": "ceb4352a02c23c78",
    "9.6 edition 2": "4fe631b138a5c043",
    "10.1 edition 1": "1f95c2e4b977822f",
    "10.2 edition 1": "e7cda98499d517fd",
    "10.3 edition 1": "a00e263434a7fc55",
    "10.4 edition 1": "596c27bb6a8d1f5a",
    "10.5 edition 1": "50077542dcdd3b21",
    "10.6 edition 1": "a5bc7ba11be3dc79",
    "10.7 edition 1": "795b1302a3d2c5eb",
    "10.8 edition 1": "5bd505d36b959a21",
    "11.1 edition 1": "f023b83a412932ff",
    "11.2 edition 1": "8935260aec75a6e0",
    "11.3 edition 1": "d5b24151a2cc669f",
    "11.4 edition 1": "f388941da8679aea",
    "11.5 edition 1": "fc8cb85d95e9082c",
    "11.6 edition 1": "8ca6b450f761858d",
    "13.1 edition 1": "becf54eb7eb5f945",
    "13.2 edition 1": "cd0f9957c087ebf6",
    "13.3 edition 1": "e79aff69fe23843c",
    "13.4 edition 1": "87e2f2c33baf5108",
    "13.5 edition 1": "08c1afa325f45585",
    "13.6 edition 1": "1a7a84c9bbc95b8f",
    "12.1 edition 1": "c9006c2fe3be4cb3",
    "12.2 edition 1": "a510f4ad7cd853d1",
    "12.3 edition 1": "43486021664e369d",
    "12.4 edition 1": "6a86d22671528215",
    "12.5 edition 1": "66760837875756af",
    "12.6 edition 1": "67f42b7c8fc40737",
    "12.7 edition 1": "6fa44eb1df0ef321",
}


def _digest(at, classes):
    found = hashlib.sha256()
    for class_code in classes:
        for number in range(1, 100):
            drawn = item(*at, class_code, number).drawn
            values = ",".join(f"{name}={value:.9g}" for name, value in sorted(drawn.values.items()))
            found.update(f"{normal_form(class_code)}|{number}|{drawn.attempt}|{values}\n".encode())
    return found.hexdigest()[:16]


@pytest.mark.parametrize("at", items(), ids=lambda at: f"{at[0]}.{at[1]}")
def test_draws_are_pinned(at, classes):
    key = f"{at[0]}.{at[1]} edition {ask(*at).edition}"
    assert PINNED.get(key) == _digest(at, classes), f"    {key!r}: {_digest(at, classes)!r},"


def test_the_rule_of_a_draw_written_out():
    line = b"herbcalc|1|fern7|3|5.2|1|1|m"
    place = int.from_bytes(hashlib.sha256(line).digest()[:8], "big") % 35
    assert Seat(1, "fern7", 3, "5.2", 1).place(1, "m", 35) == place


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("Fern 7", "fern7"), ("fern-7", "fern7"), ("ＦＥＲＮ７", "fern7"), ("Straße 2", "strasse2"), ("É té", "été")],
)
def test_class_codes_have_one_spelling(typed, kept):
    assert normal_form(typed) == kept
    assert normal_form(kept) == kept


@pytest.mark.parametrize("typed", ["", "  ", "--", "a" * 61, None, 7])
def test_a_class_code_needs_something(typed):
    with pytest.raises(OutOfRange, match="fern7"):
        normal_form(typed)


@pytest.mark.parametrize("number", [0, 100, -1, True, "3", 2.0, None])
def test_own_numbers_run_from_1_to_99(number):
    with pytest.raises(OutOfRange, match="1 to 99"):
        item(5, 1, "fern7", number)


@pytest.mark.parametrize(
    ("lesson", "number"), [(0, 1), (99, 1), (5, 0), (5, 9), (True, 1), ("5", 1), (5.0, 1), (5, 1.0)]
)
def test_items_that_do_not_exist_are_refused_in_a_sentence(lesson, number):
    with pytest.raises(OutOfRange, match="would work"):
        item(lesson, number, "fern7", 3)


@pytest.mark.parametrize("go", [0, -1, True, "2", 1.5])
def test_a_go_counts_from_1(go):
    with pytest.raises(OutOfRange, match="whole number"):
        item(5, 1, "fern7", 3, go)
