"""What a server works out before a baker waits for it."""

import subprocess
import sys

import pytest
from django.utils import timezone

from doughwright.store.demo import fill
from doughwright.store.library import listed


@pytest.mark.usefixtures("db")
def test_every_bread_of_a_new_library_has_its_figures_after_the_first_pages() -> None:
    from doughwright.web.figures import first_kitchen, noted, rests_on  # noqa: PLC0415 - models
    from doughwright.web.warming import first_pages  # noqa: PLC0415 - models

    fill(timezone.now())
    assert all(noted(item) is None for item in listed("formula"))
    first_pages()
    on = rests_on(first_kitchen())
    found = [noted(item) for item in listed("formula")]
    assert len(found) == 8
    assert all(figures is not None and figures.rests_on == on for figures in found)


def test_the_models_are_compiled_by_a_process_that_knows_no_database() -> None:
    made = subprocess.run(
        [sys.executable, "-m", "doughwright.web.warming"],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert (made.returncode, made.stdout, made.stderr) == (0, "", "")
