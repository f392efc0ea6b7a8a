"""Name and password sent along with a request, counted when wrong as on the sign-in page."""

from typing import Any

from drf_spectacular.authentication import BasicScheme
from rest_framework.authentication import BasicAuthentication
from rest_framework.exceptions import AuthenticationFailed, Throttled

from facility.commands import attempts


class CountedBasicAuthentication(BasicAuthentication):
    def authenticate_credentials(
        self, userid: str, password: str, request: Any = None
    ) -> tuple[Any, None]:
        """Return whose name and password these are.

        Raises:
            Throttled: too many wrong passwords for this name lately; even the right one waits.
            AuthenticationFailed
        """
        if attempts.too_many(userid):
            raise Throttled(
                wait=attempts.WINDOW.total_seconds(),
                detail="Too many wrong passwords for this name: wait 10 minutes.",
            )
        try:
            found = super().authenticate_credentials(userid, password, request)
        except AuthenticationFailed:
            attempts.note_failure(userid)
            raise
        attempts.forget(userid)
        return found


class CountedBasicScheme(BasicScheme):  # type: ignore[no-untyped-call]
    """To a program it is plain HTTP Basic."""

    target_class = "facility.api.passwords.CountedBasicAuthentication"
