"""A simulated lot on tape: what its instruments said and its maker did, each at its time."""

from dataclasses import dataclass, field
from pathlib import Path

import msgspec
from trial_desk import START_US, Desk
from trial_play import Play
from trial_wires import channels_of

from collector.bench import Input
from collector.config import Config, InstrumentConfig, Manual
from collector.event_base import Given
from collector.events import AnyGiven
from collector.lot_events import RecipeKept
from collector.readings import Channel, Reading
from collector.recipe_file import read_recipe_document
from simulators.chance.lots import chance_lot
from simulators.layout import BENCH
from simulators.recipe_card import Document

__all__ = ["BENCH", "START_US", "Tape", "config_of", "tape_of"]


@dataclass
class Tape:
    """One lot in order of time, from its recipe to its closing."""

    channels: tuple[Channel, ...] = ()
    readings: list[Reading] = field(default_factory=list)
    givens: list[AnyGiven] = field(default_factory=list)

    @property
    def end_us(self) -> int:
        """When the lot is closed."""
        return self.givens[-1].at_us


class _TapedDesk(Desk):
    """Keeps all that the simulated maker's bench is fed with."""

    def tape_on(self, tape: Tape) -> "_TapedDesk":
        """Begin to keep."""
        self._tape = tape
        return self

    def keep_recipe(self, document: Document) -> None:
        """Hand over a recipe."""
        super().keep_recipe(document)
        kept = RecipeKept(
            at_us=self._now_us(),
            bench=None,
            lot=None,
            recipe=read_recipe_document("the tape", document),
            document=msgspec.Raw(msgspec.json.encode(document)),
        )
        self._tape.givens.append(kept)

    def _feed(self, item: Input) -> None:
        super()._feed(item)
        if isinstance(item, Reading):
            self._tape.readings.append(item)
        elif isinstance(item, Given):
            self._tape.givens.append(item)


def tape_of(seed: int, number: int) -> Tape:
    """Play one lot of the trial, with marks, and return its tape."""
    play = Play(chance_lot(seed, number), marks=True, tell=None)
    tape = Tape(channels_of(play.lot.instruments))
    play.desk = play.shift.service = _TapedDesk(play.model, play.channels).tape_on(tape)
    play.run(number, 0)
    return tape


def config_of(tape: Tape, data: Path) -> Config:
    """Return the workshop of a tape: its channels, and no wire, for the tape takes its place."""
    return Config(
        name="the quay",
        timezone="UTC",
        data=data,
        benches=(BENCH,),
        instruments=tuple(
            InstrumentConfig(c.name, c.bench, c.role, Manual(), c.silent_after_us)
            for c in tape.channels
        ),
    )
