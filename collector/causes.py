"""One cause, one alarm: what follows from an instrument that gives no readings.

- What follows its value over time can no longer be judged: an alarm that stands is suppressed
  until it reads again (`FOLLOWS_VALUE`: every alarm whose subject is that channel).
- What only it could have shown cannot be held against the maker: an alarm that comes while it
  is silent is folded into the alarm of the silence (`UNSEEN`).

An alarm about a moment (fragrance that went in too cool, a vessel filled light) rests on
readings that were there, so it stands whatever becomes of the instrument.
"""

from collections.abc import Mapping

from collector import rules
from collector.phases import Phase, PhaseName
from collector.readings import Role

_BY_THE_SCALE = frozenset({Phase.DRAW_WAX, Phase.ADD_FRAGRANCE, Phase.STIR, Phase.POUR})

UNSEEN: Mapping[Role, Mapping[str, frozenset[PhaseName]]] = {
    Role.SCALE: {
        rules.SKIPPED_PHASE: _BY_THE_SCALE,  # a phase, or the vessels left out of a pour
        rules.PHASE_ORDER: _BY_THE_SCALE,
    },
}
"""Which rules say of which phases only that the silent instrument has not seen them."""


def unseen(role: Role, rule: str, phase: PhaseName | None) -> bool:
    """Tell whether an alarm only says what an instrument of that role did not see."""
    return phase in UNSEEN.get(role, {}).get(rule, frozenset())


def follows_value(rule: str, subject: str | None, channel: str) -> bool:
    """Tell whether an alarm cannot be judged without the readings of a channel."""
    return subject == channel and rule != rules.INSTRUMENT_SILENT
