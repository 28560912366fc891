"""``python -m advisor`` and the ``advisor`` command."""

from __future__ import annotations

import gc
import os
import sys

from advisor.errors import lacking

#: Set before the libraries that read them are loaded, unless the person has set them.
_ENVIRONMENT = {
    "PYDANTIC_DISABLE_PLUGINS": "__all__",  # none is used; looking for them takes time
    "OPENBLAS_NUM_THREADS": "1",  # no matrices here; idle threads cost as much as importing numpy
}


def main() -> None:
    """Entry point of the installed command."""
    # What is built at the start stays until the end: looking it through again and again
    # for garbage is time lost.
    gc.set_threshold(100_000)
    for name, value in _ENVIRONMENT.items():
        os.environ.setdefault(name, value)
    try:
        from advisor.screens.app import main as run

        status = run()
    except ModuleNotFoundError as missing:
        if not (sentence := lacking(missing)):
            raise
        sys.stderr.write(f"{sentence}\n")
        sys.exit(2)
    gc.freeze()  # nor at the end, when all of it goes anyway
    sys.exit(status)


if __name__ == "__main__":
    main()
