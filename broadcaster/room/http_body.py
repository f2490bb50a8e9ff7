"""What a request carries: a JSON object of bounded size, that does not let one wait."""

import asyncio
from collections.abc import Mapping
from http import HTTPStatus
from typing import Any

from starlette.requests import ClientDisconnect, Request

from broadcaster.room.http_problem import ProblemError
from broadcaster.room.json_text import object_in

MOST_BYTES = 64 * 1024
"""The longest announcement, each of its letters escaped, fits in (5,000 of twelve bytes)."""
PATIENCE_S = 5.0
"""How long a body may take to come."""
JSON = "application/json"


async def mapping_in(request: Request, *, needed: bool = True) -> Mapping[str, Any]:
    """The JSON object that a request carries; where none is needed, nothing is an empty one.

    Raises ProblemError.
    """
    data = await _bytes_in(request)
    if not data and not needed:
        return {}
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != JSON:
        raise ProblemError(
            HTTPStatus.UNSUPPORTED_MEDIA_TYPE, f"A body is JSON, and told to be: {JSON}."
        )
    try:
        return object_in(data)
    except ValueError as error:
        raise ProblemError(HTTPStatus.BAD_REQUEST, f"The body: {error}") from None


async def _bytes_in(request: Request) -> bytes:
    data = bytearray()
    try:
        async with asyncio.timeout(PATIENCE_S):
            async for part in request.stream():
                data += part
                if len(data) > MOST_BYTES:
                    raise ProblemError(
                        HTTPStatus.REQUEST_ENTITY_TOO_LARGE,
                        f"The body is longer than {MOST_BYTES // 1024} KiB.",
                        {"Connection": "close"},
                    )
    except TimeoutError:
        raise ProblemError(
            HTTPStatus.REQUEST_TIMEOUT,
            f"The body did not come within {PATIENCE_S:.0f} seconds.",
            {"Connection": "close"},
        ) from None
    except ClientDisconnect:
        raise ProblemError(HTTPStatus.BAD_REQUEST, "The caller left in mid-sentence.") from None
    return bytes(data)
