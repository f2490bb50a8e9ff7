"""Who may call, and how often; and what every answer says to the browser that gets it.

A page of another site must not move the station through a browser in this network: neither under a
name that it made to point here (Host), nor by a form of its own (Origin, Sec-Fetch-Site).
"""

import hmac
import ipaddress
from collections import OrderedDict
from collections.abc import Callable, Collection, MutableMapping
from dataclasses import dataclass
from http import HTTPStatus

from starlette.datastructures import Headers
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from broadcaster.clock import Clock
from broadcaster.room.gate import Budget
from broadcaster.room.http_problem import ProblemError

MOST_CALLERS = 1000
"""Addresses whose budgets are remembered."""


@dataclass(frozen=True, slots=True)
class Limits:
    """How often an address may call: so many a second, and so many at once. Reports of facts are
    not counted: the intake takes them all, and sheds all but the newest.
    """

    calls: tuple[float, int] = (50.0, 200)
    """Of the plain voice as many, and they are counted apart: no flood keeps it off the air."""
    wrong_tokens: tuple[float, int] = (0.2, 10)


USUAL = Limits()

_SAFE_HEADERS = tuple(
    (name.encode(), value.encode())
    for name, value in {
        "content-security-policy": (
            "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; "
            "connect-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
        ),
        "x-content-type-options": "nosniff",
        "referrer-policy": "no-referrer",
        "cross-origin-resource-policy": "same-origin",
        "cross-origin-opener-policy": "same-origin",
        "cache-control": "no-store",
    }.items()
)


class Guard:
    """Stands before the application."""

    def __init__(
        self,
        application: ASGIApp,
        *,
        clock: Clock,
        token: str | None,
        open_paths: Collection[str],
        hosts: Collection[str] = (),
        only_loopback: bool = True,
        limits: Limits = USUAL,
        complain: Callable[[str, str], None],
    ) -> None:
        """`open_paths` need no token: the page, in which nothing secret stands. `complain` is told
        who gave a wrong token, and that in a sentence.
        """
        self._application = application
        self._clock = clock
        self._token = None if token is None else token.encode()
        self._open_paths = frozenset(open_paths)
        self._hosts = frozenset(host.lower().rstrip(".") for host in hosts)
        self._only_loopback = only_loopback
        self._complain = complain
        self._calls = _Budgets(*limits.calls)
        self._plain_voice = _Budgets(*limits.calls)
        self._guesses = _Budgets(*limits.wrong_tokens)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer, or let the application answer."""
        if scope["type"] != "http":
            return

        async def send_safely(message: Message) -> None:
            if message["type"] == "http.response.start":
                message["headers"] = [*message["headers"], *_SAFE_HEADERS]
            await send(message)

        try:
            self._let_in(scope)
        except ProblemError as problem:
            await problem.response()(scope, receive, send_safely)
        else:
            await self._application(scope, receive, send_safely)

    def _let_in(self, scope: MutableMapping[str, object]) -> None:
        headers = Headers(scope=scope)
        path, method = str(scope["path"]), str(scope["method"])
        self._know_host(headers)
        self._know_origin(headers, str(scope["scheme"]), navigates=path in self._open_paths)
        client = scope.get("client")
        caller = str(client[0]) if isinstance(client, tuple | list) else ""
        if path not in self._open_paths:
            self._know_token(headers, caller)
        if not (path.startswith("/facts") and method in ("PUT", "PATCH")):
            plain_voice = path.startswith("/plain-voice")
            budgets = self._plain_voice if plain_voice else self._calls
            self._count(budgets, caller, "Too many requests came; send it again later.")

    def _know_host(self, headers: Headers) -> None:
        """A browser names what stands in its address line: our address, or a name we know."""
        if headers.getlist("host")[1:] or not self._is_ours(headers.get("host", "")):
            raise ProblemError(
                HTTPStatus.MISDIRECTED_REQUEST,
                "This station is not known by that name. Names other than its address must stand "
                "in `hosts` of its settings.",
            )

    def _is_ours(self, authority: str) -> bool:
        name = _host_of(authority)
        if name == "localhost" or name in self._hosts:
            return True
        try:
            address = ipaddress.ip_address(name)
        except ValueError:
            return False
        return address.is_loopback or not self._only_loopback

    def _know_origin(self, headers: Headers, scheme: str, *, navigates: bool) -> None:
        """What a browser says of the page that calls; other programs say nothing."""
        origin = headers.get("origin")
        site = headers.get("sec-fetch-site", "none")
        followed = navigates and headers.get("sec-fetch-mode") == "navigate"
        if origin is not None and origin.lower() != f"{scheme}://{headers['host']}".lower():
            raise _foreign()
        if site not in ("same-origin", "none") and not followed:
            raise _foreign()

    def _know_token(self, headers: Headers, caller: str) -> None:
        if self._token is None:
            return
        challenge = {"WWW-Authenticate": 'Bearer realm="station"'}
        given = headers.get("authorization")
        if given is None:
            raise ProblemError(
                HTTPStatus.UNAUTHORIZED,
                "This station wants its token, as `Authorization: Bearer TOKEN`.",
                challenge,
            )
        now_s, guesses = self._clock.seconds(), self._guesses.of(caller)
        wait_s = guesses.ready_s(now_s) - now_s
        if wait_s > 0:
            raise ProblemError.too_many("Too many wrong tokens came; wait.", wait_s)
        scheme, _, token = given.partition(" ")
        right = hmac.compare_digest(token.strip().encode("latin-1"), self._token)
        if scheme.lower() != "bearer" or not right:
            guesses.spend(now_s)
            self._complain(source_of(caller), "A wrong token came; nothing was done.")
            raise ProblemError(
                HTTPStatus.UNAUTHORIZED, "That is not the token of this station.", challenge
            )

    def _count(self, budgets: "_Budgets", caller: str, sentence: str) -> None:
        now_s, budget = self._clock.seconds(), budgets.of(caller)
        if not budget.spend(now_s):
            raise ProblemError.too_many(sentence, budget.ready_s(now_s) - now_s)


def source_of(address: str) -> str:
    """Who calls, for the log: another machine by its address."""
    return "http" if address in ("127.0.0.1", "::1", "") else f"http {address}"


class _Budgets:
    """A budget for each address; the one that was used longest ago is forgotten first."""

    def __init__(self, a_second: float, at_once: int) -> None:
        self._a_second, self._at_once = a_second, at_once
        self._kept: OrderedDict[str, Budget] = OrderedDict()

    def of(self, caller: str) -> Budget:
        """The budget of an address."""
        budget = self._kept.pop(caller, None) or Budget(self._a_second, self._at_once)
        self._kept[caller] = budget
        if len(self._kept) > MOST_CALLERS:
            self._kept.popitem(last=False)
        return budget


def _foreign() -> ProblemError:
    return ProblemError(HTTPStatus.FORBIDDEN, "Pages of other sites may not call this station.")


def _host_of(authority: str) -> str:
    """The host of `host:port`, an IPv6 address without its brackets (RFC 3986, 3.2.2)."""
    if authority.startswith("["):
        host, bracket, rest = authority[1:].partition("]")
        return host if bracket and (not rest or _is_port(rest)) else ""
    host, colon, port = authority.lower().partition(":")
    return host.rstrip(".") if not colon or _is_port(f":{port}") else ""


def _is_port(text: str) -> bool:
    return text.startswith(":") and text[1:].isascii() and text[1:].isdigit()
