"""What tests of the web app share."""

import pytest
from django.test import Client
from django.utils import timezone


@pytest.fixture
def paired(db: None) -> Client:
    """A browser that is let in."""
    from doughwright.web import pairing  # noqa: PLC0415 - models can be read once Django is set up

    del db
    client = Client()
    client.cookies[pairing.COOKIE] = pairing.token_of_program("test browser", timezone.now())
    return client
