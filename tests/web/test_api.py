"""The JSON API on real documents, wrong ones and hostile ones."""

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from django.test import Client

from doughwright.documents.reading import read_document
from doughwright.documents.writing import body
from doughwright.render.json_text import sheet_schema
from doughwright.sheets.bench_plan import BenchPlan
from doughwright.sheets.formula import FormulaSheet
from doughwright.sheets.label import LabelSheet

EXAMPLES = Path(__file__).parents[2] / "examples"
POCKETS = (EXAMPLES / "leek-and-curd-pockets.yaml").read_text("utf-8")
KITCHEN = (EXAMPLES / "harbour-lane.kitchen.yaml").read_text("utf-8")

pytestmark = pytest.mark.django_db


def posted(client: Client, address: str, said: Any, **headers: str) -> Any:
    return client.post(f"/api{address}", said, content_type="application/json", headers=headers)


def test_a_plan_is_the_sheet_of_the_command_line(paired: Client) -> None:
    asked = {"room": "27 °C", "pieces": "12", "start": "2026-03-01 09:00"}
    said = {"formula": POCKETS, "kitchen": KITCHEN, "asked": asked}
    answer = posted(paired, "/plan", said)
    assert answer.status_code == 200
    plan = answer.json()
    jsonschema.validate(plan, sheet_schema(BenchPlan))
    assert plan["kitchen"]["room"]["value"] == pytest.approx(300.15)
    assert plan["division"]["pieces"] == 12
    assert plan["timeline"]["starts"] == "2026-03-01T09:00:00"


def test_a_document_as_json_is_the_same_as_its_text(paired: Client) -> None:
    tree = body(read_document(POCKETS).document)
    as_text = posted(paired, "/formula", {"formula": POCKETS}).json()
    as_json = posted(paired, "/formula", {"formula": tree}).json()
    assert as_json == as_text
    jsonschema.validate(as_json, sheet_schema(FormulaSheet))


def test_a_label_by_another_countrys_rules(paired: Client) -> None:
    said = {"formula": POCKETS, "kitchen": KITCHEN, "asked": {"codes": "UK"}}
    label = posted(paired, "/label", said).json()
    jsonschema.validate(label, sheet_schema(LabelSheet))
    assert label["codes"] == "UK"
    assert {"milk", "egg"} <= {row["name"] for row in label["allergens"]}


def test_every_problem_comes_with_its_place(paired: Client) -> None:
    broken = POCKETS.replace("salt: 1.8 %", "salt: 1.8").replace("kind: filling", "kind: filing")
    answer = posted(paired, "/plan", {"formula": broken})
    assert answer.status_code == 422
    problems = {p["code"]: p for p in answer.json()["problems"]}
    assert problems["bare-number"]["where"] == [
        "preparations",
        "dough",
        "ingredients",
        "salt",
        "amount",
    ]
    assert "unknown-word" in problems
    line = broken.splitlines()[problems["bare-number"]["line"] - 1]
    assert "salt: 1.8" in line


def test_what_is_asked_is_read_like_a_document(paired: Client) -> None:
    asked = {"room": "27", "pieces": "none", "start": "soon"}
    answer = posted(paired, "/plan", {"formula": POCKETS, "asked": asked})
    assert answer.status_code == 422
    where = {tuple(p["where"]) for p in answer.json()["problems"]}
    assert where == {("room",), ("pieces",), ("start",)}


@pytest.mark.parametrize(
    ("said", "status"),
    [
        ("{", 400),
        ("[" * 50_000, 400),
        ("[]", 422),
        ("{}", 422),
        (json.dumps({"formula": 7}), 422),
        (json.dumps({"formula": KITCHEN}), 422),
        (json.dumps({"formula": POCKETS, "kitchen": POCKETS}), 422),
        (json.dumps({"formula": {"doughwright": "formula/9"}}), 422),
        (json.dumps({"formula": "a: &a [x]\nb: *a\n"}), 422),
        (json.dumps({"formula": "x" * 300_000}), 422),
        (json.dumps({"formula": POCKETS, "asked": {"room": {"x": 1}}}), 422),
    ],
)
def test_a_bad_body_is_refused_in_words(paired: Client, said: str, status: int) -> None:
    answer = posted(paired, "/plan", said)
    assert answer.status_code == status, answer.content
    problems = answer.json()["problems"]
    assert problems
    for problem in problems:
        assert problem.keys() == {"code", "where", "says", "remedy", "line", "column"}
        assert problem["says"][0] not in ": "
        assert problem["remedy"]


@pytest.mark.parametrize(
    ("said", "code", "words"),
    [
        ("{", "not-json", "Expecting property name"),
        (b"\xff{", "not-json", "cannot be read as JSON"),
        ("[" * 50_000, "too-deep", "levels deep"),
        (json.dumps({"formula": KITCHEN}), "other-document", "This is a kitchen/1 document"),
        (
            json.dumps({"formula": POCKETS, "kitchen": POCKETS}),
            "other-document",
            "This is a formula/1 document",
        ),
    ],
)
def test_a_bad_body_is_named(paired: Client, said: Any, code: str, words: str) -> None:
    (problem,) = posted(paired, "/plan", said).json()["problems"]
    assert problem["code"] == code
    assert words in problem["says"]


def test_a_problem_of_the_whole_begins_with_its_words(paired: Client) -> None:
    tree = {"doughwright": "formula/1", "name": "x", "preparations": {}}
    (problem,) = posted(paired, "/formula", {"formula": tree}).json()["problems"]
    assert problem["code"] == "no-dough"
    assert problem["says"].startswith("No preparation of kind dough")


def test_saving_states_what_it_was_made_from(paired: Client) -> None:
    def put(text: str, expected: int) -> Any:
        said = {"text": text, "expected": expected, "message": "by a program"}
        address = "/api/library/formula/pockets"
        return paired.put(address, said, content_type="application/json")

    assert put(POCKETS, 0).json()["number"] == 1
    salted = POCKETS.replace("salt: 1.8 %", "salt: 2.0 %")
    assert put(salted, 1).json()["number"] == 2
    clash = put(POCKETS.replace("salt: 1.8 %", "salt: 1.9 %"), 1)
    assert clash.status_code == 409
    assert clash.json()["newest"]["text"] == salted
    assert clash.json()["problems"][0]["code"] == "conflict"
    assert paired.get("/api/library/formula/pockets").json()["text"] == salted
    assert paired.get("/api/library/formula/pockets?number=1").json()["text"] == POCKETS
    assert [e["key"] for e in paired.get("/api/library/formula").json()] == ["pockets"]
    assert put("doughwright: nonsense", 2).status_code == 422
    (wrong,) = put(KITCHEN, 2).json()["problems"]
    line = KITCHEN[: KITCHEN.index("doughwright:")].count("\n") + 1
    assert (wrong["code"], wrong["line"]) == ("other-document", line)
    assert wrong["says"].startswith("This is a kitchen/1 document; a formula/1 document is")
    assert paired.get("/api/library/formula/pocket").status_code == 404
    assert paired.get("/api/library/spoons").status_code == 422


@pytest.mark.parametrize("name", ['"T\\ud800"', '"T\\0"', '"T\ud800"'])
def test_words_that_no_page_can_show_are_not_saved(paired: Client, name: str) -> None:
    text = POCKETS.replace("name: Leek and curd pockets", f"name: {name}")
    answer = paired.put(
        "/api/library/formula/odd", {"text": text, "expected": 0}, content_type="application/json"
    )
    assert answer.status_code == 422
    (problem,) = answer.json()["problems"]
    assert problem["line"] == text[: text.index(name)].count("\n") + 1
    assert paired.get("/breads/odd").status_code == 404


def test_a_bread_of_the_library_is_planned(paired: Client) -> None:
    said = {"text": POCKETS, "expected": 0}
    paired.put("/api/library/formula/pockets", said, content_type="application/json")
    plan = paired.get("/api/library/formula/pockets/plan?kitchen=-&room=18 °C").json()
    assert plan["kitchen"]["room"]["value"] == pytest.approx(291.15)


def test_the_description_names_every_address_and_loads_nothing(paired: Client) -> None:
    described = paired.get("/api/openapi.json").json()
    assert described["openapi"].startswith("3.")
    page = paired.get("/api").content.decode()
    for path in described["paths"]:
        assert path in page
    assert "cdn" not in page
    assert paired.get("/api/docs").status_code == 404


def test_a_program_is_let_in_by_its_token(paired: Client) -> None:
    answer = paired.post("/devices/invite", {"for": "program", "name": "scale"})
    token = answer.content.decode().split('<code class="address">')[1].split("</code>")[0]
    program = Client()
    kept = {"authorization": f"Bearer {token}"}
    assert program.get("/api/library/formula", headers=kept).status_code == 200
    assert posted(program, "/formula", {"formula": POCKETS}, **kept).status_code == 200
    for stranger in (program.get("/api/library/formula"), posted(Client(), "/plan", {})):
        assert stranger.status_code == 401
        (problem,) = stranger.json()["problems"]
        assert problem["code"] == "not-paired"
        assert "Devices" in problem["remedy"]
