"""Entry point of `python -m simulators`."""

from simulators.command_line import main

raise SystemExit(main())
