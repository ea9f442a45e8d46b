"""Machine code kept on disk: the same numbers, no compiler loaded, and never a crash."""

import subprocess
import sys
from _ctypes import FUNCFLAG_PYTHONAPI
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Barrier

import numpy as np
import pytest

from doughwright.engine import bake_records, compiled
from doughwright.engine.baking import bake_runs
from doughwright.engine.batch import (
    FOREVER,
    For,
    Mix,
    Relative,
    Ripe,
    Stage,
    kept_at,
    plan_rows,
    standing_in,
)
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.kitchens import Multipliers, Spread, ensemble
from doughwright.engine.oven_piece import Member, OvenCourse, plain_roll
from doughwright.engine.records import OUTCOME, ROW, SERIES, WORK

PROGRAM = """
import sys
from doughwright.engine.rise import staged_rise
from doughwright.engine.batch import Mix, Relative, Stage, kept_at
from doughwright.engine.dough import Dough
dough = Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02)
staged_rise([Stage("ferment", Relative(2.0), kept_at(298.15), Mix(dough, 298.15))])
print(*sorted({name.partition(".")[0] for name in sys.modules}))
"""
BAKES = """
import sys
from doughwright.engine.baking import bake_runs
from doughwright.engine.oven_piece import OvenCourse, plain_roll
bake_runs(plain_roll(), OvenCourse("fan", 453.15), duration=60.0)
print(*sorted({name.partition(".")[0] for name in sys.modules}))
"""
OUTSIDE = """
target triple = "{triple}"
declare double @nobody_ever_wrote_this(double)
define void @entry(ptr %x) {{
  %a = load double, ptr %x
  %b = call double @nobody_ever_wrote_this(double %a)
  store double %b, ptr %x
  ret void
}}
"""


def staged() -> list[Stage]:
    """A poolish, a dough with folds, and pieces proofed warm, then cold."""
    poolish = Mix(Dough(flour=0.3, water=0.3, yeast=0.002), 298.15)
    dough = Mix(Dough(flour=0.7, water=0.35, salt=0.02, sucrose=0.03), 299.15, 298.15)
    room = standing_in(Place(296.15))
    fridge = ((3600.0, Place(295.15)), (FOREVER, Place(277.15, regulated=True)))
    return [
        Stage("ferment", Ripe(), room, poolish),
        Stage("ferment", Relative(1.8), room, dough),
        Stage("punch", For(1800.0), room),
        Stage("proof", Relative(2.2), fridge, pieces=2),
    ]


def simple() -> list[Stage]:
    dough = Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02)
    return [Stage("ferment", Relative(2.0), kept_at(298.15), Mix(dough, 298.15), window=False)]


def filled(run: compiled.Run, stages: list[Stage]) -> tuple[np.ndarray, np.ndarray]:
    plan, members = plan_rows(stages), ensemble(Spread(), Multipliers(), members=20)
    outcomes = np.zeros((len(members), len(stages)), OUTCOME)
    series = np.zeros((len(members), len(stages), 9, len(SERIES)))
    work = np.zeros(1, WORK)
    run(
        *(plan.ctypes.data, len(plan), members.ctypes.data, len(members), 1e-5),
        *(outcomes.ctypes.data, len(stages), series.ctypes.data, 9, work.ctypes.data),
    )
    return outcomes.view(np.float64), series


@pytest.fixture(scope="module")
def code() -> bytes:
    compiled.run(compiled.RISE)
    found = compiled.kept_code(compiled.RISE)
    if not found:
        pytest.skip("machine code cannot be kept here")
    return found


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty place for the code, and a compiler that only says it was asked."""
    place = tmp_path / "cache" / "rise.code"
    monkeypatch.setattr(compiled, "_files", lambda _: [place])
    monkeypatch.setattr(compiled, "_compiled", lambda _, *, anew: f"compiler, anew {anew}")
    return place


@pytest.mark.parametrize("stages", [simple(), staged()], ids=["one stage", "four stages"])
def test_kept_code_gives_the_compilers_own_numbers(code: bytes, stages: list[Stage]) -> None:
    linked = compiled._linked(code, compiled.RISE)
    assert linked is not None
    ours, theirs = (
        filled(run, stages) for run in (linked, compiled._compiled(compiled.RISE, anew=False))
    )
    for mine, its in zip(ours, theirs, strict=True):
        assert np.isfinite(mine).all()
        np.testing.assert_allclose(mine, its, rtol=1e-12, atol=0.0)


def test_kept_code_of_the_bake_gives_the_compilers_own_numbers(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Other rounding at each step, 1e-9 after hundreds: all series, fields and balances."""
    compiled.run(compiled.BAKE)
    code = compiled.kept_code(compiled.BAKE)
    if not code:
        pytest.skip("machine code cannot be kept here")
    linked = compiled._linked(code, compiled.BAKE)
    assert linked is not None
    oven = OvenCourse("fan", 473.15, drop=25.0, steam=True)
    found = []
    for run in (linked, compiled._compiled(compiled.BAKE, anew=False)):
        monkeypatch.setattr(compiled, "run", lambda _, run=run: run)
        members = [Member(), Member(heating=1.2, spring=0.5)]
        found.append(bake_runs(plain_roll(), oven, members=members, duration=1200.0))
    ours, theirs = found
    assert np.isfinite(ours.series).all()
    np.testing.assert_allclose(ours.series, theirs.series, rtol=1e-9, atol=1e-12)
    np.testing.assert_allclose(ours.fields, theirs.fields, rtol=1e-9, atol=0.0)
    for name in ours.outcomes.dtype.names or ():
        np.testing.assert_allclose(ours.outcomes[name], theirs.outcomes[name], rtol=1e-9)


def test_threads_that_ask_at_once_all_get_a_run(
    code: bytes, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    at_once = Barrier(4)

    def slow(kernel: compiled.Kernel, *, anew: bool) -> compiled.Run:
        assert anew
        at_once.wait(10.0)
        assert compiled.keep(code, kernel)
        linked = compiled._linked(code, kernel)
        assert linked is not None
        return linked

    monkeypatch.setattr(compiled, "_compiled", slow)
    with ThreadPoolExecutor(4) as threads:
        runs = list(threads.map(compiled.run.__wrapped__, [compiled.RISE] * 4))
    assert list(file.parent.iterdir()) == [file]
    assert compiled.kept_code(compiled.RISE) == code
    first, *others = (filled(run, staged()) for run in runs)
    for other in others:
        for mine, its in zip(first, other, strict=True):
            np.testing.assert_array_equal(mine, its)


@pytest.mark.parametrize("kernel", [compiled.RISE, compiled.BAKE], ids=["rise", "bake"])
def test_other_threads_go_on_while_a_run_works(kernel: compiled.Kernel) -> None:
    """Only calls of Python's own functions keep the interpreter for themselves."""
    made = (compiled.run(kernel), compiled._compiled(kernel, anew=False))
    assert [run._flags_ & FUNCFLAG_PYTHONAPI for run in made] == [0, 0]


@pytest.mark.usefixtures("code")
@pytest.mark.parametrize("program", [PROGRAM, BAKES], ids=["rise", "bake"])
def test_a_later_process_loads_no_compiler(program: str) -> None:
    if not compiled.run(compiled.BAKE) or not compiled.kept_code(compiled.BAKE):
        pytest.skip("machine code cannot be kept here")
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    )
    assert "llvmlite" in run.stdout.split()
    assert {"numba", "scipy"}.isdisjoint(run.stdout.split())


def test_what_is_kept_is_found_again(code: bytes, file: Path) -> None:
    assert compiled.kept_code(compiled.RISE) is None
    assert compiled.keep(code, compiled.RISE)
    assert compiled.kept_code(compiled.RISE) == code
    assert callable(compiled.run.__wrapped__(compiled.RISE))
    assert list(file.parent.iterdir()) == [file]


@pytest.mark.parametrize(
    "damage",
    [
        lambda whole: whole[:0],
        lambda whole: whole[: len(whole) // 2],
        lambda whole: whole[:-1],
        lambda whole: whole[:-100] + bytes([whole[-100] ^ 1]) + whole[-99:],
        lambda whole: bytes([whole[0] ^ 1]) + whole[1:],
        lambda whole: whole + b"more",
        lambda whole: np.random.default_rng(1).bytes(len(whole)),
    ],
    ids=["emptied", "halved", "cut", "bit lost", "head lost", "longer", "noise"],
)
def test_a_damaged_file_is_compiled_anew(code: bytes, file: Path, damage: object) -> None:
    assert compiled.keep(code, compiled.RISE)
    file.write_bytes(damage(file.read_bytes()))
    assert compiled.kept_code(compiled.RISE) is None
    assert compiled.run.__wrapped__(compiled.RISE) == "compiler, anew True"


def test_code_of_another_text_or_machine_is_not_taken(
    code: bytes, file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert compiled.keep(code, compiled.RISE)
    assert file.exists()
    monkeypatch.setattr(compiled, "_head", lambda _: compiled.MARK + bytes(compiled.HASHED))
    assert compiled.kept_code(compiled.RISE) is None


@pytest.mark.usefixtures("file")
@pytest.mark.parametrize("content", [b"", b"no machine code"], ids=["marked", "nonsense"])
def test_what_cannot_be_linked_is_left_to_the_compilers_own_cache(content: bytes) -> None:
    assert compiled.keep(content, compiled.RISE)
    assert compiled.run.__wrapped__(compiled.RISE) == "compiler, anew False"


def test_code_goes_to_the_next_folder_when_the_first_takes_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a file").write_text("no folder")
    places = [tmp_path / "a file" / "rise.code", tmp_path / "home" / "rise.code"]
    monkeypatch.setattr(compiled, "_files", lambda _: places)
    assert compiled.keep(b"x", compiled.RISE)
    assert [place.exists() for place in places] == [False, True]
    assert compiled.kept_code(compiled.RISE) == b"x"


def test_without_any_folder_nothing_is_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "a file").write_text("no folder")
    monkeypatch.setattr(compiled, "_files", lambda _: [tmp_path / "a file" / "rise.code"])
    assert not compiled.keep(b"x", compiled.RISE)
    assert compiled.kept_code(compiled.RISE) is None


def test_code_that_needs_more_than_mathematics_is_refused() -> None:
    import llvmlite.binding as llvm  # noqa: PLC0415

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    text = OUTSIDE.format(triple=llvm.get_process_triple())
    assert compiled._tried(text, "entry", compiled.RISE) == b""
    module = llvm.parse_assembly(text)
    module.get_function("entry").name = compiled.RISE.symbol
    unresolved = compiled._target_machine().emit_object(module)
    assert compiled._linked(unresolved, compiled.RISE) is None


@pytest.mark.parametrize(
    "table", [ROW, bake_records.CELL, bake_records.CONDITIONS, bake_records.MEMBER]
)
def test_tables_have_no_gaps(table: np.dtype) -> None:
    assert all(table[name] == np.float64 for name in table.names or ())
    assert table.itemsize == 8 * len(table.names or ())
