"""``doughwright serve``: the library, on this machine or in its network."""

import os
import socket
import subprocess
import sys
import threading
import webbrowser
from pathlib import Path

import click

from doughwright.cli.asking import CANNOT_READ, announce_compiling, reporting

PORT = 8470
TRIES = 20
"""So many ports after the usual one are tried when it is taken."""


@click.command("serve")
@click.option("--lan", is_flag=True, help="Let phones and others in this network in, by pairing.")
@click.option("--port", type=click.IntRange(1, 65535), help=f"Port; {PORT} without it.")
@click.option("--data", type=click.Path(file_okay=False), help="Folder of the library.")
@click.option("--database", metavar="URL", help="A database's URL, such as postgresql://….")
@click.option("--no-browser", is_flag=True, help="Print the address, open no browser.")
@reporting
def command(
    lan: bool,  # noqa: FBT001 - a flag
    port: int | None,
    data: str | None,
    database: str | None,
    no_browser: bool,  # noqa: FBT001 - a flag
) -> None:
    """Open the library in a browser: breads, formula, bench plan, card.

    It listens on this machine only; with --lan also in the network it is in, and shows a QR
    code that lets in one phone, once, within ten minutes.
    """
    own = own_address() if lan else ""
    if lan and not own:
        click.echo("This machine is in no network: only its own browser can be let in.", err=True)
    host = "0.0.0.0" if own else "127.0.0.1"  # noqa: S104 - asked for by --lan
    at = free_port(host, port)
    os.environ["DOUGHWRIGHT_HOSTS"] = " ".join((own, local_name()) if own else ())
    os.environ["DOUGHWRIGHT_LAN"] = f"http://{own}:{at}" if own else ""
    from doughwright.store.opening import open_library  # noqa: PLC0415 - Django, only here

    open_library(Path(data) if data else None, database or "")
    warm()
    announce(at, own, browser=not no_browser)
    run(host, at)


def own_address() -> str:
    """The address of this machine in its network, if any; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # an address for documentation, RFC 5737
        except OSError:
            return ""
        return str(probe.getsockname()[0])


def local_name() -> str:
    """The name of this machine as its network says it."""
    name = socket.gethostname().split(".")[0].casefold()
    return f"{name}.local"


def free_port(host: str, wanted: int | None) -> int:
    """The port asked for, or the first free one from the usual on."""
    for port in [wanted] if wanted else range(PORT, PORT + TRIES):
        with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as probe:
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            try:
                probe.bind((host, port))
            except OSError:
                continue
            return port
    tried = str(wanted) if wanted else f"{PORT}–{PORT + TRIES - 1}"
    click.echo(f"Port {tried} is taken. Give another one with --port.", err=True)
    raise SystemExit(CANNOT_READ)


def warm() -> None:
    """Compile the models where that was never done; load them while the page opens.

    The compiler runs in a process of its own: its 160 MB go when it ends.
    """
    from doughwright.engine.compiled import BAKE, RISE, is_compiled  # noqa: PLC0415 - only here

    announce_compiling()
    if not is_compiled(RISE, BAKE):
        subprocess.run([sys.executable, "-m", "doughwright.web.warming"], check=False)
    threading.Thread(target=_first_pages, daemon=True).start()


def _first_pages() -> None:
    from django.db import connection  # noqa: PLC0415 - Django, only here

    from doughwright.web.warming import first_pages  # noqa: PLC0415 - the models, only here

    try:
        first_pages()
    finally:
        connection.close()  # it is this thread's own


def announce(port: int, own: str, *, browser: bool) -> None:
    """Print where the library is, with a code that lets this machine's browser in."""
    from django.utils import timezone  # noqa: PLC0415 - Django, only here

    from doughwright.web.pairing import new_code  # noqa: PLC0415 - as above

    here = f"http://127.0.0.1:{port}"
    address = f"{here}/pair/{new_code(timezone.now())}"
    click.echo(f"The library is at {here}\nLet this browser in (once): {address}")
    if own:
        phone = f"http://{own}:{port}/pair/{new_code(timezone.now())}"
        click.echo(f"\nLet a phone in this network in: {phone}\n{qr(phone)}")
        click.echo("What goes over the network is not encrypted: use it in a network you trust.")
    click.echo("Stop with Ctrl+C.")
    if browser and has_screen():
        threading.Timer(1.0, webbrowser.open, [address]).start()


def has_screen() -> bool:
    """Whether a browser can be shown; in a bare terminal it would take the terminal over."""
    named = {"DISPLAY", "WAYLAND_DISPLAY"} & os.environ.keys()
    return bool(named) or sys.platform in {"darwin", "win32"}


def qr(address: str) -> str:
    """The QR code of an address, as a terminal shows it."""
    import io  # noqa: PLC0415 - only for phones

    import segno  # noqa: PLC0415 - only for phones

    drawn = io.StringIO()
    segno.make(address, error="l").terminal(out=drawn, compact=True)
    return drawn.getvalue()


def run(host: str, port: int) -> None:
    """Serve until stopped; open event streams do not hold the end up."""
    import uvicorn  # noqa: PLC0415 - only here

    uvicorn.run(
        "doughwright.web.asgi:application",
        host=host,
        port=port,
        log_level="warning",
        access_log=False,
        server_header=False,
        lifespan="off",
        timeout_graceful_shutdown=1,
    )
