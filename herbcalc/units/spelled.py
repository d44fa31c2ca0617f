"""Floor 0. Numbers in words, as people say them in a kitchen: "half a pint", "two and a half cups", "a week".

Only what can be meant in one way is turned into figures; all else is left as it was typed, for the reader to refuse.
Every pattern is a plain walk over a few fixed words.
"""

from __future__ import annotations

import re

from herbcalc.units.spellings import SPELLINGS

_WORDS = ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"]
_NUMBER = {word: str(number) for number, word in enumerate(_WORDS, 1)}
_PARTS = {"half": 2, "third": 3, "quarter": 4, "eighth": 8, "thirds": 3, "quarters": 4, "eighths": 8}

_SMALL = dict(zip(_WORDS, range(1, 13), strict=True)) | {"zero": 0, "nought": 0}
_TEENS = {"thir": 13, "four": 14, "fif": 15, "six": 16, "seven": 17, "eigh": 18, "nine": 19}
_TENS = {"twen": 20, "thir": 30, "for": 40, "fif": 50, "six": 60, "seven": 70, "eigh": 80, "nine": 90}
_SIZE = {
    **_SMALL,
    **{f"{start}teen": size for start, size in _TEENS.items()},
    **{f"{start}ty": size for start, size in _TENS.items()},
}
_DIGIT = "|".join(_WORDS[:9])
_UNDER_100 = (
    rf"(?:(?:{'|'.join(_TENS)})ty(?:[ -](?:{_DIGIT})\b)?|(?:{'|'.join(_TEENS)})teen|(?:{'|'.join(_SMALL)})\b)"
)
_UNDER_1000 = rf"(?:(?:an?|{_DIGIT}) hundred(?: (?:and )?{_UNDER_100})?|{_UNDER_100})"
_SPELLED_OUT = re.compile(
    rf"\b({_UNDER_1000})(?: thousand(?:,? (?:and )?({_UNDER_1000}))?)?( point(?: (?:zero|nought|{_DIGIT}))+)?\b",
    re.IGNORECASE,
)

_AFTER_A_NUMBER = re.compile(rf"(?:\d|\b(?:{'|'.join(_SIZE)}))[ -]$")  # "one two hundred" is no number

_ONE = "(?:half|third|quarter|eighth)"
_MANY = "(?:thirds|quarters|eighths)"
_COUNT = rf"\d{{1,2}}|{'|'.join(_WORDS)}"
_OF_A = r"(?: of)?(?: an?| the)?"

_AND_A_HALF = re.compile(rf"(?:an?|one|1) ([a-z][a-z. ]{{0,20}}?) and (?:an? |one )?({_ONE})", re.IGNORECASE)
_MIXED = re.compile(
    rf"\b({_COUNT}) and (?:(?:(?:an?|one|1)[ -])?({_ONE})|({_COUNT})[ -]({_MANY}))\b{_OF_A}", re.IGNORECASE
)
_SOME = re.compile(rf"^({_COUNT})[ -]({_MANY})\b{_OF_A}", re.IGNORECASE)
_PART = re.compile(rf"^(?:(?:an?|one|1)[ -])?({_ONE})\b{_OF_A}", re.IGNORECASE)
_ARTICLE = re.compile(r"(?:^|(?<=and )|(?<=to )|(?<=\+ ))an? (?=[a-z])", re.IGNORECASE)
_A_DOZEN = re.compile(r"^an? (?=dozen\b)", re.IGNORECASE)
_DOZEN = re.compile(r"^(1/2|\d{1,2}) dozen\b", re.IGNORECASE)
_A_WORD = re.compile("[a-z]{3}", re.IGNORECASE)
# Whatever is turned into figures below holds one of these.
_A_NUMBER_WORD = re.compile(
    rf"{'|'.join(_SMALL)}|teen|ty|hundred|half|third|quarter|eighth|dozen|\ban? ", re.IGNORECASE
)
_COUNTED = re.compile(rf"(?<!\bof )(?<![^ :+,])({'|'.join(_WORDS)})(?=[ :,]|$)", re.IGNORECASE)


def in_figures(text: str, counting: bool = False) -> str:
    """The text with its number words as figures, where they say one thing.

    text      what was typed, with single spaces; numbers up to 999,999
    counting  leave "a" as it is: "a few plants" and "a hundred" are no count of one

    >>> in_figures("two and a half cups"), in_figures("half a pint"), in_figures("a quarter of a pound")
    ('2 1/2 cups', '1/2 pint', '1/4 pound')
    >>> in_figures("an hour and a half"), in_figures("a week"), in_figures("two lb four oz"), in_figures("5 g")
    ('1 1/2 hour', '1 week', '2 lb 4 oz', '5 g')
    >>> in_figures("two hundred and twelve grams"), in_figures("twenty-eight point six percent")
    ('212 grams', '28.6 percent')
    """
    if not text[:1].isalpha() and not _A_WORD.search(text):
        return text  # nearly everything that is typed
    if not _A_NUMBER_WORD.search(text):
        return text
    text = _SPELLED_OUT.sub(_in_digits, text)
    after = _AND_A_HALF.fullmatch(text)
    if after and " ".join(after.group(1).casefold().replace(".", " ").split()) in SPELLINGS:
        return f"1 {_part(1, after.group(2))} {after.group(1)}"
    text = _MIXED.sub(_mixed, text, count=1)
    text = _SOME.sub(lambda found: _part(_figure(found.group(1)), found.group(2)), text)
    text = _PART.sub(lambda found: _part(1, found.group(1)), text)
    text = (_A_DOZEN if counting else _ARTICLE).sub("1 ", text)
    text = _COUNTED.sub(lambda found: _NUMBER[found.group(1).casefold()], text)
    return _DOZEN.sub(lambda found: "6" if found.group(1) == "1/2" else str(12 * int(found.group(1))), text)


def _in_digits(found: re.Match[str]) -> str:
    """What a number of several words is in digits; one small word alone is left, for "two thirds" and "one cup"."""
    text = found.group().casefold()
    if text in _SMALL or _AFTER_A_NUMBER.search(found.string[: found.start()].casefold()):
        return found.group()
    thousands, rest, point = found.group(1), found.group(2), found.group(3)
    whole = _sum(thousands)
    if " thousand" in text:
        whole = 1000 * whole + (_sum(rest) if rest else 0)
    places = "".join(str(_SMALL[word]) for word in (point or "").casefold().split()[1:])
    return f"{whole}.{places}" if places else str(whole)


def _sum(words: str) -> int:
    """Hundreds, tens and ones, added up."""
    hundreds, found, rest = words.casefold().rpartition("hundred")
    size = 100 * _SMALL.get(hundreds.strip(), 1) if found else 0
    return size + sum(_SIZE[word] for word in re.split("[ -]", rest) if word in _SIZE)


def _figure(word: str) -> int:
    return int(_NUMBER.get(word.casefold(), word))


def _part(over: int, word: str) -> str:
    return f"{over}/{_PARTS[word.casefold()]}"


def _mixed(found: re.Match[str]) -> str:
    ones, part, over, parts = found.groups()
    return f"{_figure(ones)} {_part(1, part) if part else _part(_figure(over), parts)}"
