"""What tests of the web app share."""

import pytest
from django.test import Client
from django.utils import timezone

from doughwright.web import pairing


@pytest.fixture
def paired(db: None) -> Client:
    """A browser that is let in."""
    del db
    client = Client()
    client.cookies[pairing.COOKIE] = pairing.token_of_program("test browser", timezone.now())
    return client
