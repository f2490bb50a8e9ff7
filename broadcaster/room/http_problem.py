"""What HTTP callers are told when something is wrong: problem details (RFC 9457)."""

import json
import math
from collections.abc import Mapping
from http import HTTPStatus

from starlette.responses import Response

from broadcaster.room.commands import Refusal, Why

PROBLEM_TYPE = "application/problem+json"

_STATUS = {
    Why.MALFORMED: HTTPStatus.UNPROCESSABLE_ENTITY,
    Why.UNKNOWN: HTTPStatus.UNPROCESSABLE_ENTITY,
    Why.UNFIT: HTTPStatus.UNPROCESSABLE_ENTITY,
    Why.TOO_MANY: HTTPStatus.TOO_MANY_REQUESTS,
}
_PHRASE = {HTTPStatus.UNPROCESSABLE_ENTITY: "Unprocessable Content"}  # RFC 9110, 15.5.21


class ProblemError(Exception):
    """A request that is not obeyed: its status, and in a sentence why."""

    def __init__(
        self, status: HTTPStatus, sentence: str, headers: Mapping[str, str] | None = None
    ) -> None:
        self.status = status
        self.sentence = sentence
        self.headers = dict(headers or {})
        super().__init__(sentence)

    @classmethod
    def refused(cls, refusal: Refusal) -> "ProblemError":
        """A message that the intake refused."""
        if refusal.why is Why.TOO_MANY:
            return cls.too_many(refusal.sentence, 1.0)
        return cls(_STATUS[refusal.why], refusal.sentence)

    @classmethod
    def too_many(cls, sentence: str, wait_s: float) -> "ProblemError":
        """A request that came too soon, and after how many seconds it may come again."""
        seconds = str(max(1, math.ceil(wait_s)))
        return cls(HTTPStatus.TOO_MANY_REQUESTS, sentence, {"Retry-After": seconds})

    def response(self) -> Response:
        """The problem as the caller gets it."""
        details = {
            "type": "about:blank",  # the status says it all (RFC 9457, 4.2.1)
            "title": _PHRASE.get(self.status, self.status.phrase),
            "status": int(self.status),
            "detail": self.sentence,
        }
        return Response(
            json.dumps(details, ensure_ascii=False),
            status_code=self.status,
            headers=self.headers,
            media_type=PROBLEM_TYPE,
        )
