"""The door of the browser: one code, one browser; no other page, host or stranger gets an answer or a socket."""

from __future__ import annotations

import asyncio
import re
import shlex
import sys
from collections.abc import Awaitable, Callable
from pathlib import Path

import aiohttp
import pytest
from aiohttp import web

from riskhelper.acts.context import Refused
from riskhelper.browser.address import Address
from riskhelper.browser.doors import Doors
from riskhelper.browser.guard import COOKIE
from riskhelper.browser.serving import application
from tests.browser.free_port import free_port

PROGRAM = "import sys; sys.stdout.buffer.write(b'__GANGLION__\n'); sys.stdout.flush(); sys.stdin.read()"
ECHO = shlex.join([sys.executable, "-c", PROGRAM])
FOREIGN = "http://elsewhere.example"
Asked = Callable[[aiohttp.ClientSession, Address, Doors], Awaitable[None]]


def served(ask: Asked) -> None:
    """Runs the server with a program that says nothing, and asks it something."""

    async def run() -> None:
        address, doors = Address(port=free_port()), Doors()
        runner = web.AppRunner(application(ECHO, address, doors))
        await runner.setup()
        await web.TCPSite(runner, address.host, address.port).start()
        try:
            async with aiohttp.ClientSession(cookie_jar=aiohttp.CookieJar(unsafe=True)) as session:
                await ask(session, address, doors)
        finally:
            await runner.cleanup()

    asyncio.run(run())


async def come_in(session: aiohttp.ClientSession, address: Address, code: str, origin: str = "") -> int:
    headers = {"Origin": origin or address.url}
    async with session.post(f"{address.url}/enter/{code}", headers=headers, allow_redirects=False) as answer:
        return answer.status


async def page(session: aiohttp.ClientSession, url: str, **headers: str) -> tuple[int, str]:
    async with session.get(url, headers=headers) as answer:
        return answer.status, await answer.text()


async def socket(session: aiohttp.ClientSession, address: Address, **headers: str) -> int:
    """101 where a socket opens, else the status."""
    try:
        async with session.ws_connect(f"{address.url}/ws", headers=headers):
            return 101
    except aiohttp.WSServerHandshakeError as refused:
        return refused.status


@pytest.mark.parametrize("path", ["/", "/ws", "/terminal/js/textual.js", "/download/x"])
def test_a_stranger_gets_nothing(path: str) -> None:
    async def ask(session: aiohttp.ClientSession, address: Address, _: Doors) -> None:
        status, words = await page(session, address.url + path, Origin=address.url)
        assert status == 403
        assert "Come in by the address" in words

    served(ask)


def test_a_code_lets_one_browser_in_once_and_looking_at_its_page_does_not_use_it_up() -> None:
    async def ask(session: aiohttp.ClientSession, address: Address, doors: Doors) -> None:
        code = doors.code
        assert (await page(session, f"{address.url}/enter/{code}"))[0] == 200
        assert doors.code == code
        assert await come_in(session, address, code) == 303
        assert (await page(session, address.url))[0] == 200
        async with aiohttp.ClientSession() as other:
            assert await come_in(other, address, code) == 403
            assert await come_in(other, address, "guess") == 403
            assert (await page(other, address.url))[0] == 403

    served(ask)


def test_the_mark_is_kept_from_scripts_and_other_sites() -> None:
    async def ask(session: aiohttp.ClientSession, address: Address, doors: Doors) -> None:
        headers = {"Origin": address.url}
        async with session.post(
            f"{address.url}/enter/{doors.code}", headers=headers, allow_redirects=False
        ) as answer:
            cookie = answer.headers["Set-Cookie"]
        assert cookie.startswith(f"{COOKIE}=")
        assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= {part.strip() for part in cookie.split(";")}

    served(ask)


def test_a_foreign_page_opens_no_socket_although_the_browser_has_come_in() -> None:
    async def ask(session: aiohttp.ClientSession, address: Address, doors: Doors) -> None:
        await come_in(session, address, doors.code)
        assert await socket(session, address, Origin=address.url) == 101
        assert await socket(session, address, Origin=FOREIGN) == 403
        assert await socket(session, address, Origin=address.url.replace("127.0.0.1", "localhost")) == 403
        assert await socket(session, address) == 403

    served(ask)


def test_no_socket_opens_without_the_mark() -> None:
    async def ask(session: aiohttp.ClientSession, address: Address, _: Doors) -> None:
        assert await socket(session, address, Origin=address.url) == 403

    served(ask)


def test_a_foreign_page_cannot_use_up_the_code_nor_ask_under_another_host() -> None:
    async def ask(session: aiohttp.ClientSession, address: Address, doors: Doors) -> None:
        code = doors.code
        assert await come_in(session, address, code, origin=FOREIGN) == 403
        assert doors.code == code
        assert (await page(session, f"{address.url}/enter/{code}", Host="elsewhere.example"))[0] == 403

    served(ask)


def test_the_page_loads_everything_from_this_machine_and_says_so() -> None:
    async def ask(session: aiohttp.ClientSession, address: Address, doors: Doors) -> None:
        await come_in(session, address, doors.code)
        async with session.get(address.url) as answer:
            words, policy = await answer.text(), answer.headers["Content-Security-Policy"]
        async with session.get(f"{address.url}/font.ttf") as font:
            assert (await font.read())[:4] == b"\x00\x01\x00\x00"
        addresses = re.findall(r"""(?:href|src|url)=?[("']+([^"')]+)""", words)
        assert [one for one in addresses if not one.startswith(("/", "data:"))] == [
            f"{address.url.replace('http', 'ws')}/ws"
        ]
        assert "default-src 'none'" in policy
        assert "frame-ancestors 'none'" in policy
        assert (await page(session, f"{address.url}/terminal/"))[0] == 403, "no listing of files"

    served(ask)


@pytest.mark.parametrize(
    ("given", "told"),
    [
        ({"host": "192.0.2.7"}, "others on the network could read along"),
        ({"host": "0.0.0.0"}, "all networks at once"),
        ({"host": "tablet"}, "in figures"),
        ({"port": 70000}, "from 1 to 65535"),
        ({"certificate": Path("a.pem")}, "belong together"),
    ],
)
def test_an_address_that_would_let_others_read_along_is_refused(given: dict[str, object], told: str) -> None:
    with pytest.raises(Refused, match=re.escape(told)):
        Address(**given)  # type: ignore[arg-type]


def test_a_certificate_that_cannot_be_read_is_told(tmp_path: Path) -> None:
    (tmp_path / "c.pem").write_text("no certificate")
    address = Address(host="192.0.2.7", certificate=tmp_path / "c.pem", key=tmp_path / "c.pem")

    assert address.url == "https://192.0.2.7:8340"
    with pytest.raises(Refused, match="cannot be used"):
        _ = address.encryption
