"""The screens: built files in `dist`, made from the TypeScript in `src`."""

from importlib.resources import files
from pathlib import Path


def dist_dir() -> Path:
    """Return the folder of the built screens.

    It exists only once the front end was built; `index.html` and `assets` lie in it.
    """
    return Path(str(files(__name__))) / "dist"
