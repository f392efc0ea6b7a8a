"""The two programs the journeys and the paper tests need from the system."""

import os
import shutil
import subprocess
from typing import Final

# What the system calls the program, and the package Debian keeps it in.
_PROGRAMS: Final = {"chromium": "chromium", "pdftoppm": "poppler-utils"}


def have_programs() -> str:
    """Install what is missing where we may; return a sentence if something still is."""
    if (missing := _missing()) and _may_install():
        packages = [_PROGRAMS[name] for name in missing]
        print(f"Installing {' and '.join(packages)} …", flush=True)
        environ = os.environ | {"DEBIAN_FRONTEND": "noninteractive"}
        for words in (["update", "-qq"], ["install", "-qq", "--no-install-recommends", *packages]):
            subprocess.run(["apt-get", "-y", *words], check=False, env=environ)
    if missing := _missing():
        return f"Without {' and '.join(missing)} on the PATH the browser journeys are left out."
    return ""


def _missing() -> list[str]:
    return [name for name in _PROGRAMS if shutil.which(name) is None]


def _may_install() -> bool:
    return os.geteuid() == 0 and shutil.which("apt-get") is not None
