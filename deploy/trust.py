"""How a phone comes to trust this server; open to everybody, for it comes before signing in."""

from dataclasses import dataclass
from datetime import datetime

from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding
from django.conf import settings
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe

from deploy.certificates import answers_to, fingerprint
from deploy.certified import Certified, NotCertified


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """What the page says of the certificates; ``trouble`` is a sentence if they cannot be read."""

    name: str = ""
    fingerprint: str = ""
    until: datetime | None = None
    answers_to: tuple[str, ...] = ()
    trouble: str = ""


@never_cache
@require_safe
def trust(request: HttpRequest) -> HttpResponse:
    told = _told(Certified(folder=settings.CERTIFICATES))
    facts = {
        "told": told,
        "is_https": request.is_secure(),
        "https_url": _https_url(request),
    }
    return render(request, "deploy/trust.html", facts)


@require_safe
def authority(_: HttpRequest) -> HttpResponse:
    """The authority's certificate as phones take it; its key stays where it is."""
    try:
        kept = Certified(folder=settings.CERTIFICATES).authority()
    except NotCertified as trouble:
        raise Http404(str(trouble)) from trouble
    if kept is None:
        raise Http404
    return HttpResponse(
        kept.certificate.public_bytes(Encoding.DER),
        content_type="application/x-x509-ca-cert",
        headers={"Content-Disposition": 'attachment; filename="penstock-authority.crt"'},
    )


def _told(kept: Certified) -> Told:
    try:
        signer, server = kept.authority(), kept.server()
    except NotCertified as trouble:
        return Told(trouble=str(trouble))
    if signer is None or server is None:
        return Told()
    names, addresses = answers_to(server.certificate)
    return Told(
        name=_common_name(signer.certificate),
        fingerprint=fingerprint(signer.certificate),
        until=server.certificate.not_valid_after_utc,
        answers_to=(*names, *map(str, addresses)),
    )


def _common_name(certificate: x509.Certificate) -> str:
    (name,) = certificate.subject.get_attributes_for_oid(x509.NameOID.COMMON_NAME)
    return str(name.value)


def _https_url(request: HttpRequest) -> str:
    """Where this page is over https, as far as we know; empty if this server serves none."""
    if request.is_secure():
        return request.build_absolute_uri("/")
    if not settings.HTTPS_PORT:
        return ""
    host = request.get_host()
    name = host if host.endswith("]") else host.rpartition(":")[0] or host
    return f"https://{name}:{settings.HTTPS_PORT}/"
