"""Says, before pip does at length, what this computer lacks to build durable-rules.

Run by the README's commands; uses nothing but Python. It only says: an earlier build that pip
kept may do without.
"""

import importlib.util
import os
import shutil
import sys
import sysconfig


def lacking():
    """What is missing, in the words of the packages that bring it."""
    missing = []
    if sys.version_info < (3, 11):  # noqa: UP036 - older ones run this very file
        missing.append("Python 3.11 or newer (this is " + sys.version.split()[0] + ")")
    if importlib.util.find_spec("ensurepip") is None:
        missing.append("venv with pip (Debian: python3-venv)")
    compiler = os.environ.get("CC") or sysconfig.get_config_var("CC") or "cc"
    if not any(map(shutil.which, (compiler.split()[0], "cc", "gcc", "clang", "cl"))):
        missing.append(
            "a C compiler (Debian: build-essential; Fedora: gcc; macOS: xcode-select --install)"
        )
    if not os.path.exists(os.path.join(sysconfig.get_paths()["include"], "Python.h")):
        missing.append("Python's headers (Debian: python3-dev; Fedora: python3-devel)")
    return missing


if __name__ == "__main__":
    if lacking():
        print("To build durable-rules this computer lacks " + ", and ".join(lacking()) + ".")
