from collections.abc import Iterator
from contextlib import contextmanager
from typing import Generic, Protocol, TypeVar


class Plug(Protocol):
    @property
    def name(self) -> str: ...


PlugT = TypeVar("PlugT", bound=Plug)


class AlreadyPlugged(Exception):  # noqa: N818  the name is the sentence
    """Two plugs of one socket bear the same name: one of the two apps must rename its own."""


class Socket(Generic[PlugT]):
    """A place where apps add rows to something the facility shows or does.

    Iterating gives the plugs in the order they came, which is the order of INSTALLED_APPS.
    """

    def __init__(self, title: str) -> None:
        self.title = title
        self._plugs: dict[str, PlugT] = {}

    def __iter__(self) -> Iterator[PlugT]:
        return iter(tuple(self._plugs.values()))

    def __len__(self) -> int:
        return len(self._plugs)

    def __getitem__(self, name: str) -> PlugT:
        """Return the plug of that name.

        Raises:
            KeyError: no app has plugged it.
        """
        return self._plugs[name]

    def __contains__(self, name: object) -> bool:
        return name in self._plugs

    def plug(self, plug: PlugT) -> None:
        """Add a plug for good.

        Raises:
            AlreadyPlugged: the name is taken.
        """
        if plug.name in self._plugs:
            raise AlreadyPlugged(f"{self.title} already has a plug named {plug.name}.")
        self._plugs[plug.name] = plug

    @contextmanager
    def plugged(self, *plugs: PlugT) -> Iterator[None]:
        """Hold some plugs only for the length of a test; the socket is left as it was found."""
        before = dict(self._plugs)
        try:
            for plug in plugs:
                self.plug(plug)
            yield
        finally:
            self._plugs = before
