"""Long lists come in pages that stay whole while new rows arrive."""

from rest_framework.pagination import CursorPagination


class LatestFirst(CursorPagination):
    """``next`` and ``previous`` are addresses to follow, not to build."""

    page_size = 100
    max_page_size = 500
    page_size_query_param = "page_size"
    ordering: tuple[str, ...] = ("-recorded_at", "-pk")
