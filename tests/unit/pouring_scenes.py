"""Scenes into which something can be poured, and what it costs to say so."""

from scale_steps import (
    FRAGRANCE,
    WAX,
    addition_of,
    case_of,
    mg,
    us,
)

from collector.additions import Key
from collector.case import Case
from collector.expectations import Stage
from collector.pourings import (
    Pour,
    pours,
)
from collector.scene import Load, Scene

WAX_KEY, SCENT_KEY, TIP_KEY = Key(WAX, 1), Key(FRAGRANCE, 1), Key(FRAGRANCE, 1, None, tipped=True)


def with_wax(grams: float = 616.7, gone_s: float = 10.0) -> Scene:
    """A tared pitcher on the scale, with wax that has just been drawn."""
    wax = addition_of(WAX, grams, gone_s=gone_s)
    return Scene(Load.PITCHER, mg(-310), 0, stage=Stage.FRAGRANCE, open=wax)


def with_fragrance(grams: float = 49.3, gone_s: float = 40.0) -> Scene:
    fragrance = addition_of(FRAGRANCE, grams, base_g=616.7, gone_s=gone_s)
    return with_wax().closed().but(stage=Stage.BLEND, open=fragrance)


def vessel_on(scene: Scene, empty_g: float = 180.0) -> Scene:
    return scene.closed().but(load=Load.VESSEL, bare_mg=0, empty_mg=mg(empty_g))


def by_key(scene: Scene, at_s: float, case: Case) -> dict[Key, Pour]:
    return {pour.key: pour for pour in pours(scene, us(at_s), case)}


def cost(scene: Scene, key: Key, at_s: float, case: Case | None = None) -> float:
    """Return what it costs beforehand to say that something is poured now."""
    return by_key(scene, at_s, case or case_of())[key].cost


def beaker_on() -> Scene:
    away = with_wax().closed().but(away_mg=mg(926.7))
    return away.but(load=Load.BEAKER, bare_mg=0, empty_mg=mg(64))
