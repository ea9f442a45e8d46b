"""Make the pictures of the README: the real pages, of the demo's library, in a real browser."""

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "browser"))

from browsing import CHROMIUM, DESK, FLAGS, PHONE, Server, started, stopped  # noqa: E402
from playwright.sync_api import Browser, sync_playwright  # noqa: E402

TO = ROOT / "docs" / "images"
BREAD = "/breads/leek-and-curd-pockets"
SHOTS = (
    ("breads", "/breads", "desk", "light"),
    ("formula", BREAD, "desk", "light"),
    ("plan", f"{BREAD}/plan?room=24 °C&start=2026-03-01T09:00", "desk", "light"),
    ("plan-phone-dark", f"{BREAD}/plan?start=2026-03-01T09:00", "phone", "dark"),
    ("card", f"{BREAD}/card?measures=yes", "desk", "light"),
    ("kitchen-phone", "/kitchens/harbour-lane", "phone", "light"),
)
"""Name, address, whose screen, light or dark."""


def shoot(server: Server, browser: Browser) -> None:
    """Take every picture."""
    first = browser.new_context()
    page = first.new_page()
    page.goto(server.pairing)
    page.get_by_role("button", name="Let it in").click()
    page.wait_for_url("**/breads")
    state = first.storage_state()
    for name, address, screen, scheme in SHOTS:
        context = browser.new_context(
            storage_state=state,
            viewport=PHONE if screen == "phone" else DESK,  # type: ignore[arg-type]  # two sizes
            color_scheme="dark" if scheme == "dark" else "light",
        )
        page = context.new_page()
        page.goto(server.address + address, wait_until="networkidle")
        page.screenshot(path=TO / f"{name}.png")
        print(TO.relative_to(ROOT) / f"{name}.png")  # noqa: T201 - what was made
        context.close()


def main() -> None:
    """Start a server on a library of its own and take the pictures."""
    TO.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = started(Path(folder) / "library")
        try:
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
            shoot(server, browser)
        finally:
            stopped(server)


if __name__ == "__main__":
    main()
