"""What a recipe leaves unwatched about heat, said before the first lot is made of it."""

from collector.recipes import Recipe

NO_HIGHEST = (
    "Without the temperature that the wax must never pass, no lot of this recipe is warned of"
    " overheating. It is on the wax maker's sheet."
)
NO_FLASH_POINT = (
    "Without the flash point of the fragrance, nobody checks that it is added below it. It is on"
    " the supplier's safety data sheet."
)
NO_ADD_WINDOW = (
    "Without a window for the fragrance, nobody is warned when it goes in too hot or too cool."
)
NO_POUR_WINDOW = (
    "Without a window for the pour, nobody is warned when it begins too hot or too cool."
)


def cautions(recipe: Recipe) -> tuple[str, ...]:
    """Return a sentence for each temperature that the recipe does not give."""
    missing = (
        (recipe.wax.never_above_mdegc, NO_HIGHEST),
        (recipe.fragrance.flash_point_mdegc, NO_FLASH_POINT),
        (recipe.fragrance.add_between, NO_ADD_WINDOW),
        (recipe.pour_between, NO_POUR_WINDOW),
    )
    return tuple(sentence for given, sentence in missing if given is None)
