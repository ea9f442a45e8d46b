"""Speed of the web app: a real server, a real browser, and fifty clients at once.

Run by ``make bench``. Figures are of one run on one machine; the ratio to the server's plainest
page in the same run says more than the milliseconds. Budgets are printed beside; none fails.
"""

import re
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from http.client import HTTPConnection
from pathlib import Path
from urllib.parse import urlencode, urlsplit

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "browser"))

from browsing import CHROMIUM, FLAGS, Server, started, stopped  # noqa: E402

BREAD = "/breads/leek-and-curd-pockets"
CLIENTS = 50
WATCHING = 25
"""So many of the clients watch for events; the others edit."""
ROUNDS = 8
THINKS = 1.0
"""Seconds between two key presses of one client."""


def percentile(values: list[float], share: float) -> float:
    """The value that a share of all lie below."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def said(name: str, seconds: list[float], plain: float, budget: float) -> None:
    """Print the middle and the 95th percentile, and their ratio to the plainest page."""
    middle, high = statistics.median(seconds), percentile(seconds, 0.95)
    print(
        f"{name:<42} middle {middle * 1e3:6.0f} ms  p95 {high * 1e3:6.0f} ms"
        f"  ({high / plain:4.1f} × a plain page; budget {budget * 1e3:.0f} ms)"
    )


def let_in(server: Server) -> str:
    """Let a client in as its button does; return its cookies."""
    at = urlsplit(server.pairing)
    line = HTTPConnection(at.netloc)
    line.request("GET", at.path)
    answer = line.getresponse()
    token = re.search(r'csrfmiddlewaretoken" value="(\w+)"', answer.read().decode())
    assert token is not None
    cookie = str(answer.headers["Set-Cookie"]).partition(";")[0]
    body = urlencode({"csrfmiddlewaretoken": token[1], "code": at.path.rpartition("/")[2]})
    kind = {"Content-Type": "application/x-www-form-urlencoded", "Cookie": cookie}
    line.request("POST", "/pair", body, kind)
    answer = line.getresponse()
    answer.read()
    assert answer.status == 302
    device = [c for c in answer.headers.get_all("Set-Cookie") or [] if "device" in c]
    return f"{cookie}; {device[0].partition(';')[0]}"


def timed(server: Server, cookie: str, path: str) -> tuple[float, int]:
    """Seconds and bytes of one page, compressed as a browser asks for it."""
    line = HTTPConnection(urlsplit(server.address).netloc)
    began = time.perf_counter()
    line.request("GET", path, headers={"Cookie": cookie, "Accept-Encoding": "gzip"})
    answer = line.getresponse()
    size = len(answer.read())
    assert answer.status == 200, (path, answer.status)
    return time.perf_counter() - began, size


PRESS = """
([field, value]) => new Promise((done) => {
  const input = document.querySelector(`[aria-label="${field}"]`);
  const wanted = Number.parseFloat(value).toFixed(2) + " %";
  const seen = () => document.getElementById("figures").textContent.replace(/\\s/g, " ");
  const began = performance.now();
  const watcher = new MutationObserver(() => {
    if (!seen().includes(wanted)) return;
    watcher.disconnect();
    requestAnimationFrame(() => done(performance.now() - began));
  });
  watcher.observe(document.body, { subtree: true, childList: true, characterData: true });
  input.value = value;
  input.dispatchEvent(new Event("input", { bubbles: true }));
})
"""
"""One key press in a field, and the time until the page that shows it is drawn."""


def key_presses(page: Page, presses: int = 40) -> list[float]:
    """Seconds from a key in the salt's field to the changed figure on the page.

    Measured in the page itself: the browser's driver would add its own. No two values are the
    same, so that nothing is answered from what is kept.
    """
    field = "Amount of salt in dough"
    values = [f"{1.5 + 0.01 * i:.2f} %" for i in range(presses)]
    return [float(page.evaluate(PRESS, [field, value])) / 1000 for value in values]


def form_of(page: Page) -> str:
    """The editor's form as its script sends it."""
    fields = page.evaluate(
        "[...new FormData(document.getElementById('editor'))].map(([k, v]) => [k, String(v)])"
    )
    return urlencode([(str(name), str(value)) for name, value in fields])


def crowd(server: Server, cookie: str, body: str) -> tuple[list[float], list[str]]:
    """Fifty clients: half press keys, half watch for events."""
    taken: list[float] = []
    errors: list[str] = []
    over = threading.Event()

    def guarded(act: Callable[[HTTPConnection], None]) -> None:
        try:
            act(HTTPConnection(urlsplit(server.address).netloc, timeout=30))
        except (OSError, AssertionError) as error:
            errors.append(repr(error))

    def edit(line: HTTPConnection) -> None:
        kind = {"Content-Type": "application/x-www-form-urlencoded", "Cookie": cookie}
        for _ in range(ROUNDS):
            began = time.perf_counter()
            line.request("POST", f"{BREAD}/live", body, {**kind, "HX-Request": "true"})
            answer = line.getresponse()
            answer.read()
            assert answer.status == 200, answer.status
            taken.append(time.perf_counter() - began)
            time.sleep(THINKS)

    def watch(line: HTTPConnection) -> None:
        topic = urlencode({"topic": f"bread:{BREAD.rpartition('/')[2]}"})
        line.request("GET", f"/events?{topic}", headers={"Cookie": cookie})
        answer = line.getresponse()
        assert answer.status == 200, answer.status
        over.wait()
        line.close()

    watching = [threading.Thread(target=guarded, args=(watch,)) for _ in range(WATCHING)]
    editing = [threading.Thread(target=guarded, args=(edit,)) for _ in range(CLIENTS - WATCHING)]
    for i, thread in enumerate((*watching, *editing)):
        thread.start()
        time.sleep(THINKS / CLIENTS if i >= WATCHING else 0)
    for thread in editing:
        thread.join()
    over.set()
    return taken, errors


def memory(server: Server) -> float:
    """Megabytes the server holds (Linux)."""
    status = Path(f"/proc/{server.process.pid}/status").read_text("ascii")
    found = re.search(r"VmRSS:\s+(\d+) kB", status)
    assert found is not None
    return int(found[1]) / 1024


def measured(server: Server) -> None:
    """Measure and print."""
    cookie = let_in(server)
    timed(server, cookie, "/breads")  # figures of the list are made once
    plain = statistics.median(timed(server, cookie, "/devices")[0] for _ in range(20))
    print(f"a plain page {plain * 1e3:.0f} ms")
    for path in ("/breads", BREAD, f"{BREAD}/plan", f"{BREAD}/card"):
        sizes = [timed(server, cookie, path) for _ in range(10)]
        said(f"{path} ({sizes[0][1] / 1000:.0f} kB sent)", [t for t, _ in sizes], plain, 0.5)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        context = browser.new_context()
        pairs = (pair.partition("=") for pair in cookie.split("; "))
        context.add_cookies([{"name": n, "value": v, "url": server.address} for n, _, v in pairs])
        page = context.new_page()
        page.goto(server.address + BREAD)
        said("key press to changed page", key_presses(page), plain, 0.15)
        body = form_of(page)
        browser.close()
    taken, errors = crowd(server, cookie, body)
    said(f"{CLIENTS} clients, a key press of one", taken, plain, 0.3)
    print(f"{len(errors)} errors {errors[:1] if errors else ''}")
    print(f"memory {memory(server):.0f} MB (budget 400 MB)")


def main() -> None:
    """Measure a server on a library of its own."""
    with tempfile.TemporaryDirectory() as folder:
        server = started(Path(folder) / "library")
        try:
            measured(server)
        finally:
            stopped(server)


if __name__ == "__main__":
    main()
