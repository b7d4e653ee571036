"""A load of fragrance on the one basis and on the other, and the limits that it must keep.

With load f, wax W and fragrance F: f of the wax is F / W, f of the total is F / (W + F). Hence
f of the wax is f / (1 + f) of the total, and f of the total is f / (1 - f) of the wax.
"""

from fractions import Fraction

import msgspec

from collector.recipes import PPM, FragranceSpec, LoadOf, WaxSpec


class LoadLimit(msgspec.Struct, frozen=True):
    """The most fragrance that somebody allows, and a load counted on the same basis; ppm."""

    by: str
    basis: LoadOf
    most_ppm: int
    load: Fraction

    @property
    def kept(self) -> bool:
        """Whether the load is within the limit."""
        return self.load * PPM <= self.most_ppm

    @property
    def load_ppm(self) -> int:
        """The load as a whole number of parts per million, for screens and messages."""
        return round(self.load * PPM)


def load_on(basis: LoadOf, load: Fraction, load_of: LoadOf) -> Fraction:
    """Return a load, given of `load_of`, as a share of `basis`."""
    if basis is load_of:
        return load
    return load / (1 - load) if basis is LoadOf.WAX else load / (1 + load)


def load_limits(
    wax: WaxSpec, fragrance: FragranceSpec, load: Fraction | None = None
) -> tuple[LoadLimit, ...]:
    """Return every limit of a recipe with its load, or with another `load` of the same basis."""
    if load is None:
        load = Fraction(fragrance.load_ppm, PPM)
    allowed = (
        ("the wax maker", wax.most_of, wax.most_ppm),
        ("the fragrance's IFRA certificate", LoadOf.TOTAL, fragrance.ifra_limit_ppm),
    )
    return tuple(
        LoadLimit(by, basis, most_ppm, load_on(basis, load, fragrance.load_of))
        for by, basis, most_ppm in allowed
        if most_ppm is not None
    )
