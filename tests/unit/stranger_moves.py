"""The single moves of people at a scale: draw, scent, take away, fill; none is any simulator's."""

from stranger_round import Round

from collector.conclusions import WeighingKind

PITCHER_G, HAND_G, BEAKER_G = 310.0, 850.0, 64.0


# ---------------------------------------------------------------- drawing wax


def draw_out_of_sight(now: Round) -> None:
    now.empty_g = now.away_g = now.script.level_g
    now.pour_wax()


def draw_tared(now: Round) -> None:
    now.to(now.script.level_g + PITCHER_G)
    now.to(0.0)
    now.empty_g, now.away_g = 0.0, -PITCHER_G
    now.pour_wax()


def draw_untared(now: Round) -> None:
    now.away_g = now.script.level_g
    now.to(now.away_g + PITCHER_G)
    now.empty_g = now.script.level_g
    now.pour_wax()


def draw_elsewhere(now: Round) -> None:
    """The pitcher is weighed empty, filled at the pot and set down again."""
    now.to(PITCHER_G)
    now.to(0.0)
    now.script.hold(45)
    now.empty_g, now.away_g = PITCHER_G, 0.0
    now.to(PITCHER_G + now.wax_g())
    now.script.note("wax", now.pitcher)
    now.weighed_g[WeighingKind.WAX, now.pitcher, None] = now.wax_g()


def draw_elsewhere_tared(now: Round) -> None:
    now.to(PITCHER_G)
    now.to(0.0)
    now.to(-PITCHER_G)
    now.script.hold(45)
    now.empty_g, now.away_g = 0.0, -PITCHER_G
    now.to(now.wax_g())
    now.script.note("wax", now.pitcher)
    now.weighed_g[WeighingKind.WAX, now.pitcher, None] = now.wax_g()


# ---------------------------------------------------------------- adding fragrance


def scent_on_top(now: Round) -> None:
    for _ in range(now.plan.fragrance_goes):
        now.pour_fragrance()
        now.rest()


def scent_after_tare(now: Round) -> None:
    for _ in range(now.plan.fragrance_goes):
        shown = now.script.level_g
        now.empty_g, now.away_g = now.empty_g - shown, now.away_g - shown
        now.to(0.0)
        now.pour_fragrance()
        now.rest()


def scent_from_a_beaker(now: Round) -> None:
    """The fragrance is weighed apart and tipped into the pitcher away from the scale."""
    now.to(now.away_g)
    now.to(now.away_g + BEAKER_G)
    scent_on_top(now)
    now.to(now.away_g)


def scent_after_the_hot_plate(now: Round) -> None:
    full_g = now.script.level_g
    now.to(now.away_g)
    now.script.hold(60)
    now.to(full_g)
    scent_on_top(now)


# ---------------------------------------------------------------- taking the pitcher away


def leave(now: Round) -> None:
    """The display shows that the pan is bare."""
    now.to(now.away_g)


def leave_to_zero(now: Round) -> None:
    now.to(0.0)


def leave_and_zero(now: Round) -> None:
    now.to(now.away_g)
    now.to(0.0)


# ---------------------------------------------------------------- filling vessels


def fill_out_of_sight(now: Round, vessel: int) -> None:
    now.pour_fill(vessel)
    if now.lifts(vessel):
        now.to(0.0)


def fill_tared(now: Round, vessel: int) -> None:
    now.to(now.script.level_g + now.plan.vessel_g)
    now.to(0.0)
    now.pour_fill(vessel)
    if now.lifts(vessel):
        now.to(-now.plan.vessel_g)
        now.to(0.0)


def fill_tared_on_a_minus(now: Round, vessel: int) -> None:
    """The bare pan is never zeroed: the next vessel brings the display back to it."""
    now.to(now.script.level_g + now.plan.vessel_g)
    now.to(0.0)
    now.pour_fill(vessel)
    if now.lifts(vessel):
        now.to(-now.plan.vessel_g)


def fill_untared(now: Round, vessel: int) -> None:
    bare_g = now.script.level_g
    now.to(bare_g + now.plan.vessel_g)
    now.pour_fill(vessel)
    if now.lifts(vessel):
        now.to(bare_g)


def fill_swapped(now: Round, vessel: int) -> None:
    """The next vessel takes the full one's place within a moment."""
    if now.script.level_g < now.plan.vessel_g:
        now.script.jump(now.script.level_g + now.plan.vessel_g)
    else:
        now.script.jump(now.script.level_g - now.fill_g(max(1, vessel - 1)))
    now.rest()
    now.pour_fill(vessel)


def fill_in_two_goes(now: Round, vessel: int) -> None:
    bare_g = now.script.level_g
    now.to(bare_g + now.plan.vessel_g)
    whole_g = now.fill_g(vessel)
    now.begin_pour()
    now.script.add(whole_g - 25, now.plan.fill_s)
    now.script.hold(2)
    now.script.add(25, 1.5)
    now.filled(vessel)
    now.rest()
    now.to(bare_g)


def fill_bumped(now: Round, vessel: int) -> None:
    """Every vessel meets the pan a little hard."""
    bare_g = now.script.level_g
    now.script.jump(bare_g + now.plan.vessel_g * 1.2)
    now.script.hold(0.3)
    now.to(bare_g + now.plan.vessel_g)
    now.pour_fill(vessel)
    if now.lifts(vessel):
        now.to(bare_g)


def fill_lifted_and_put_back(now: Round, vessel: int) -> None:
    fill_untared(now, vessel)
    if not now.lifts(vessel):
        return
    now.to(now.script.level_g + now.plan.vessel_g + now.fill_g(vessel))
    now.to(now.script.level_g - now.plan.vessel_g - now.fill_g(vessel))


def fill_under_a_hand(now: Round, vessel: int) -> None:
    bare_g = now.script.level_g
    now.to(bare_g + now.plan.vessel_g)
    now.script.jump(bare_g + now.plan.vessel_g + HAND_G)
    now.script.hold(1)
    now.to(bare_g + now.plan.vessel_g)
    now.pour_fill(vessel)
    if not now.lifts(vessel):
        return
    now.script.jump(now.script.level_g + HAND_G)
    now.script.hold(1)
    now.script.jump(bare_g + now.plan.vessel_g + now.fill_g(vessel))
    now.script.note("fill", now.pitcher, vessel)
    now.rest()
    now.to(bare_g)
