"""Is it really they who sign? A tablet is left signed in; the password is not left with it."""

from facility.commands import attempts
from facility.forms.signing import SigningSheet
from facility.models import Person


def is_signed(sheet: SigningSheet, *, by: Person) -> bool:
    """Tell whether the sheet is filled in and the password is the signer's; else say so on it."""
    if not sheet.is_valid():
        return False
    if attempts.too_many(by.username):
        sheet.add_error("password", "Too many wrong passwords: wait 10 minutes, then sign again.")
        return False
    if not by.check_password(sheet.cleaned_data["password"]):
        attempts.note_failure(by.username)
        sheet.add_error("password", f"This is not the password of {by.full_name}; enter it again.")
        return False
    attempts.forget(by.username)
    return True
