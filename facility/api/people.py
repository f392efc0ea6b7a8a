from rest_framework.exceptions import NotAuthenticated
from rest_framework.request import Request

from facility.models import Person


def signer(request: Request) -> Person:
    """Return who signs for this request.

    Raises:
        NotAuthenticated: nobody has signed in.
    """
    if not isinstance(request.user, Person):
        raise NotAuthenticated
    return request.user
