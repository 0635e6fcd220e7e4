"""The server: one page, one socket a tab, and behind each socket a process of the interface of its own."""

from __future__ import annotations

import asyncio
import signal
import sys
from importlib import resources
from pathlib import Path
from string import Template

import textual_serve
from aiohttp import web
from textual_serve.server import Server

from riskhelper.acts.context import Refused
from riskhelper.browser.address import Address
from riskhelper.browser.doors import Doors
from riskhelper.browser.guard import COOKIE, ENTRANCE, guard

_STATIC = Path(textual_serve.__file__).parent / "static"
_FONT = _STATIC / "fonts" / "RobotoMono-VariableFont_wght.ttf"
_LET_IN = "This lets the browser in once. Another browser needs the next address that the terminal shows."


def application(command: str, address: Address, doors: Doors) -> web.Application:
    """Everything that is answered, behind the guard."""
    behind = Server(command, host=address.host, port=address.port, title="riskhelper", public_url=address.url)

    async def entrance(request: web.Request) -> web.Response:
        words = {"WORDS": _LET_IN, "CODE": request.match_info["code"]}
        return web.Response(text=_page("enter.html").substitute(words), content_type="text/html")

    async def come_in(request: web.Request) -> web.StreamResponse:
        mark = doors.enter(request.match_info["code"])
        if mark is None:
            raise web.HTTPForbidden(
                text="This address was used before, or is none. Take the one the terminal shows now."
            )
        answer = web.Response(status=303, headers={"Location": "/"})
        answer.set_cookie(COOKIE, mark, httponly=True, samesite="Strict", secure=address.certificate is not None)
        tell(address, doors)
        return answer

    async def interface(_: web.Request) -> web.Response:
        socket = f"{address.url.replace('http', 'ws', 1)}/ws"
        return web.Response(text=_page("interface.html").substitute(SOCKET=socket), content_type="text/html")

    async def style(_: web.Request) -> web.Response:
        return web.Response(text=_page("page.css").template, content_type="text/css")

    async def script(_: web.Request) -> web.Response:
        return web.Response(text=_page("page.js").template, content_type="text/javascript")

    async def font(_: web.Request) -> web.StreamResponse:
        return web.FileResponse(_FONT)

    app = web.Application(middlewares=[guard(address, doors)])
    app.add_routes(
        [
            web.get(f"{ENTRANCE}/{{code}}", entrance),
            web.post(f"{ENTRANCE}/{{code}}", come_in),
            web.get("/", interface),
            web.get("/ws", behind.handle_websocket),
            web.get("/download/{key}", behind.handle_download),
            web.get("/page.css", style),
            web.get("/page.js", script),
            web.get("/font.ttf", font),
            web.static("/terminal", _STATIC),
        ]
    )
    return app


def run(command: str, address: Address) -> None:
    """Serves until it is interrupted."""
    asyncio.run(_serve(command, address))


async def _serve(command: str, address: Address) -> None:
    doors, ended = Doors(), asyncio.Event()
    for number in (signal.SIGINT, signal.SIGTERM):
        asyncio.get_running_loop().add_signal_handler(number, ended.set)
    runner = web.AppRunner(application(command, address, doors), access_log=None)
    await runner.setup()
    try:
        await web.TCPSite(runner, address.host, address.port, ssl_context=address.encryption).start()
    except OSError as fault:
        await runner.cleanup()
        raise Refused(
            f"{address.url}: cannot be offered ({fault.strerror}). Choose another --port, or end what uses this one"
        ) from fault
    tell(address, doors)
    await ended.wait()
    await runner.cleanup()
    print("No longer offered. What was shown as saved is saved.", file=sys.stderr)


def tell(address: Address, doors: Doors) -> None:
    """Says by which address the next browser comes in."""
    print(f"{address.url}{ENTRANCE}/{doors.code}", flush=True)
    print("The address lets one browser in, once. Ctrl+C ends the offer.", file=sys.stderr, flush=True)


def _page(name: str) -> Template:
    return Template((resources.files("riskhelper.browser") / "pages" / name).read_text(encoding="utf-8"))
