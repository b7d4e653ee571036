"""How people and instruments write units, and the name by which pint knows each.

pint alone reads "20 C" as coulombs, "20 F" as farads, "1 G" as gauss and does not know "KG".
Spellings here are compared without regard to case, dots or doubled spaces, so only those are
listed whose meaning does not change with case: "mg" and "Mg" differ and stay with pint.
"""

from collections.abc import Mapping


def _by_spelling(spellings: Mapping[str, str]) -> dict[str, str]:
    """Turn {pint name: "spelling | spelling"} around into {spelling: pint name}."""
    return {
        spelling.strip(): unit
        for unit, together in spellings.items()
        for spelling in together.split("|")
    }


_CELSIUS = (
    "c | °c | ° c | degc | deg c | celsius | centigrade"
    " | degree celsius | degrees celsius | degree c | degrees c"
)
_FAHRENHEIT = (
    "f | °f | ° f | degf | deg f | fahrenheit"
    " | degree fahrenheit | degrees fahrenheit | degree f | degrees f"
)
_KELVIN = "k | kelvin | kelvins"

TEMPERATURES = _by_spelling(
    {"degree_Celsius": _CELSIUS, "degree_Fahrenheit": _FAHRENHEIT, "kelvin": _KELVIN}
)
TEMPERATURE_DIFFERENCES = _by_spelling(
    {
        "delta_degree_Celsius": f"{_CELSIUS} | {_KELVIN} | delta degc",
        "delta_degree_Fahrenheit": f"{_FAHRENHEIT} | delta degf",
    }
)
MASSES = _by_spelling(
    {
        "gram": "g | gm | gms | gram | grams",
        "kilogram": "kg | kgs | kilo | kilos | kilogram | kilograms",
        "milligram": "milligram | milligrams",
        # An ounce is the avoirdupois ounce unless it says otherwise (NIST Handbook 44, App. C).
        "ounce": "oz | ozs | ounce | ounces | avoirdupois ounce",
        "pound": "lb | lbs | pound | pounds",
        "troy_ounce": "ozt | oz t | t oz | toz | troy oz | troy ounce | troy ounces",
        "grain": "gn | grain | grains",
        "pennyweight": "dwt | pennyweight | pennyweights",
        "carat": "ct | carat | carats",
        "metric_ton": "t | tonne | tonnes | metric ton | metric tons",
    }
)
VOLUMES = _by_spelling(
    {
        "milliliter": "ml | milliliter | milliliters | millilitre | millilitres | cc",
        "liter": "l | liter | liters | litre | litres",
        # Without a country it is the US one (NIST Handbook 44, App. C): 29.5735295625 mL.
        "fluid_ounce": (
            "fl oz | floz | fluid oz | fluid ounce | fluid ounces"
            " | us fl oz | us floz | us fluid ounce | us fluid ounces"
        ),
        "imperial_fluid_ounce": (
            "uk fl oz | uk floz | uk fluid ounce | uk fluid ounces"
            " | imp fl oz | imperial fl oz | imperial fluid ounce | imperial fluid ounces"
        ),
    }
)
DURATIONS = _by_spelling(
    {
        "second": "s | sec | secs | second | seconds",
        "minute": "min | mins | minute | minutes",
        "hour": "h | hr | hrs | hour | hours",
        "day": "d | day | days",
        "week": "week | weeks",
        "year": "year | years | yr",
    }
)
FRACTIONS = _by_spelling(
    {
        "percent": "% | percent | per cent | pct",
        "permille": "‰ | permille | per mille",
        "ppm": "ppm",
    }
)
HUMIDITIES = _by_spelling({"percent": "%rh | % rh | rh | % | percent"})
PRESSURES = _by_spelling(
    {
        "pascal": "pa | pascal | pascals",
        "hectopascal": "hpa",
        "kilopascal": "kpa",
        "millibar": "mbar",
        "inch_Hg": "inhg",
    }
)

DENSITIES = _by_spelling(
    {
        "gram / milliliter": "g/ml | g/cm3 | g/cm³ | g/cm^3 | g/cc | grams/ml",
        "kilogram / liter": "kg/l | kg/dm3 | kg/dm³",
        "kilogram / meter ** 3": "kg/m3 | kg/m³ | kg/m^3",
        "ounce / fluid_ounce": "oz/fl oz | oz/floz | oz/us fl oz | oz/fluid ounce",
        "ounce / imperial_fluid_ounce": "oz/uk fl oz | oz/imp fl oz",
    }
)
SIZES = _by_spelling(
    {
        "byte": "b | byte | bytes",
        "megabyte": "mb | megabyte | megabytes",
        "gigabyte": "gb | gigabyte | gigabytes",
        "terabyte": "tb | terabyte | terabytes",
        "mebibyte": "mib | mebibyte | mebibytes",
        "gibibyte": "gib | gibibyte | gibibytes",
    }
)
TEMPERATURE_RATES = {
    f"{degree}/{time}": f"{unit} / {per}"
    for degree, unit in TEMPERATURE_DIFFERENCES.items()
    for time, per in DURATIONS.items()
}

_SAME_SIGN = str.maketrans({"º": "°", "˚": "°", "℃": "°C", "℉": "°F", "\N{MINUS SIGN}": "-"})


def with_plain_signs(text: str) -> str:
    """Return the text with look-alike degree and minus signs as one sign, and single spaces."""
    return " ".join(text.translate(_SAME_SIGN).split())
