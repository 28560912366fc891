"""``python -m advisor`` and the ``advisor`` command."""

from __future__ import annotations

import sys


def main() -> None:
    """Entry point of the installed command."""
    from advisor.terminal.app import main as run

    sys.exit(run())


if __name__ == "__main__":
    main()
