"""How complaints about a recipe write its numbers: exact, so that they can be found in the file."""


def grams(mass_mg: int) -> str:
    """Write a mass given in 0.001 g."""
    return f"{mass_mg / 1000:.10g} g"


def celsius(mdegc: int) -> str:
    """Write a temperature given in 0.001 °C."""
    return f"{mdegc / 1000:.10g} °C"


def percent(ppm: int) -> str:
    """Write a share given in parts per million."""
    return f"{ppm / 10_000:.10g} %"


def seconds(us: int) -> str:
    """Write a duration given in microseconds."""
    return f"{us / 1_000_000:.10g} s"
