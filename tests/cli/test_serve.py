"""``serve``: where it listens, what it prints, how it ends."""

import os
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.error import HTTPError
from urllib.request import urlopen

import pytest

from doughwright.cli import serve


@pytest.fixture
def taken() -> Iterator[int]:
    """A port on which somebody else listens."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        yield int(other.getsockname()[1])


def test_a_port_that_is_taken_is_refused_in_words(
    taken: int, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as ended:
        serve.free_port("127.0.0.1", taken)
    assert ended.value.code == 3
    assert f"Port {taken} is taken. Give another one with --port." in capsys.readouterr().err


def test_the_next_free_port_is_taken_when_none_is_asked_for(
    taken: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(serve, "PORT", taken)
    assert taken < serve.free_port("127.0.0.1", None) < taken + serve.TRIES


def test_the_qr_code_is_drawn_in_letters() -> None:
    drawn = serve.qr("http://192.0.2.7:8470/pair/abc")
    lines = drawn.splitlines()
    assert len(lines) > 10
    assert set(drawn) <= set("█▀▄ \n\x1b[0123456789m;")


def test_no_browser_is_opened_in_a_bare_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "platform", "linux")
    monkeypatch.delenv("DISPLAY", raising=False)
    monkeypatch.delenv("WAYLAND_DISPLAY", raising=False)
    assert not serve.has_screen()
    monkeypatch.setenv("WAYLAND_DISPLAY", "wayland-0")
    assert serve.has_screen()


@contextmanager
def running(
    data: Path, *options: str, within: tuple[str, ...] = ()
) -> Iterator[tuple["subprocess.Popen[str]", str]]:
    """Start the program, read what it prints until it can be stopped, and stop it."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    program = [sys.executable, "-m", "doughwright", "serve", "--no-browser", "--data", str(data)]
    command = [*within, *program]
    with subprocess.Popen(
        [*command, "--port", str(port), *options],
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
        env={**os.environ, "PYTHONUNBUFFERED": "1"},
    ) as process:
        assert process.stdout is not None
        said = ""
        for line in process.stdout:
            said += line
            if line.startswith("Stop with"):
                break
        try:
            yield process, said
        finally:
            process.send_signal(signal.SIGINT)
            rest = process.stdout.read()
            process.wait(timeout=20)
            assert "Traceback" not in rest, rest


def _status(address: str) -> int:
    for _ in range(100):
        try:
            with urlopen(address, timeout=5) as answer:  # noqa: S310 - our own server
                return int(answer.status)
        except HTTPError as refused:
            refused.close()
            return refused.code
        except OSError:
            time.sleep(0.1)
    return 0


def test_it_serves_who_is_let_in_and_keeps_the_library_for_its_owner(tmp_path: Path) -> None:
    data = tmp_path / "a baker’s library"
    with running(data) as (_, said):
        here = re.search(r"The library is at (\S+)", said)
        code = re.search(r"once\): (\S+)", said)
        assert here is not None, said
        assert code is not None, said
        assert _status(f"{here[1]}/breads") == 401
        assert _status(code[1]) == 200
    assert (data / "library.sqlite3").stat().st_size > 0
    assert {path.name.partition("-")[0] for path in data.iterdir()} == {"library.sqlite3"}
    if os.name == "posix":
        assert data.stat().st_mode & 0o077 == 0


def test_for_phones_it_prints_another_address_with_its_qr_code(tmp_path: Path) -> None:
    if not serve.own_address():
        pytest.skip("this machine is in no network")
    with running(tmp_path / "data", "--lan") as (_, said):
        codes = re.findall(r"/pair/(\w+)", said)
        assert len(set(codes)) == 2, "one code lets in one device"
        assert "█" in said
        assert "not encrypted" in said


NO_NETWORK = (
    *("unshare", "--map-root-user", "--net"),
    *("sh", "-c", 'ip link set lo up && exec "$@"', "sh"),
)
"""A machine that knows itself alone, in a name space of its own that ends with the program."""


def test_without_a_network_it_says_so_and_lets_its_own_browser_in(tmp_path: Path) -> None:
    if not shutil.which("unshare") or subprocess.run([*NO_NETWORK, "true"], check=False).returncode:
        pytest.skip("no network of its own can be made here")
    with running(tmp_path / "data", "--lan", within=NO_NETWORK) as (_, said):
        assert "This machine is in no network" in said
        assert "The library is at http://127.0.0.1:" in said
        assert len(re.findall(r"/pair/(\w+)", said)) == 1
        assert "█" not in said
