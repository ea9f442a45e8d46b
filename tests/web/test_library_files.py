"""Files brought in from anywhere, and the whole library taken out and brought in again."""

import io
import zipfile
from datetime import UTC, datetime

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

from doughwright.store.demo import fill
from doughwright.store.folders import contents
from doughwright.store.library import history, listed, newest

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
BREAD = """\
doughwright: formula/1
name: {name}
preparations:
  dough: {{kind: dough, ingredients: {{strong white flour: 100 %, water: 65 %}}}}
"""


@pytest.fixture
def library(paired: Client) -> Client:
    """A browser that is let in, before the Harbour Lane library."""
    fill(NOW)
    return paired


def brought_in(client: Client, **files: bytes) -> tuple[int, str]:
    """What the page says of files; double underscores in a name stand for a point."""
    sent = [SimpleUploadedFile(name.replace("__", "."), words) for name, words in files.items()]
    answer = client.post("/breads/import", {"files": sent, "message": "From the quay"})
    return answer.status_code, answer.content.decode().replace("\N{NO-BREAK SPACE}", " ")


def zipped(**files: str | bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, words in files.items():
            archive.writestr(name, words)
    return stream.getvalue()


def test_what_came_in_what_stayed_and_what_was_refused_is_said(library: Client) -> None:
    rolls = newest("formula", "potato-rolls").text
    broken = BREAD.format(name="Broken").replace("65 %", "sixty")
    status, page = brought_in(
        library,
        quay__yaml=BREAD.format(name="Quay loaf").encode(),
        **{"potato-rolls__yaml": rolls.encode()},
        **{"scalded-pan-loaf__yaml": BREAD.format(name="Scalded anew").encode()},
        broken__yaml=broken.encode(),
        photo__jpg=b"\xff\xd8",
    )
    assert status == 200
    assert "1 new, 1 changed, 1 unchanged, 2 refused" in page
    refused = page.split("<h3>Refused</h3>")[1].split("<h3>")[0]
    assert "broken.yaml" in refused
    assert "Line 4" in refused
    assert "sixty" in refused
    assert 'href="/breads/quay"' in page
    assert newest("formula", "quay").message == "From the quay"
    assert len(history("formula", "potato-rolls")) == 1
    assert [one.name for one in history("formula", "scalded-pan-loaf")] == ["Scalded anew"] * 2


def test_a_library_taken_out_comes_in_as_it_was(library: Client) -> None:
    before = contents()
    answer = library.get("/library.zip")
    assert answer["Content-Type"] == "application/zip"
    assert answer["Content-Disposition"].startswith('attachment; filename="doughwright-library-')
    status, page = brought_in(library, all__zip=answer.content)
    assert status == 200
    assert f"0 new, 0 changed, {len(before)} unchanged, 0 refused" in page
    assert contents() == before


def test_no_file_at_all_is_said_beside_the_field(library: Client) -> None:
    answer = library.post("/breads/import", {})
    assert answer.status_code == 422
    assert b"Choose at least one file." in answer.content


def test_no_name_leads_out_of_the_library(library: Client) -> None:
    bread = BREAD.format(name="Quay loaf")
    paths = {"../../etc/passwd.yaml": bread, "/etc/cron.yaml": bread, "C:\\x.yaml": bread}
    status, page = brought_in(library, all__zip=zipped(**paths))
    assert status == 200
    assert "3 refused" in page
    sent = SimpleUploadedFile("../../../etc/passwd.yaml", bread.encode())
    library.post("/breads/import", {"files": [sent]})
    assert newest("formula", "passwd").name == "Quay loaf"  # the last part of it is a name


def test_hostile_names_and_words_are_shown_as_text(library: Client) -> None:
    odd = '"><script>alert(1)</script>.yaml'
    words = BREAD.format(name="<script>2</script>").replace("65 %", "<script>3</script>")
    sent = SimpleUploadedFile("plain.yaml", words.encode())
    sent.name = odd
    answer = library.post("/breads/import", {"files": [sent]})
    page = answer.content.decode() + brought_in(library, all__zip=zipped(**{odd: words}))[1]
    assert "<script>alert" not in page
    assert "<script>2" not in page
    assert "<script>3" not in page
    assert "&lt;script&gt;3" in page


def test_nothing_is_said_to_be_in_where_all_was_refused(library: Client) -> None:
    _, page = brought_in(library, odd__yaml=b"doughwright: formula/1\n")
    assert "Nothing came in: mend this one and bring it in again." in page
    good = BREAD.format(name="Quay rolls").encode()
    _, page = brought_in(library, odd__yaml=b"doughwright: formula/1\n", quay__yaml=good)
    assert "The others are in; mend this one and bring it in again." in page


def test_a_zip_bomb_is_refused_by_name(library: Client) -> None:
    bomb = zipped(
        **{"breads/bomb.yaml": b" " * 300_000_000, "breads/fine.yaml": BREAD.format(name="Fine")}
    )
    assert len(bomb) < 400_000
    status, page = brought_in(library, all__zip=bomb)
    assert status == 200
    assert "1 new, 0 changed, 0 unchanged, 1 refused" in page
    assert "breads/bomb.yaml" in page


def test_an_alias_bomb_is_refused_at_its_first_anchor(library: Client) -> None:
    levels = "\n".join(f"  l{i}: &l{i} [{', '.join([f'*l{i - 1}'] * 9)}]" for i in range(1, 10))
    bomb = f"doughwright: formula/1\nname: Bomb\nx:\n  l0: &l0 [lol, lol]\n{levels}\n"
    status, page = brought_in(library, bomb__yaml=bomb.encode())
    assert status == 200
    assert "0 new" in page
    assert "&amp;l0" in page


def test_more_than_twelve_megabytes_are_refused_before_they_are_read(library: Client) -> None:
    status, page = brought_in(library, big__yaml=b"#" * (12 * 1024 * 1024))
    assert status == 413
    assert "too much at once" in page


def test_three_hundred_files_are_too_many_and_that_is_said(library: Client) -> None:
    files = {f"b{n}__yaml": BREAD.format(name=f"B {n}").encode() for n in range(300)}
    status, page = brought_in(library, **files)
    assert status == 413
    assert "too much at once" in page
    library.get("/breads/import")
    library.handler.enforce_csrf_checks = True  # which looks into the form before the page does
    status, page = brought_in(library, **files)
    assert status == 413
    assert "too much at once" in page
    assert len(listed("formula")) == 8


def test_three_hundred_files_in_a_zip_come_in(library: Client) -> None:
    files = {f"breads/b{n}.yaml": BREAD.format(name=f"B {n}") for n in range(300)}
    status, page = brought_in(library, all__zip=zipped(**files))
    assert status == 200
    assert "300 new" in page
    assert len(listed("formula")) == 308
    assert library.get("/breads").status_code == 200


@pytest.mark.parametrize(
    "words", [b"", b"PK\x03\x04 torn", b"\xff\xfe\x00", b"- a\n- b\n", b"[" * 9999]
)
def test_what_is_no_document_is_refused_with_a_reason(library: Client, words: bytes) -> None:
    status, page = brought_in(library, odd__yaml=words)
    assert status == 200
    assert "1 refused" in page
    assert len(page.split('class="refused"')[1].split("<li>")[2]) > 20
