"""Mishaps that happen beside the maker's work: a probe pulled out, a pot that runs hot."""

from collections.abc import Callable

from simulators.faults import Fault, FaultKind
from simulators.hands import Motion
from simulators.shift import OpenLot, Shift

OVERSHOOT_K = 2.0
"""How far a pot that runs hot goes beyond the wax maker's limit."""

HEATING_PATIENCE_S = 1800.0
COOLING_PATIENCE_S = 3600.0


def start_mishaps(shift: Shift, lot: OpenLot, when: str, pitcher: int) -> None:
    """Set off the lot's mishaps that begin `when` this pitcher is being drawn or is cooling."""
    for fault in lot.plan.faults:
        mishap = MISHAPS.get(fault.kind)
        if mishap and (fault.when, fault.pitcher) == (when, pitcher):
            shift.troubles.append(mishap(shift, lot, fault))


def unplugged_probe(shift: Shift, lot: OpenLot, fault: Fault) -> Motion:
    """Pull a probe out, and put it back after a while."""
    bench = shift.bench
    yield from shift.hands.wait(fault.after_s)
    what = f"{fault.instrument} is unplugged for {fault.seconds:.0f} s"
    shift.plant(lot, fault.kind, what, pitcher=fault.pitcher, subject=fault.instrument)
    bench.unplugged.add(fault.instrument)
    yield from shift.hands.wait(fault.seconds)
    bench.unplugged.discard(fault.instrument)
    shift.say(f"{fault.instrument} is plugged in again")


def silent_instrument(shift: Shift, lot: OpenLot, fault: Fault) -> Motion:
    """Let an instrument that stays plugged in say nothing for a while."""
    bench = shift.bench
    yield from shift.hands.wait(fault.after_s)
    what = f"{fault.instrument} says nothing for {fault.seconds:.0f} s"
    shift.plant(lot, fault.kind, what, pitcher=fault.pitcher, subject=fault.instrument)
    bench.silent.add(fault.instrument)
    yield from shift.hands.wait(fault.seconds)
    bench.silent.discard(fault.instrument)
    shift.say(f"{fault.instrument} speaks again")


def hot_pot(shift: Shift, lot: OpenLot, fault: Fault) -> Motion:
    """Let the thermostat stick; after a while the maker lifts the pot off and lets it cool."""
    pot = shift.bench.pot
    usual_degc = pot.set_point_degc
    hot_degc = lot.plan.recipe.never_above_degc + OVERSHOOT_K
    yield from shift.hands.wait(fault.after_s)
    what = f"the pot goes to {hot_degc:.0f} °C and stays there for {fault.seconds:.0f} s"
    shift.plant(lot, fault.kind, what, pitcher=fault.pitcher)
    pot.heater_stuck = True
    yield from shift.hands.until(lambda: pot.temperature_degc >= hot_degc, HEATING_PATIENCE_S)
    pot.heater_stuck = False
    pot.set_point_degc = hot_degc
    yield from shift.hands.wait(fault.seconds)
    pot.set_point_degc = usual_degc
    pot.lifted = True
    shift.say("the pot is lifted off its plate")
    yield from shift.hands.until(lambda: pot.temperature_degc <= usual_degc, COOLING_PATIENCE_S)
    pot.lifted = False
    shift.say("the pot is back on its plate")


MISHAPS: dict[FaultKind, Callable[[Shift, OpenLot, Fault], Motion]] = {
    FaultKind.PROBE_UNPLUGGED: unplugged_probe,
    FaultKind.INSTRUMENT_SILENT: silent_instrument,
    FaultKind.POT_TOO_HOT: hot_pot,
}
