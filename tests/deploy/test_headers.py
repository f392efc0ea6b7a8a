from django.test import Client


def test_no_script_from_elsewhere_or_from_the_page_itself_runs(client: Client) -> None:
    policy = client.get("/alive/").headers["Content-Security-Policy"]

    rules = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert rules["script-src"] == "'self'"
    assert rules["default-src"] == "'self'"
    assert rules["frame-ancestors"] == rules["object-src"] == "'none'"


def test_pages_may_not_be_framed_or_sniffed(client: Client) -> None:
    headers = client.get("/alive/").headers

    assert headers["X-Frame-Options"] == "DENY"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"


def test_icon_is_found_by_its_old_name(client: Client) -> None:
    answer = client.get("/favicon.ico")

    assert answer.status_code == 302
    assert answer.headers["Location"].endswith(".svg")
