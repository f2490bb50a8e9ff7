"""What each path does. Every order goes through the intake; nothing else is decided here."""

from collections.abc import AsyncIterator, Awaitable, Callable, Mapping
from http import HTTPStatus
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import JSONResponse, Response, StreamingResponse
from starlette.routing import BaseRoute, Route

from broadcaster.room.commands import LONGEST_NAME, Refusal, RefusedError
from broadcaster.room.http_body import mapping_in
from broadcaster.room.http_document import by_hand_path, document, fact_path
from broadcaster.room.http_events import EventLine
from broadcaster.room.http_facts import Facts
from broadcaster.room.http_guard import source_of
from broadcaster.room.http_orders import ORDERS, Order
from broadcaster.room.http_problem import ProblemError
from broadcaster.room.part import Surroundings
from broadcaster.script.names import clipped
from broadcaster.units import RATE

_Answer = Callable[[Request], Awaitable[Response]]

PAGE: Mapping[str, tuple[str, str]] = {
    "/": ("desk.html", "text/html"),
    "/desk.css": ("desk.css", "text/css"),
    "/desk.js": ("desk.js", "text/javascript"),
    "/panels.js": ("panels.js", "text/javascript"),
    "/station.js": ("station.js", "text/javascript"),
    "/words.js": ("words.js", "text/javascript"),
    "/desk.svg": ("desk.svg", "image/svg+xml"),
}
"""The desk page: its files by their paths, each with its type. Nothing secret stands in them."""
_PAGE_FOLDER = Path(__file__).with_name("page")
_LISTENERS = 32
"""Callers who can follow the events at once."""


class Desk:
    """The paths of one station."""

    def __init__(self, around: Surroundings, line: EventLine) -> None:
        self._around = around
        self._line = line
        self._listeners = 0
        self._facts = Facts(around)
        self._document = document(around.programme, self._facts)
        self._programme = _programme_record(around, self._facts)

    def application(self) -> Starlette:
        """The application, without its guard."""
        handlers: Mapping[Any, Any] = {
            ProblemError: _tell_problem,
            RefusedError: _tell_refused,
            HTTPException: _tell_http_error,
            Exception: self._tell_failure,
        }
        return Starlette(routes=list(self._routes()), exception_handlers=handlers)

    def _routes(self) -> list[BaseRoute]:
        page = [Route(path, _file(name, kind)) for path, (name, kind) in PAGE.items()]
        return [
            Route("/facts/{fact:path}", self._fact, methods=["GET", "PUT"]),
            Route("/by-hand/{fact:path}", self._fact_by_hand, methods=["GET", "PUT"]),
            Route("/facts", self._all_facts, methods=["GET", "PATCH"]),
            *(Route(path, self._obey(orders), methods=list(orders)) for path, orders in _by_path()),
            Route("/status", _told(lambda: JSONResponse(self._around.status.as_record()))),
            Route("/events", self._events),
            Route("/programme", _told(lambda: JSONResponse(self._programme))),
            Route("/openapi.json", _told(lambda: JSONResponse(self._document))),
            *page,
        ]

    # --- facts -----------------------------------------------------------------------------------

    async def _fact(self, request: Request) -> Response:
        return await self._tell_or_take(
            request, lambda source, fact, value: self._facts.report(source, {fact: value})
        )

    async def _fact_by_hand(self, request: Request) -> Response:
        return await self._tell_or_take(request, self._facts.set_by_hand)

    async def _tell_or_take(
        self, request: Request, take: Callable[[str, str, object], Refusal | None]
    ) -> Response:
        """Tell one fact's value, or take one."""
        fact = request.path_params["fact"]
        try:
            now = self._facts.value_of(fact)
        except RefusedError as error:
            raise ProblemError(HTTPStatus.NOT_FOUND, error.refusal.sentence) from None
        if request.method != "PUT":
            return JSONResponse({"value": now})
        body = await mapping_in(request)
        if set(body) != {"value"}:
            raise _unfit("The body has one key, `value`, and no other.")
        return self._taken(take(_source(request), fact, body["value"]), body)

    async def _all_facts(self, request: Request) -> Response:
        if request.method != "PATCH":
            return JSONResponse(self._facts.now())
        body = await mapping_in(request)
        return self._taken(self._facts.report(_source(request), body), body)

    def _taken(self, refusal: Refusal | None, answer: Mapping[str, Any]) -> Response:
        if refusal:
            raise ProblemError.refused(refusal)
        return JSONResponse(dict(answer), HTTPStatus.ACCEPTED)

    # --- orders ----------------------------------------------------------------------------------

    def _obey(self, orders: Mapping[str, Order]) -> _Answer:
        async def answer(request: Request) -> Response:
            order = orders[request.method]
            body = dict(await mapping_in(request, needed=bool(order.needed)))
            if order.confirmed and body.pop("confirm", None) != order.event:
                raise _unfit(f'Only with `"confirm": "{order.event}"` is this obeyed.')
            told = {"event": order.event, **order.says}
            surplus = next((key for key in told if key in body), None)
            if surplus:
                raise _unfit(f"`{surplus}` does not belong here; the path tells it.")
            message = {**told, **body}
            return self._taken(self._around.intake.take(_source(request), message), message)

        return answer

    # --- how things stand ------------------------------------------------------------------------

    async def _events(self, request: Request) -> Response:
        if self._listeners >= _LISTENERS:
            raise ProblemError(
                HTTPStatus.SERVICE_UNAVAILABLE,
                f"{_LISTENERS} callers follow the events already.",
                {"Retry-After": "10"},
            )
        events = self._line.listen(request.headers.get("last-event-id"))
        return StreamingResponse(self._counted(events), media_type="text/event-stream")

    async def _counted(self, events: AsyncIterator[str]) -> AsyncIterator[str]:
        self._listeners += 1
        try:
            async for event in events:
                yield event
        finally:
            self._listeners -= 1

    async def _tell_failure(self, request: Request, error: Exception) -> Response:
        """A fault of ours: told to the operator, and not to the caller."""
        self._around.trouble(f"{request.method} {clipped(request.url.path)} failed: {error!r}")
        return ProblemError(
            HTTPStatus.INTERNAL_SERVER_ERROR, "The station could not do this; its log says why."
        ).response()


def _by_path() -> list[tuple[str, dict[str, Order]]]:
    paths: dict[str, dict[str, Order]] = {}
    for order in ORDERS:
        paths.setdefault(order.path, {})[order.method] = order
    return list(paths.items())


def _source(request: Request) -> str:
    return source_of(request.client.host if request.client else "")


def _programme_record(around: Surroundings, facts: Facts) -> dict[str, Any]:
    """What stays the same as long as the station is on air."""
    programme = around.programme
    return {
        "programme": programme.programme,
        "callsign": programme.station.callsign,
        "frequency_hz": programme.station.frequency,
        "session_s": programme.session,
        "frames_a_second": RATE,
        "plain_voice": programme.plain_voice_text,
        "segments": {name: segment.about or "" for name, segment in programme.segments.items()},
        "facts": {
            name: {
                "path": fact_path(outside),
                "by_hand": by_hand_path(outside),
                **facts.schema(name, by_hand=True),
            }
            for name, outside in facts.named().items()
        },
    }


def _told(make: Callable[[], Response]) -> _Answer:
    async def answer(request: Request) -> Response:
        del request
        return make()

    return answer


def _file(name: str, kind: str) -> _Answer:
    content = (_PAGE_FOLDER / name).read_bytes()
    return _told(lambda: Response(content, media_type=kind))


def _unfit(sentence: str) -> ProblemError:
    return ProblemError(HTTPStatus.UNPROCESSABLE_ENTITY, sentence)


async def _tell_problem(request: Request, problem: ProblemError) -> Response:
    del request
    return problem.response()


async def _tell_refused(request: Request, error: RefusedError) -> Response:
    del request
    return ProblemError.refused(error.refusal).response()


async def _tell_http_error(request: Request, error: HTTPException) -> Response:
    path = clipped(request.url.path)
    sentences = {
        HTTPStatus.NOT_FOUND: f"There is nothing at {path[:LONGEST_NAME]}.",
        HTTPStatus.METHOD_NOT_ALLOWED: f"{path} does not take {request.method}.",
    }
    status = HTTPStatus(error.status_code)
    return ProblemError(status, sentences.get(status, error.detail), error.headers).response()
