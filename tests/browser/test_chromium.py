"""The interface in a real browser: comes in, asks nothing of any other machine, answers a question by its keys.

It needs Debian's Chromium. Without it the test fails and names the package; it is never skipped.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import sync_playwright

from riskhelper.record.replay import replayed
from riskhelper.store.sqlite import SqliteStore
from tests.browser.free_port import free_port

ROOT = Path(__file__).parents[2]
PATIENCE_S = 60.0
STEP_MS = 2000
SIZE = {"width": 1180, "height": 820}  # a tablet held sideways

pytestmark = pytest.mark.slow


def chromium() -> str:
    found = shutil.which("chromium") or shutil.which("chromium-browser")
    assert found, "Chromium is missing. On Debian: apt-get install chromium"
    return found


@contextmanager
def offered(home: Path, port: int) -> Iterator[str]:
    """The interface on a rehearsal store of its own; gives the address that lets one browser in."""
    environment = {"HOME": str(home), "PATH": os.environ["PATH"], "PYTHONPATH": str(ROOT), "LANG": "C.UTF-8"}
    (home / ".config" / "riskhelper").mkdir(parents=True)
    (home / ".config" / "riskhelper" / "config.toml").write_text('local_code = "en50110"\n')
    store = ["--rehearsal", "--store", str(home / "rehearsal.sqlite")]
    command = [sys.executable, "-m", "riskhelper", *store, "open-in-browser", "--port", str(port)]
    running = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=subprocess.PIPE, text=True)
    try:
        assert running.stdout is not None
        yield running.stdout.readline().strip()
    finally:
        running.terminate()
        running.wait(timeout=PATIENCE_S)


def answers(home: Path) -> dict[str, object]:
    """What the store holds of the job."""
    file = home / "rehearsal.sqlite"
    if not file.is_file():
        return {}
    with SqliteStore(file, rehearsal=True) as store:
        entries = store.entries("7") if "7" in store.jobs() else ()
    return {name: answer.value for name, answer in replayed(entries).job.answers.items()} if entries else {}


def test_a_question_is_answered_in_a_browser_and_nothing_is_asked_of_another_machine(tmp_path: Path) -> None:
    port = free_port()
    asked: list[str] = []
    with offered(tmp_path, port) as entrance, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page(viewport=SIZE)  # type: ignore[arg-type]
        page.on("request", lambda request: asked.append(request.url))
        page.goto(entrance)
        page.get_by_role("button", name="Come in").click()
        page.wait_for_selector("body.-first-byte", timeout=PATIENCE_S * 1000)
        for typed in ("7", "Enter", "1"):
            page.wait_for_timeout(STEP_MS)
            page.keyboard.press(typed)
        until = time.monotonic() + PATIENCE_S
        while "job.site_name" not in answers(tmp_path) and time.monotonic() < until:
            page.wait_for_timeout(STEP_MS)
            page.keyboard.type("Heron Quay")
            page.keyboard.press("Enter")
        picture = page.screenshot(path=str(tmp_path / "browser.png"))
        browser.close()

    assert str(answers(tmp_path)["job.site_name"]).startswith("Heron Quay")
    assert {urlsplit(url).netloc for url in asked} == {f"127.0.0.1:{port}"}
    assert len(picture) > 10_000, "the screenshot shows next to nothing"
