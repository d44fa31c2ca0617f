"""Floor 0. The spellings a person may use for a unit, and the words that are refused with a reason.

A spelling maps to a unit of the registry and how many of it make one of the word. Spellings are compared in small
letters, without dots and with single spaces.
"""

from __future__ import annotations

_PLAIN = {  # see `_spread` for how these lines are read
    "mg": "mg mgs milligram milligrams milligramme milligrammes milligramm miligramo miligramos",
    "g": "g gm gms gram grams gramme grammes gramm gramo gramos",
    "kg": "kg kgs kilo kilos kilogram kilograms kilogramme kilogrammes kilogramm kilogramo kilogramos",
    "oz": "oz ozs ounce ounces|oz wt|oz weight|weight oz|ounces by weight|oz by weight|unze|unzen|onza|onzas",
    "lb": "lb lbs pound pounds",
    "mL": "ml mls cc ccm milliliter milliliters millilitre millilitres mililitro mililitros",
    "L": "l ltr ltrs liter liters litre litres litro litros",
    "tsp": "tsp tsps teaspoon teaspoons teaspoonful teaspoonfuls teaspoonsful|tea spoon|tea spoons",
    "tbsp": "tbsp tbsps tbs tblsp tblsps tablespoon tablespoons tablespoonful tablespoonfuls tablespoonsful"
    "|table spoon|table spoons",
    "fl_oz": "floz flozs|fl oz|fl ozs|fl ounce|fl ounces|fluid oz|fluid ounce|fluid ounces|liquid ounce|liquid ounces"
    "|us fl oz|us fluid ounces|flüssigunze|flüssigunzen|onza líquida|onzas líquidas|onza liquida|onzas liquidas",
    "cup": "cup cups cupful cupfuls cupsful|us cup|us cups",
    "pint": "pt pts pint pints|us pint|us pints",
    "quart": "qt qts quart quarts|us quart|us quarts",
    "gallon": "gal gals gallon gallons|us gallon|us gallons",
    "degC": "°c c celsius centigrade celcius degc|° c|° celsius|deg c|deg celsius|degree c|degree celsius|degrees c"
    "|degrees celsius|degrees centigrade|grad c|grad celsius|grado celsius|grados celsius|grados c",
    "degF": "°f f fahrenheit degf|° f|° fahrenheit|deg f|deg fahrenheit|degree f|degree fahrenheit|degrees f"
    "|degrees fahrenheit|grad f|grad fahrenheit|grado fahrenheit|grados fahrenheit|grados f",
    "K": "kelvin kelvins",
    "s": "s sec secs second seconds sekunde sekunden segundo segundos",
    "min": "min mins minute minutes minuten minuto minutos",
    "hour": "h hr hrs hour hours std stunde stunden hora horas",
    "day": "d day days tag tage tagen día días dia dias",
    "week": "wk wks week weeks woche wochen semana semanas",
    "month": "mo mos month months monat monate monaten mes meses",
    "proof": "proof|us proof|degrees proof",
    "percent_vol": "abv|vol %|vol%|vol -%|vol-%|percent vol|volumenprozent",
    "percent_mass": "|percent mass|wt %|wt%|gewichtsprozent",
    "percent_wb": "|percent wb",
    "percent_db": "|percent db",
}
_MULTIPLES = {"cl": ("mL", 10.0), "dl": ("mL", 100.0), "year": ("month", 12.0), "years": ("month", 12.0)}

# What may stand after a percent sign.
_PERCENTS = {
    "percent_vol": "vol volume abv alc|by vol|by volume|v/v|alc/vol|alc /vol|alc vol|alc by vol|alc by volume|vol/vol"
    "|alcohol by volume|abv by volume|proof spirit by volume|strength by volume|volumen|en volumen",
    "percent_mass": "mass weight wt mas|by mass|by weight|by wt|w/w|m/m|alcohol by weight|alc by weight|wt/wt"
    "|abw|strength by weight",
    "percent_wb": "wb water moisture moist wet|wet basis|w b|moisture wet basis|water wet basis|wet weight"
    "|of the wet weight|of the fresh weight|moisture wb|water wb|water content|moisture content|wasser|agua|de agua",
    "percent_db": "db dry|dry basis|d b|dry weight|of the dry weight|of dry weight|moisture dry basis"
    "|water dry basis|moisture db",
}


def _spread(table: dict[str, str]) -> dict[str, str]:
    """Spellings to units. Words before the first bar stand alone; after it a spelling may be several words."""
    found = {}
    for unit, spellings in table.items():
        groups = spellings.split("|")
        for spelling in [*groups[0].split(), *groups[1:]]:
            found[spelling] = unit
    return found


SPELLINGS: dict[str, tuple[str, float]] = {
    **{spelling: (unit, 1.0) for spelling, unit in _spread(_PLAIN).items()},
    **_MULTIPLES,
}
PERCENTS: dict[str, str] = _spread(_PERCENTS)

# Money: signs before or after, words after, and how many of the sign's coin they are.
MONEY_SIGNS = "$£€¥"
MONEY_WORDS = {
    **dict.fromkeys(("dollar", "dollars", "pound", "pounds", "euro", "euros", "usd", "gbp", "eur"), 1.0),
    **dict.fromkeys(("cent", "cents", "c", "pence", "penny", "p", "¢"), 0.01),
}

# Words that could be read in two ways, or have no fixed size, each with what would work.
CASED = {
    "c": 'a small "c" could be a cup or a degree. Type "cup" or "°C".',
    "t": 'a small "t" could be a teaspoon or a tonne. Type "tsp", or the weight in kg.',
    "T": 'a big "T" could be a tablespoon or a tonne. Type "tbsp", or the weight in kg.',
}
_IMPERIAL = (
    "the imperial measures of the UK are larger or smaller than the US ones used here. Type it in mL: an imperial "
    "pint is 568 mL, an imperial fluid ounce 28.4 mL."
)
TIMES = (
    "hundred",
    "hundreds",
    "thousand",
    "thousands",
    "million",
    "dozen",
    "score",
    "pair",
    "pairs",
    "couple",
)  # no things to count
IMPERIAL = ("imperial", "imp", "uk", "british")
PUZZLES = {
    **dict.fromkeys(
        ("gr", "grs", "grain", "grains"),
        '"gr" could be a gram or a grain. Type "g" for grams; a grain is 64.8 mg.',
    ),
    **dict.fromkeys(("m", "ms"), '"m" could be minutes, months or metres. Type "min" or "months".'),
    **dict.fromkeys(
        ("drop", "drops", "dropper", "droppers", "dropperful", "dropperfuls"),
        "a drop has no fixed size. Type the volume in mL or tsp.",
    ),
    **dict.fromkeys(
        ("pinch", "pinches", "dash", "handful", "handfuls", "shot", "shots", "jar", "jars"),
        "that has no fixed size. Weigh it (g or oz) or measure it (mL or fl oz).",
    ),
    **dict.fromkeys(
        ("°", "deg", "degree", "degrees", "grad", "grado", "grados"), 'degrees of which scale? Type "°C" or "°F".'
    ),
    **dict.fromkeys(
        ("metric cup", "metric cups", "dessertspoon", "dessertspoons"),
        "that measure differs from place to place. Type it in mL.",
    ),
    **dict.fromkeys(
        (
            *("el", "tl", "esslöffel", "teelöffel", "tasse", "tassen", "pfund", "libra", "libras"),
            *("cucharada", "cucharadas", "cucharadita", "cucharaditas", "taza", "tazas"),
        ),
        "that measure differs from country to country. Type it in mL or g, or in tsp, tbsp, cups or lb.",
    ),
    **dict.fromkeys(
        ("st", "stone", "stones", "ton", "tons", "tonne", "tonnes"),
        "that is not a kitchen weight. Type it in kg or lb.",
    ),
    **dict.fromkeys(
        ("w/v", "v/w", "m/v", "% w/v", "% v/w", "% m/v"),
        'that mixes weight and volume. Type a ratio such as "1:5", or "5 mL/g".',
    ),
    "imperial": _IMPERIAL,
}
