"""hatch's build hook: puts the built screens (dashboards/dist) into every kind of install.

Node comes from a wheel that is asked for only when the screens are stale, since pip unpacks its
200 MB anew for each build. With POURKEEP_NO_FRONT_END=1 nothing is built: the service then says
that it has no screens.
"""

import os
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

sys.path.insert(0, str(Path(__file__).parent))  # hatch loads this file alone, by its path

import front_end


class FrontEndHook(BuildHookInterface):
    """Builds the screens before hatch collects the files."""

    def dependencies(self) -> list[str]:
        """Return what this build needs besides hatchling."""
        return [front_end.NODE_WHEEL] if self._is_wanted() else []

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002 - hatch's signature
        """Build if stale; raises front_end.FrontEndError with the words of npm or Vite."""
        build_data["artifacts"].append("dashboards/dist/**")  # git ignores it, so hatch would too
        if self._is_wanted():
            front_end.build_screens(self._dashboards, front_end.installed_node())

    @property
    def _dashboards(self) -> Path:
        return Path(self.root) / "dashboards"

    def _is_wanted(self) -> bool:
        skipped = os.environ.get("POURKEEP_NO_FRONT_END") == "1"
        return not skipped and front_end.screens_are_stale(self._dashboards)
