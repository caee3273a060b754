"""What went wrong, as a program can read it: RFC 9457, "Problem Details for HTTP APIs"."""

from __future__ import annotations

from django.http import JsonResponse

CONTENT_TYPE = "application/problem+json"
TITLES = {
    400: "The question is not one that is answered here",
    401: "A key is needed",
    403: "The key does not open this",
    404: "There is nothing here",
    405: "This interface is only read",
    429: "Too many questions",
}


class Refused(Exception):
    """An answer other than the one asked for; `headers` go with it."""

    def __init__(self, status: int, detail: str, **headers: str) -> None:
        super().__init__(detail)
        self.status, self.detail, self.headers = status, detail, headers


def problem(refused: Refused) -> JsonResponse:
    """`type` about:blank: the status says the kind (RFC 9457, section 4.2.1)."""
    facts = {
        "type": "about:blank",
        "title": TITLES[refused.status],
        "status": refused.status,
        "detail": refused.detail,
    }
    answer = JsonResponse(facts, status=refused.status, content_type=CONTENT_TYPE)
    for name, value in refused.headers.items():
        answer[name.replace("_", "-")] = value
    return answer
