"""What the demo may be told, and whether its port is free; standard library only."""

import argparse
import errno
import socket
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

HOST: Final = "127.0.0.1"
_HIGHEST_PORT: Final = 65535


@dataclass(frozen=True, slots=True, kw_only=True)
class Demo:
    port: int
    serve: bool
    host: str = HOST


def parse(words: Sequence[str]) -> Demo:
    parser = argparse.ArgumentParser(
        prog="deploy/demo", description="Set up, load the demo facility and serve it."
    )
    parser.add_argument("--port", type=_port, default=8000, help="where to serve (8000)")
    parser.add_argument(
        "--host",
        default=HOST,
        help="this machine's own address, so that phones on its network can scan labels "
        f"({HOST}: this machine alone)",
    )
    parser.add_argument("--no-serve", action="store_true", help="do all but serve")
    told = parser.parse_args(words)
    return Demo(port=told.port, serve=not told.no_serve, host=told.host)


def hindrance(demo: Demo) -> str:
    """One sentence if the port cannot be had; empty when it can."""
    if not demo.serve:
        return ""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((demo.host, demo.port))
        except OSError as error:
            return _why(demo, error)
    return ""


def _port(word: str) -> int:
    if not word.isascii() or not word.isdigit() or not 1 <= int(word) <= _HIGHEST_PORT:
        raise argparse.ArgumentTypeError(
            f"“{word}” is no port: give a number from 1 to {_HIGHEST_PORT}."
        )
    return int(word)


def _why(demo: Demo, error: OSError) -> str:
    place = f"Port {demo.port} on {demo.host}"
    if error.errno == errno.EADDRINUSE:
        return f"{place} is taken: stop what uses it, or choose another with --port N."
    return f"{place} cannot be used ({error.strerror}): choose another with --port N or --host."
