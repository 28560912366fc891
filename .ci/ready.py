"""Says in one sentence what this computer lacks to build durable-rules; pip would take thirty.

Run by the README's commands, which stop there (status 1); uses nothing but Python.
"""

import glob
import importlib.util
import os
import shutil
import sys
import sysconfig


def built():
    """Whether an earlier run has built it already: then nothing is needed."""
    places = ("lib/python*/site-packages", "Lib/site-packages")
    return any(glob.glob(".venv/" + place + "/durable_rules_engine*") for place in places)


def compiler():
    """Whether there is a C compiler, named by CC or found where they are."""
    named = os.environ.get("CC") or sysconfig.get_config_var("CC") or "cc"
    if any(map(shutil.which, (named.split()[0], "cc", "gcc", "clang", "cl"))):
        return True
    # that of Windows is seldom on the path; setuptools finds it by this program
    return os.name == "nt" and os.path.exists(
        os.path.join(
            os.environ.get("PROGRAMFILES(X86)", ""),
            "Microsoft Visual Studio", "Installer", "vswhere.exe",
        )
    )  # fmt: skip


def lacking():
    """What is missing, and what brings it on each system."""
    missing = []
    if sys.version_info < (3, 11):  # noqa: UP036 - older ones run this very file
        missing.append("Python 3.11 or newer (this is " + sys.version.split()[0] + ")")
    if importlib.util.find_spec("ensurepip") is None:
        missing.append("venv with pip (Debian: apt install python3-venv)")
    if built():
        return missing
    if not compiler():
        missing.append(
            "a C compiler (Debian: apt install build-essential; Fedora: dnf install gcc; "
            "macOS: xcode-select --install; Windows: Visual Studio Build Tools with C++; "
            "or ziglang from PyPI, as the README shows)"
        )
    if not os.path.exists(os.path.join(sysconfig.get_paths()["include"], "Python.h")):
        missing.append(
            "Python's headers (Debian: apt install python3-dev; Fedora: dnf install python3-devel; "
            "macOS, Windows: Python from python.org has them)"
        )
    return missing


if __name__ == "__main__":
    found = lacking()
    if found:
        print("To build durable-rules this computer lacks " + ", and ".join(found) + ".")
        sys.exit(1)
