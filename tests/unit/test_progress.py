"""How far a lot has come, also where something told turned out otherwise."""

from scale_steps import FILL, FRAGRANCE, WAX, targets_of

from collector.expectations import Stage
from collector.progress import Progress


def blended() -> Progress:
    """Wax and fragrance were weighed."""
    progress = Progress(targets_of())
    progress.weighed(WAX, 616_700, None)
    progress.weighed(FRAGRANCE, 49_300, None)
    return progress


def test_weighings_lead_from_stage_to_stage() -> None:
    progress = blended()
    assert progress.stage is Stage.BLEND
    progress.began(FILL)
    progress.weighed(FILL, 220_000, 1)
    assert (progress.stage, progress.filled) == (Stage.POUR, 1)


def test_without_its_fills_a_pour_has_not_begun() -> None:
    progress = blended()
    progress.began(FILL)
    progress.weighed(FILL, 220_000, 1)
    progress.withdrawn(FILL, 0)
    assert (progress.stage, progress.filled) == (Stage.BLEND, 0)


def test_a_fill_that_had_only_begun_leaves_the_pour_to_come() -> None:
    progress = blended()
    progress.began(FILL)
    progress.not_begun(FILL)
    assert progress.stage is Stage.BLEND


def test_without_its_fragrance_a_pitcher_waits_for_it() -> None:
    progress = blended()
    progress.withdrawn(FRAGRANCE, 0)
    assert (progress.stage, progress.fragrance_mg) == (Stage.FRAGRANCE, None)


def test_without_its_wax_a_pitcher_is_empty() -> None:
    progress = Progress(targets_of())
    progress.weighed(WAX, 616_700, None)
    progress.withdrawn(WAX, 0)
    assert (progress.stage, progress.wax_mg) == (Stage.WAX, None)
