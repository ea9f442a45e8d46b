"""A real server on a library of its own, and a real browser before it."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from urllib.request import urlopen

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
)
PHONE = {"width": 360, "height": 740}
DESK = {"width": 1280, "height": 900}
STARTS_WITHIN = 90.0
"""Seconds for the first start, which may compile the models."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(item.fspath).parent == Path(__file__).parent:
            item.add_marker(pytest.mark.browser)
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="no chromium: apt install chromium"))


@dataclass(frozen=True, slots=True)
class Server:
    """A running server: its address, its process and a way to let a browser in."""

    address: str
    process: "subprocess.Popen[str]"
    pairing: str
    data: Path


def started(data: Path, *options: str) -> Server:
    """Start the program as its user does; it prints the address that lets a browser in."""
    command = [sys.executable, "-m", "doughwright", "serve", "--no-browser", "--data", str(data)]
    port = free_port()
    env = {**os.environ, "PYTHONUNBUFFERED": "1"}
    process = subprocess.Popen(
        [*command, "--port", str(port), *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env=env,
    )
    said = ""
    until = time.monotonic() + STARTS_WITHIN
    while "Stop with" not in said and time.monotonic() < until:
        assert process.stdout is not None
        said += process.stdout.readline()
        assert process.poll() is None, said
    found = re.search(r"http://127\.0\.0\.1:\d+/pair/\w+", said)
    assert found is not None, said
    address = f"http://127.0.0.1:{port}"
    _answers(address, until)
    return Server(address, process, found[0], data)


def _answers(address: str, until: float) -> None:
    while time.monotonic() < until:
        try:
            urlopen(f"{address}/style.css", timeout=5).read()  # noqa: S310 - our own server
        except OSError:
            time.sleep(0.05)
        else:
            return
    raise AssertionError(f"{address} does not answer")


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def stopped(server: Server) -> None:
    server.process.terminate()
    server.process.wait(timeout=20)


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One server for all, with the demo's library; what a test adds has a name of its own."""
    running = started(tmp_path_factory.mktemp("library"))
    yield running
    stopped(running)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def let_in(server: Server, chromium: Browser, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The state of a browser that was let in by its button."""
    context = chromium.new_context()
    page = context.new_page()
    page.goto(server.pairing)
    page.get_by_role("button", name="Let it in").click()
    page.wait_for_url("**/breads")
    path = tmp_path_factory.mktemp("browser") / "state.json"
    context.storage_state(path=path)
    context.close()
    return path


@dataclass(slots=True)
class Watch:
    """What a page said on the console and asked of other machines."""

    console: list[str]
    outside: list[str]


def watched(context: BrowserContext, address: str) -> Watch:
    """Note every console message, every error and every request to elsewhere."""
    watch = Watch([], [])

    def on_page(page: Page) -> None:
        page.on("console", lambda message: watch.console.append(message.text))
        page.on("pageerror", lambda error: watch.console.append(str(error)))

    context.on("page", on_page)
    context.on(
        "request",
        lambda request: (
            None
            if request.url.startswith((address, "data:", "blob:"))
            else watch.outside.append(request.url)
        ),
    )
    return watch


@pytest.fixture
def opened(server: Server, chromium: Browser, let_in: Path) -> Iterator["Opening"]:
    """A way to open pages; whatever is opened must be silent and stay at home."""
    opening = Opening(server.address, chromium, let_in, [], [])
    yield opening
    for context in opening.contexts:
        context.close()
    assert [m for w in opening.watches for m in w.console] == []
    assert [r for w in opening.watches for r in w.outside] == []


@dataclass(slots=True)
class Opening:
    """Opens pages as a phone or a desk, light or dark, with script or without."""

    address: str
    chromium: Browser
    state: Path
    contexts: list[BrowserContext]
    watches: list[Watch]

    def page(
        self, path: str, *, phone: bool = False, dark: bool = False, script: bool = True
    ) -> Page:
        """Open a page of its own browser."""
        context = self.chromium.new_context(
            viewport=PHONE if phone else DESK,  # type: ignore[arg-type]  # a typed dict of two sizes
            color_scheme="dark" if dark else "light",
            java_script_enabled=script,
            has_touch=phone,
            storage_state=self.state,
        )
        context.set_default_timeout(15_000)
        self.contexts.append(context)
        self.watches.append(watched(context, self.address))
        page = context.new_page()
        page.goto(f"{self.address}{path}")
        return page
