"""Pairing: who may ask. One code pairs one device, once, within minutes; any can be revoked.

Codes have 54 bits and are typed by hand where a camera is missing; tokens have 256. The
database keeps digests of both, so that a copy of it lets nobody in.
"""

import hashlib
import secrets
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from django.db import transaction

from doughwright.store.errors import LibraryFailure, told
from doughwright.web.models import Device, PairingCode

COOKIE: Final = "doughwright_device"
COOKIE_LASTS: Final = timedelta(days=400)
"""The longest a browser keeps a cookie."""

CODE_LASTS: Final = timedelta(minutes=10)
LETTERS: Final = "23456789abcdefghjkmnpqrstvwxyz"
"""No letter that is taken for another one, on a floury screen."""

CODE_LENGTH: Final = 11
WRONG_CODES: Final = 20
"""So many wrong codes end every open code: guessing must start anew."""

SEEN_EVERY: Final = timedelta(hours=1)
"""A write an hour that a device was here, not one a request."""

_tried: dict[str, datetime] = {}
"""When that was last to be written, by a token's digest: a lock is waited for but once."""


@dataclass(frozen=True, slots=True)
class Paired:
    """A device as its owner sees it."""

    number: int
    name: str
    paired: datetime
    seen: datetime


def digest(secret: str) -> str:
    """What the database keeps of a code or a token; their entropy needs no salt."""
    return hashlib.sha256(secret.encode()).hexdigest()


def new_code(now: datetime) -> str:
    """Make a code that pairs one device within :data:`CODE_LASTS`."""
    code = "".join(secrets.choice(LETTERS) for _ in range(CODE_LENGTH))
    with told():
        PairingCode.objects.filter(expires__lte=now).delete()
        PairingCode.objects.create(digest=digest(code), expires=now + CODE_LASTS)
    return code


def token_for(code: str, name: str, now: datetime) -> str | None:
    """Pair a device by a code and return its token; None where the code does not hold."""
    plain = code.strip().casefold().replace("-", "").replace(" ", "")
    with told(), transaction.atomic():
        used, _ = PairingCode.objects.filter(digest=digest(plain), expires__gt=now).delete()
        return _paired(name, now) if used else None


def token_of_program(name: str, now: datetime) -> str:
    """The token of a program that its owner lets in from a paired device."""
    with told():
        return _paired(name, now)


def _paired(name: str, now: datetime) -> str:
    token = secrets.token_urlsafe(32)
    plain = "".join(c for c in name if c.isprintable()).strip()
    said = plain[:80] or "a device"
    Device.objects.create(token_digest=digest(token), name=said, paired=now, seen=now)
    return token


def is_paired(token: str, now: datetime) -> bool:
    """Whether a token is that of a device that is paired and not revoked."""
    shown = digest(token)
    with told():
        device = Device.objects.filter(token_digest=shown, revoked=None).first()
    if device is None:
        return False
    if now - max(device.seen, _tried.get(shown, device.seen)) > SEEN_EVERY:
        _tried[shown] = now
        _note_seen(device, now)
    return True


def _note_seen(device: Device, now: datetime) -> None:
    """Note that a device was here, if the library can be written; no page depends on it."""
    with suppress(LibraryFailure), told():
        Device.objects.filter(pk=device.pk).update(seen=now)


def devices() -> tuple[Paired, ...]:
    """The devices that may ask, the newest first."""
    found = Device.objects.filter(revoked=None).order_by("-paired")
    with told():
        return tuple(Paired(d.pk, d.name, d.paired, d.seen) for d in found)


def revoke(number: int, now: datetime) -> None:
    """Let a device in no more."""
    with told():
        Device.objects.filter(pk=number, revoked=None).update(revoked=now)


def end_codes() -> None:
    """End every open code."""
    with told():
        PairingCode.objects.all().delete()
