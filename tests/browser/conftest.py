"""One server on a library of its own for all browser tests, and one browser before it."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from browsing import CHROMIUM, FLAGS, Opening, Server, started, stopped
from playwright.sync_api import Browser, sync_playwright


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    for item in items:
        if Path(item.fspath).parent == Path(__file__).parent:
            item.add_marker(pytest.mark.browser)
            if CHROMIUM is None:
                item.add_marker(pytest.mark.skip(reason="no chromium: apt install chromium"))


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


@pytest.fixture
def opened(server: Server, chromium: Browser, let_in: Path) -> Iterator[Opening]:
    """A way to open pages; whatever is opened must be silent and stay at home."""
    opening = Opening(server.address, chromium, let_in, [], [])
    yield opening
    for context in opening.contexts:
        context.close()
    assert [m for w in opening.watches for m in w.console] == []
    assert [r for w in opening.watches for r in w.outside] == []
