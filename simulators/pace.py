"""How fast the simulated day runs against real time."""

import time

STEP_S = 0.05
LONGEST_STEP_S = 0.2
STEPS_PER_REAL_S = 2000.0
SLACK_S = 0.01  # a little lateness is made up, so that short sleeps keep the mean speed


class Pace:
    """Keeps steps of `step_s` simulated seconds at `speed` times real time.

    At high speeds the steps become longer, up to 0.2 s. After a stall nothing is caught up
    in a burst: the day simply takes longer.
    """

    def __init__(self, speed: float) -> None:
        self.speed = speed
        self.step_s = min(max(STEP_S, speed / STEPS_PER_REAL_S), LONGEST_STEP_S)
        self._due_s = time.monotonic()

    def keep(self) -> None:
        """Sleep until the next step is due; real time."""
        self._due_s += self.step_s / self.speed
        now_s = time.monotonic()
        if self._due_s > now_s:
            time.sleep(self._due_s - now_s)
        elif now_s - self._due_s > SLACK_S:
            self._due_s = now_s
