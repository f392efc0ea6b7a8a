"""Who runs the servers: ourselves, or, as root, the unprivileged owner of the files."""

import os
import pwd
import subprocess
from dataclasses import dataclass
from pathlib import Path
from typing import Any


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """``None`` ids mean: as whoever we are."""

    user_id: int | None = None
    group_id: int | None = None

    def run_options(self) -> dict[str, Any]:
        """Options for ``subprocess`` that make the child run under this account."""
        if self.user_id is None:
            return {}
        return {"user": self.user_id, "group": self.group_id, "extra_groups": []}

    def own(self, folder: Path) -> None:
        """Have ``folder``, for this account alone.

        Raises:
            PermissionError: it is there already and belongs to someone else.
        """
        try:
            folder.mkdir(mode=0o700)
        except FileExistsError:
            # Also when it is a link: following one laid by another would give our rights away.
            if folder.is_symlink() or folder.stat().st_uid not in {os.geteuid(), self.user_id}:
                raise PermissionError(1, "belongs to someone else", str(folder)) from None
        if self.user_id is not None:
            os.chown(folder, self.user_id, self.group_id or -1)

    def reaches(self, path: Path) -> bool:
        """Ask the kernel, not the mode bits: parents and access lists count too."""
        question = ["/bin/sh", "-c", 'test -x "$1"', "sh", str(path)]
        return subprocess.run(question, cwd="/", check=False, **self.run_options()).returncode == 0


def for_files_in(folder: Path) -> Account:
    """PostgreSQL refuses root; then it runs as the files' owner, or as nobody."""
    if os.geteuid() != 0:
        return Account()
    owner = folder.stat().st_uid if folder.exists() else 0
    if owner:
        return Account(user_id=owner, group_id=folder.stat().st_gid)
    nobody = pwd.getpwnam("nobody")
    return Account(user_id=nobody.pw_uid, group_id=nobody.pw_gid)
