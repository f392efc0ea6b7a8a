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
    """``https_port`` is 0 where only plain http is served."""

    port: int
    serve: bool
    host: str = HOST
    https_port: int = 0


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
    parser.add_argument(
        "--https",
        action="store_true",
        help="serve https too, which phones need for camera and for work without signal; plain "
        "http then only shows how a phone trusts this server",
    )
    parser.add_argument("--https-port", type=_port, default=8443, help="where to (8443)")
    parser.add_argument("--no-serve", action="store_true", help="do all but serve")
    told = parser.parse_args(words)
    https_port = told.https_port if told.https else 0
    return Demo(port=told.port, serve=not told.no_serve, host=told.host, https_port=https_port)


def hindrance(demo: Demo) -> str:
    """One sentence if a port cannot be had; empty when all can."""
    if not demo.serve:
        return ""
    if demo.port == demo.https_port:
        return f"Port {demo.port} cannot serve http and https at once: choose another --https-port."
    sentences = (_taken(demo, port) for port in (demo.port, demo.https_port) if port)
    return next(filter(None, sentences), "")


def _taken(demo: Demo, port: int) -> str:
    option = "--https-port" if port == demo.https_port else "--port"
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((demo.host, port))
        except OSError as error:
            return _why(f"Port {port} on {demo.host}", option, error)
    return ""


def _port(word: str) -> int:
    if not word.isascii() or not word.isdigit() or not 1 <= int(word) <= _HIGHEST_PORT:
        raise argparse.ArgumentTypeError(
            f"“{word}” is no port: give a number from 1 to {_HIGHEST_PORT}."
        )
    return int(word)


def _why(place: str, option: str, error: OSError) -> str:
    if error.errno == errno.EADDRINUSE:
        return f"{place} is taken: stop what uses it, or choose another with {option} N."
    return f"{place} cannot be used ({error.strerror}): choose another with {option} N or --host."
