"""A real server, a real browser, and what a page said and asked for."""

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path
from urllib.request import urlopen

from playwright.sync_api import Browser, BrowserContext, Page, expect

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

BUNS = """\
doughwright: formula/1
name: Milk buns
# my own comment stays
yield: {pieces: 12, piece: 70 g}
preparations:
  dough:
    kind: dough
    aim: 26 °C
    ingredients:
      strong white flour: 100 %
      whole milk: 58 %
      salt: 1.8 %
      instant yeast: 1.2 %
process:
  - mix: dough
    by: hand
  - ferment: dough
    until: double
  - divide: dough
  - shape: dough
  - proof: dough
    until: 1.8x
  - bake: dough
    oven: 180 °C fan
"""


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
    """Stop a server; what it printed last is the message where it failed."""
    with server.process as process:
        process.terminate()
        assert process.stdout is not None
        assert "Traceback" not in process.stdout.read()


FOCUSED = "Autofocus processing was blocked because a document already has a focused element."
"""What Chromium logs of a field that script has put the focus in before; nothing is wrong."""


@dataclass(slots=True)
class Watch:
    """What a page said on the console and asked of other machines."""

    console: list[str]
    outside: list[str]


def watched(context: BrowserContext, address: str) -> Watch:
    """Note every console message, every error and every request to elsewhere."""
    watch = Watch([], [])

    def logged(words: str) -> None:
        if words != FOCUSED:
            watch.console.append(words)

    def on_page(page: Page) -> None:
        page.on("console", lambda message: logged(message.text))
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


@dataclass(slots=True)
class Opening:
    """Opens pages as a phone or a desk, light or dark, with script or without."""

    address: str
    chromium: Browser
    state: Path
    contexts: list[BrowserContext]
    watches: list[Watch]

    def page(
        self,
        path: str,
        *,
        phone: bool = False,
        dark: bool = False,
        script: bool = True,
        quiet: bool = True,
        known: bool = True,
    ) -> Page:
        """Open a page of a browser of its own; unless ``quiet``, its console is not looked at.

        One that is not ``known`` was not let in.
        """
        context = self.chromium.new_context(
            viewport=PHONE if phone else DESK,  # type: ignore[arg-type]  # a typed dict of two sizes
            color_scheme="dark" if dark else "light",
            java_script_enabled=script,
            has_touch=phone,
            storage_state=self.state if known else None,
        )
        context.set_default_timeout(15_000)
        self.contexts.append(context)
        if quiet:
            self.watches.append(watched(context, self.address))
        page = context.new_page()
        page.goto(f"{self.address}{path}")
        return page


def brought_in(opened: Opening, name: str, **kinds: bool) -> Page:
    """Bring buns in under a name of their own, as a file."""
    page = opened.page("/breads/import", **kinds)
    text = BUNS.replace("Milk buns", name)
    file = {"name": f"{name.casefold().replace(' ', '-')}.yaml", "mimeType": "text/yaml"}
    page.locator('input[type="file"]').first.set_input_files([{**file, "buffer": text.encode()}])
    page.get_by_role("button", name=re.compile("Bring")).first.click()
    expect(page.get_by_role("main")).to_contain_text("1 new")
    return page


DEAF = "window.EventSource = class { addEventListener() {} close() {} };"


def with_own_clock(page: Page) -> None:
    """Let a test set the clock of the pages to come: the server's no longer puts it right."""
    page.context.add_init_script(DEAF)
    page.clock.install()
