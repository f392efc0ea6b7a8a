"""Addresses under /api/: the ledger, and one for each deed that an app has plugged."""

from django.urls import URLPattern, path

from facility.api.deeds import view_of
from facility.api.ledger import LedgerView
from facility.api.sync import SyncView
from facility.sockets.deeds import deeds

urlpatterns: list[URLPattern] = [
    path("ledger/", LedgerView.as_view(), name="api-ledger"),
    path("sync/", SyncView.as_view(), name="api-sync"),
    *(
        path(f"deeds/{deed.name}/", view_of(deed), name=f"api-{deed.name.replace('.', '-')}")
        for deed in deeds
        if deed.roles
    ),
]
