"""What stands before every answer: own host, own origin, a mark; nothing is loaded from elsewhere or framed."""

from __future__ import annotations

from collections.abc import Awaitable, Callable

from aiohttp import web
from aiohttp.typedefs import Middleware

from riskhelper.browser.address import Address
from riskhelper.browser.doors import Doors

COOKIE = "riskhelper"
ENTRANCE = "/enter"
OPEN_TO_ALL = (ENTRANCE, "/page.css", "/font.ttf")
Handler = Callable[[web.Request], Awaitable[web.StreamResponse]]


def guard(address: Address, doors: Doors) -> Middleware:
    """The guard as a middleware.

    A foreign page can make a browser send requests and open sockets here, but it can neither set their host and
    origin nor see the mark, which the browser keeps from other sites.
    """

    @web.middleware
    async def guarded(request: web.Request, handler: Handler) -> web.StreamResponse:
        if request.host != address.authority:
            raise web.HTTPForbidden(text=f"Open {address.url} instead, as it was printed.")
        origin = request.headers.get("Origin")
        if (origin is not None or _must_say_origin(request)) and origin != address.url:
            raise web.HTTPForbidden(text="This page does not answer to other pages.")
        if not request.path.startswith(OPEN_TO_ALL) and not doors.knows(request.cookies.get(COOKIE, "")):
            raise web.HTTPForbidden(text="Come in by the address that the terminal shows; it works once.")
        response = await handler(request)
        if not response.prepared:
            response.headers.update(_headers(address))
        return response

    return guarded


def _must_say_origin(request: web.Request) -> bool:
    return request.method != "GET" or request.path == "/ws"


def _headers(address: Address) -> dict[str, str]:
    socket = address.url.replace("http", "ws", 1)
    policy = (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self' 'unsafe-inline'",
        "font-src 'self'",
        "img-src 'self' data:",
        f"connect-src 'self' {socket}",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
    return {
        "Content-Security-Policy": "; ".join(policy),
        "X-Content-Type-Options": "nosniff",
        "Referrer-Policy": "same-origin",
        "Cache-Control": "no-store",
    }
