"""What lets a phone work without signal: the worker that keeps pages, and the outbox."""

import json
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Final

from django.contrib.staticfiles import finders
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.templatetags.static import static
from django.urls import reverse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

_WORKER: Final = "facility/worker.js"
_CALLED: Final = "facility/called.js"
_SHELL: Final = (
    "facility/shell.css",
    "facility/parts.css",
    "facility/forms.css",
    "facility/icon.svg",
    "facility/theme.js",
    "facility/sheet.js",
    "facility/fold.js",
    "facility/store.js",
    "facility/outbox.js",
    "facility/entry.js",
    "facility/mending.js",
    "facility/work_away.js",
    "facility/away.js",
    "facility/calling.js",
    "facility/hands.js",
    "facility/outbox_page.js",
)


@require_safe
@cache_control(no_cache=True)
def worker(_: HttpRequest) -> HttpResponse:
    """At the root, because a worker sees only what lies below its own address."""
    told = {
        "version": _version(),
        "shell": [static(name) for name in _SHELL],
        "outbox": reverse("facility:outbox"),
        "sign_out": reverse("facility:sign-out"),
    }
    script = f"self.told = {json.dumps(told)};\n"
    script += f"importScripts({json.dumps(static(_WORKER))}, {json.dumps(static(_CALLED))});\n"
    return HttpResponse(script, content_type="text/javascript")


@require_safe
def outbox(request: HttpRequest) -> HttpResponse:
    """The page itself knows nothing; the device fills it in."""
    return render(request, "facility/outbox.html")


@cache
def _version() -> str:
    """A digest of the files; a change of any replaces what phones keep of the old ones."""
    digest = sha256()
    for name in (*_SHELL, _WORKER, _CALLED):
        found = finders.find(name)
        digest.update(Path(str(found)).read_bytes())
    return digest.hexdigest()[:16]
