"""Saving, finding again, history, dropping: the same on SQLite and on PostgreSQL."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest

from doughwright.errors import DocumentError
from doughwright.store.errors import Conflict, NotInLibrary
from doughwright.store.library import (
    drop,
    history,
    listed,
    newest,
    note_figures,
    revision,
    save,
    undrop,
)
from doughwright.store.models import Revision

KITCHEN = "doughwright: kitchen/1\nname: Harbour Lane\n"
Bread = Callable[..., str]
At = Callable[[int], datetime]

pytestmark = pytest.mark.usefixtures("library")


def codes(error: Any) -> list[str]:
    return [problem.code for problem in error.value.problems]


def test_the_author_s_words_come_back_to_the_letter(bread: Bread, at: At) -> None:
    text = bread(note="“Crème” – 5 °C\u2028too") + "# the end, without a new line \t "
    saved = save(text, key=None, expected=0, message="First.", now=at(0))
    assert (saved.kind, saved.key, saved.number) == ("formula", "rye-loaf", 1)
    assert (saved.name, saved.message, saved.saved) == ("Rye loaf", "First.", at(0))
    found = newest("formula", "rye-loaf")
    assert found == saved
    assert found.text == text


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_line_ends_are_the_author_s(bread: Bread, at: At, end: str) -> None:
    text = bread().replace("\n", end)
    save(text, key=None, expected=0, message="", now=at(0))
    assert newest("formula", "rye-loaf").text == text


def test_each_save_is_a_revision_and_none_changes(bread: Bread, at: At) -> None:
    texts = [bread(salt=f"{n} %") for n in (1, 2, 3)]
    for number, text in enumerate(texts):
        key = "rye-loaf" if number else None
        save(text, key=key, expected=number, message=f"Salt {number + 1}.", now=at(number))
    found = history("formula", "rye-loaf")
    assert [(row.number, row.text, row.message, row.saved) for row in found] == [
        (n + 1, texts[n], f"Salt {n + 1}.", at(n)) for n in (2, 1, 0)
    ]
    assert revision("formula", "rye-loaf", 2) == found[1]


def test_the_same_words_make_no_revision_even_from_an_old_page(bread: Bread, at: At) -> None:
    first = save(bread(), key=None, expected=0, message="", now=at(0))
    second = save(bread(salt="3 %"), key=first.key, expected=1, message="", now=at(1))
    again = save(bread(salt="3 %"), key=first.key, expected=1, message="Twice.", now=at(2))
    assert again == second
    assert len(history("formula", first.key)) == 2


def test_a_conflict_has_both_texts_and_saves_neither(bread: Bread, at: At) -> None:
    key = save(bread(), key=None, expected=0, message="", now=at(0)).key
    theirs = save(bread(salt="3 %"), key=key, expected=1, message="", now=at(1))
    with pytest.raises(Conflict) as caught:
        save(bread(salt="4 %"), key=key, expected=1, message="", now=at(2))
    assert caught.value.newest == theirs
    assert caught.value.text == bread(salt="4 %")
    assert (caught.value.expected, codes(caught)) == (1, ["conflict"])
    assert [row.number for row in history("formula", key)] == [2, 1]
    mine = save(bread(salt="4 %"), key=key, expected=2, message="", now=at(3))
    assert mine.number == 3


def test_a_key_that_is_taken_by_other_words_is_a_conflict(bread: Bread, at: At) -> None:
    save(bread(), key="rye", expected=0, message="", now=at(0))
    with pytest.raises(Conflict):
        save(bread(salt="3 %"), key="rye", expected=0, message="", now=at(1))


def test_what_is_no_document_is_refused_and_nothing_is_kept(bread: Bread, at: At) -> None:
    key = save(bread(), key=None, expected=0, message="", now=at(0)).key
    for wrong in ("", "just words", bread(salt="2"), "doughwright: bread/9\nname: x\n", "a: [1"):
        for where in (key, None):
            with pytest.raises(DocumentError):
                save(wrong, key=where, expected=1 if where else 0, message="", now=at(1))
    assert Revision.objects.count() == 1


@pytest.mark.parametrize(
    "key", ["../rye", "rye/loaf", "Rye", "", "rye..loaf", "new", "import", "con", "r" * 81, "-rye"]
)
def test_a_key_that_could_lead_elsewhere_is_refused(bread: Bread, at: At, key: str) -> None:
    with pytest.raises(DocumentError) as caught:
        save(bread(), key=key, expected=0, message="", now=at(0))
    assert codes(caught) == ["not-a-key"]


@pytest.mark.parametrize(
    ("names", "keys"),
    [
        (["Rye loaf", "Rye loaf", "RYE  LOAF!"], ["rye-loaf", "rye-loaf-2", "rye-loaf-3"]),
        (["Crème brûlée", "Smørrebrød", "Weißbrot"], ["creme-brulee", "smorrebrod", "weissbrot"]),
        (["Ржаной", "黒パン", "🍞"], ["bread", "bread-2", "bread-3"]),
        (["New", "Import", "CON"], ["new-bread", "import-bread", "con-bread"]),
        (["a" * 300, "a" * 300], ["a" * 60, "a" * 60 + "-2"]),
        (["100 %", "../../up"], ["100", "up"]),
    ],
)
def test_a_key_is_made_from_the_name(
    bread: Bread, at: At, names: list[str], keys: list[str]
) -> None:
    made = [save(bread(n), key=None, expected=0, message="", now=at(0)).key for n in names]
    assert made == keys


def test_a_key_is_of_its_kind_only(bread: Bread, at: At) -> None:
    save(bread("Harbour Lane"), key=None, expected=0, message="", now=at(0))
    save(KITCHEN, key=None, expected=0, message="", now=at(0))
    assert newest("formula", "harbour-lane").text != newest("kitchen", "harbour-lane").text
    with pytest.raises(NotInLibrary):
        newest("series", "harbour-lane")


def test_what_is_not_there_is_named_with_the_nearest(bread: Bread, at: At) -> None:
    save(bread(), key=None, expected=0, message="", now=at(0))
    for asked in (
        lambda: newest("formula", "rye-laof"),
        lambda: history("formula", "rye-laof"),
        lambda: revision("formula", "rye-laof", 1),
        lambda: drop("formula", "rye-laof", expected=1, now=at(1)),
        lambda: save(bread(), key="rye-laof", expected=1, message="", now=at(1)),
    ):
        with pytest.raises(NotInLibrary) as caught:
            asked()
        assert caught.value.problems[0].values["like"] == "rye-loaf"
    for number in (0, 2, -1):
        with pytest.raises(NotInLibrary) as caught:
            revision("formula", "rye-loaf", number)
        assert codes(caught) == ["no-such-revision"]


def test_dropped_is_out_of_the_list_and_nothing_else(bread: Bread, at: At) -> None:
    saved = save(bread(), key=None, expected=0, message="", now=at(0))
    with pytest.raises(Conflict):
        drop("formula", saved.key, expected=7, now=at(1))
    assert drop("formula", saved.key, expected=1, now=at(1)).dropped
    assert listed("formula") == ()
    assert [item.key for item in listed("formula", dropped=True)] == [saved.key]
    assert newest("formula", saved.key).text == saved.text
    assert save(bread(), key=None, expected=0, message="", now=at(2)).key == "rye-loaf-2"
    assert not undrop("formula", saved.key, expected=1).dropped
    assert [item.key for item in listed("formula")] == [saved.key, "rye-loaf-2"]


@pytest.mark.parametrize("salt", ["2 %", "3 %"])
def test_saving_a_dropped_one_brings_it_back(bread: Bread, at: At, salt: str) -> None:
    key = save(bread(), key=None, expected=0, message="", now=at(0)).key
    drop("formula", key, expected=1, now=at(1))
    assert not save(bread(salt=salt), key=key, expected=1, message="", now=at(2)).dropped
    assert [item.key for item in listed("formula")] == [key]


def test_the_list_says_what_the_newest_revision_says(bread: Bread, at: At) -> None:
    for name in ("Zopf", "apple bun", "Öl bread"):
        save(bread(name), key=None, expected=0, message="", now=at(0))
    save(
        bread("Bun").replace("[rye, test]", "[sweet]"),
        key="zopf",
        expected=1,
        message="",
        now=at(5),
    )
    items = listed("formula")
    assert [item.name for item in items] == ["apple bun", "Bun", "Öl bread"]
    bun = items[1]
    assert (bun.key, bun.number, bun.tags) == ("zopf", 2, ("sweet",))
    assert (bun.first_saved, bun.saved) == (at(0), at(5))


def test_figures_are_of_one_revision(bread: Bread, at: At) -> None:
    key = save(bread(), key=None, expected=0, message="", now=at(0)).key
    assert listed("formula")[0].figures is None
    note_figures("formula", key, 1, {"hydration": 0.8, "pieces": 2})
    assert listed("formula")[0].figures == {"hydration": 0.8, "pieces": 2}
    save(bread(salt="3 %"), key=key, expected=1, message="", now=at(1))
    assert listed("formula")[0].figures is None
    note_figures("formula", key, 1, {"hydration": 0.1})
    assert listed("formula")[0].figures is None


@pytest.mark.parametrize("name", [r'"A\0"', r'"T\ud800"', r'"\u202e"'])
def test_words_that_no_page_can_show_are_not_saved(bread: Bread, at: At, name: str) -> None:
    with pytest.raises(DocumentError) as caught:
        save(bread(name), key=None, expected=0, message="", now=at(0))
    assert codes(caught) in (["odd-sign"], ["nothing-to-see"])
    assert listed("formula") == ()


def test_a_message_is_kept_without_signs_that_a_database_refuses(bread: Bread, at: At) -> None:
    said = "a\0b\x1b[31m\ud800\nsecond"
    assert save(bread(), key=None, expected=0, message=said, now=at(0)).message == "ab[31m\nsecond"


def test_a_message_is_short(bread: Bread, at: At) -> None:
    with pytest.raises(DocumentError) as caught:
        save(bread(), key=None, expected=0, message="x" * 2001, now=at(0))
    assert codes(caught) == ["message-too-long"]


def test_a_text_in_a_form_nobody_can_break_out_of(bread: Bread, at: At) -> None:
    nasty = "'; DROP TABLE doughwright_revision; --"
    saved = save(bread(f'"{nasty}"'), key=None, expected=0, message=nasty, now=at(0))
    assert (saved.name, saved.message) == (nasty, nasty)
    with pytest.raises(NotInLibrary):
        newest("formula", nasty)
    assert Revision.objects.count() == 1
