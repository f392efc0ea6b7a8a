#!/usr/bin/env python3
"""Django's front door: has the checkout's own servers up while a command needs them."""

import os
import sys
from contextlib import ExitStack

from django.core.management import execute_from_command_line

from deploy import servers
from deploy.binaries import ServersUnavailable
from deploy.env import BadSetting

_WITHOUT_SERVERS = {
    "--help",
    "--version",
    "calculate",
    "check",
    "collectstatic",
    "diffsettings",
    "findstatic",
    "forecast",
    "help",
    "spectacular",
    "survey",
    "version",
}


def main() -> None:
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "deploy.settings")
    try:
        with ExitStack() as stack:
            if _needs_servers(sys.argv):
                stack.enter_context(servers.in_use())
            execute_from_command_line(sys.argv)
    except (BadSetting, ServersUnavailable) as refusal:
        sys.exit(str(refusal))


def _needs_servers(argv: list[str]) -> bool:
    return len(argv) > 1 and argv[1] not in _WITHOUT_SERVERS and not {"-h", "--help"} & set(argv)


if __name__ == "__main__":
    main()
