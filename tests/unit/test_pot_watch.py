"""What a lot knows of its pot: what it draws comes off, and a newer plan counts at once.

AMBER, 3 vessels: mix 3 x 220 + 6 = 666 g, wax 666 / 1.08 = 616.667 g.
TIN, 9 vessels in two pitchers of 5 and 4: mixes 604 and 484 g; 7 % of it is fragrance, so
561.720 and 450.120 g of wax.
"""

import pytest
from feed_script import PITCHER, Script
from stranger_moves import draw_untared, scent_on_top
from stranger_round import AMBER, TIN, Plan, Round

from collector.alarm_events import AlarmRaised
from collector.batch_sheet import batch_sheet
from collector.events import decode, encode
from collector.guidance import next_task
from collector.lot_events import PotTold
from collector.pot import InPot, Pot
from collector.pot_watch import PotWatch
from collector.replay import first_difference, replay

WAX_G = 616.667


def drawing(pot: Pot | None, wax_off_g: float = 0.0) -> Script:
    """A lot whose wax was drawn; `wax_off_g` beside the batch sheet."""
    script = Script()
    script.celsius[PITCHER] = 82.0
    script.open(AMBER, 3, pot)
    script.hold(3)
    draw_untared(Round(script, Plan(vessels=3, wax_off_g=wax_off_g)))
    return script


def scent_too_much(script: Script) -> None:
    plan = Plan(vessels=3, fragrance_share=1.2)
    scent_on_top(Round(script, plan, empty_g=script.level_g - WAX_G))


def advice_on(script: Script, rule: str) -> str:
    raised = [e for e in script.events if isinstance(e, AlarmRaised) and e.rule == rule]
    return raised[-1].advice


def test_what_a_lot_draws_comes_off_and_its_later_pitchers_are_still_needed() -> None:
    watch = PotWatch(Pot(1_200_000, 100_000), batch_sheet(TIN, 9))
    assert watch.while_at(1) == InPot(1_200_000, 550_120)
    watch.drew(1, 560_000)
    watch.drew(1, 561_000)  # topped up: it takes the place of the first
    assert watch.while_at(1) == InPot(639_000, 550_120)
    assert watch.while_at(2) == InPot(639_000, 100_000)
    watch.drew(2, 700_000)  # more than there should have been
    assert watch.while_at(2) == InPot(0, 100_000)


def test_a_lot_without_a_pour_day_knows_nothing_of_a_pot() -> None:
    watch = PotWatch(None, batch_sheet(AMBER, 3))
    watch.drew(1, 616_667)
    assert watch.while_at(1) is None


@pytest.mark.parametrize(
    ("pot", "said"),
    [
        (None, "runs short."),
        (Pot(1_000_000, 0), "The pot has it, and 383.3 g to spare."),
        (Pot(1_000_000, 400_000), "The pot has it, but is then 16.7 g short for the rest"),
        (Pot(600_000, 0), "The pot holds only 33.3 g: melt more first."),
    ],
)
def test_wax_drawn_short_is_told_with_what_the_pot_allows(pot: Pot | None, said: str) -> None:
    # 616.7 g wanted, 566.7 g drawn: 50 g short, of 1000 g are left 433.3 g before and 383.3 after
    assert said in advice_on(drawing(pot, wax_off_g=-50.0), "wax-grams")


def test_too_much_fragrance_counts_on_what_the_pot_was_last_said_to_hold() -> None:
    script = drawing(Pot(620_000, 0))
    script.tell(Pot(900_000, 0))
    scent_too_much(script)
    assert "The pot has it" in advice_on(script, "fragrance-grams")


def test_a_pot_that_does_not_hold_the_next_pitcher_is_said_before_it_is_drawn() -> None:
    script = Script()
    script.open(AMBER, 3, Pot(500_000, 0))
    script.hold(2)
    assert script.bench.run is not None
    task = next_task(script.bench.run, script.bench.now_us)
    assert task.do == "Draw 616.7 g of wax into the pitcher"
    assert task.detail == "The pot holds only 500.0 g: melt more first."


def test_a_lot_with_its_pot_is_judged_again_to_the_same_events() -> None:
    script = drawing(Pot(600_000, 0))
    script.tell(Pot(640_000, 0))
    scent_too_much(script)
    journal = [decode(encode(event)) for event in script.journal()]
    assert any(isinstance(event, PotTold) for event in journal)
    assert "pot" in advice_on(script, "fragrance-grams")
    assert first_difference(script.events, replay(journal, script.readings())[1]) is None
