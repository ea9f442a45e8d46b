"""Documents for the store's tests; the libraries themselves are in the conftest of all tests."""

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

import pytest

NOON = datetime(2026, 3, 1, 12, tzinfo=UTC)


@pytest.fixture(scope="session")
def bread() -> Callable[..., str]:
    """The words of a small formula; ``salt`` and ``note`` make one differ from another."""

    def words(name: str = "Rye loaf", salt: str = "2 %", note: str = "") -> str:
        return f"""\
# Kept as it is, this comment too.
doughwright: formula/1
name: {name}
tags: [rye, test]
{f"note: {note}" if note else "# no note"}
preparations:
  dough:
    kind: dough
    ingredients: {{rye flour: 100 %, water: 80 %, salt: {salt}, instant yeast: 1 %}}
"""

    return words


@pytest.fixture(scope="session")
def at() -> Callable[[int], datetime]:
    """Noon and some minutes."""
    return lambda minutes=0: NOON + timedelta(minutes=minutes)
