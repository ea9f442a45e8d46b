"""Speed of a staged rise: an ensemble, scipy on the same equations, a fresh process."""

import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
from numba import njit
from scipy.integrate import solve_ivp

from doughwright.engine import gas
from doughwright.engine.batch import For, Mix, Multipliers, Relative, Stage, plan_rows, standing_in
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.kitchens import Spread, bands, ensemble
from doughwright.engine.records import MEMBER, SIZE
from doughwright.engine.rise import member_runs, staged_rise

ROOM = standing_in(Place(295.15))
SPONGE = Mix(Dough(0.15, 0.22, 0.021, fat=0.009, solids=0.021, yeast_kind="instant"), 306.25)
REST = Mix(Dough(0.35, 0.046, salt=0.009, sucrose=0.04, fat=0.05, solids=0.006), 298.15)
STAGES = [
    Stage("ferment", For(3000.0), ROOM, SPONGE),
    Stage("ferment", Relative(2.0), ROOM, REST),
    Stage("rest", For(1200.0), ROOM, pieces=10),
    Stage("proof", Relative(1.8), ROOM, pieces=10),
]
ONE = np.array([(1.0, 1.0, 0.0, 0.0, 0.0, 0.0, 1.0)], dtype=MEMBER)
SCALES = np.array([20.0, 1e-2, 1.0, 3600.0, 3e-3, 1e-2, 1e-2, 2e-2, 0.05, 0.05])
COMPARED = [0, 1, 7, 8, 9]
FRESH = """
import sys
import time
from pathlib import Path
start = time.perf_counter()
from doughwright.engine import compiled
from doughwright.engine.batch import *
from doughwright.engine.cooling import Place
from doughwright.engine.dough import Dough
from doughwright.engine.rise import staged_rise
compiled._files = lambda: [Path(sys.argv[1]) / "rise.code"]
engine = time.perf_counter()
import numpy
array = time.perf_counter()
dough = Mix(Dough(1.0, 0.63, 0.02, 0.02), 298.15)
staged_rise([Stage("ferment", Relative(2.0), standing_in(Place(295.15)), dough)])
end = time.perf_counter()
with_compiler = "with" if "numba" in sys.modules else "without"
print(f"engine {engine - start:.3f} numpy {array - engine:.3f} kernel and run {end - array:.3f}"
      f" together {end - start:.3f} s, {with_compiler} the compiler")
"""


# ways into the kernels from Python: inside, kernels only call each other
slope = njit(lambda y, row, member, air, dy: gas.slope(y, row, member, air, dy))
trapped_air = njit(lambda temperature, row: gas.trapped_air(temperature, row))


def best_of(repeats: int, work: Callable[[], Any]) -> float:
    taken = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return min(taken)


def by_scipy(row: Any, state: Any, air: float, tolerance: float) -> Any:
    buffer = np.empty(SIZE)

    def rate(_: float, y: Any) -> Any:
        slope(y, row, ONE[0], air, buffer)
        return buffer.copy()

    return solve_ivp(rate, (0.0, 14400.0), state, rtol=tolerance, atol=tolerance * SCALES).y[:, -1]


def against_scipy() -> None:
    """One stage of 4 h of a straight dough, with the error both make in the end state."""
    dough = Mix(Dough(1.0, 0.63, 0.02, 0.02), 298.15)
    stages = [Stage("ferment", For(14400.0), ROOM, dough, window=False)]
    row = plan_rows(stages)[0]
    first = member_runs(stages, ONE)[1][0, 0, 0, :SIZE].copy()
    air = trapped_air(first[0], row)
    exact = by_scipy(row, first, air, 1e-12)[COMPARED]
    many = np.repeat(ONE, 200)
    for tolerance in (1e-4, 1e-5, 1e-6):
        ours = partial(member_runs, stages, many, tolerance=tolerance)
        theirs = partial(by_scipy, row, first, air, tolerance)
        t, s = best_of(5, ours) / 200, best_of(5, theirs)
        a = np.abs(ours()[1][0, 0, -1, COMPARED] / exact - 1.0).max()
        b = np.abs(theirs()[COMPARED] / exact - 1.0).max()
        print(
            f"compiled {t * 1e6:7.1f} us (error {a:.1e}); scipy RK45, the same compiled"
            f" right-hand side {s * 1e6:8.1f} us (error {b:.1e}); ratio {s / t:.0f}"
        )


def linearity() -> None:
    """Time per member and stage, as members and stages grow fourfold."""
    rows = ensemble(Spread(), Multipliers(), members=400)
    proof = [Stage("proof", For(3600.0), ROOM, pieces=10, window=False)]
    straight = [Stage("ferment", For(3600.0), ROOM, SPONGE, window=False), *proof * 7]
    for stages, members in ((2, 100), (2, 400), (8, 100), (8, 400)):
        work = partial(member_runs, straight[:stages], rows[:members])
        each = best_of(10, work) / stages / members
        print(f"{members} members, {stages} stages of an hour: {each * 1e6:.1f} us each")


def fresh_process() -> None:
    with tempfile.TemporaryDirectory() as folder:
        for what in ("compiling", "compiled", "compiled, again"):
            command = [sys.executable, "-c", FRESH, folder]
            ran = subprocess.run(command, capture_output=True, text=True, check=True)
            print(f"{what}: {ran.stdout.strip()}")
        files = [file.stat().st_size for file in Path(folder).iterdir()]
        print(f"kept: {len(files)} file, {sum(files) / 1024:.0f} KiB")


def main() -> None:
    rows = ensemble(Spread(), Multipliers())
    staged_rise(STAGES)
    for what, work in (
        ("one staged run with series, four stages", lambda: staged_rise(STAGES)),
        ("ensemble of 201, with peaks", lambda: member_runs(STAGES, rows)),
        ("bands of the plan", lambda: bands(STAGES)),
    ):
        print(f"{what:40s} {best_of(10, work) * 1e3:7.2f} ms")
    linearity()
    against_scipy()
    fresh_process()


if __name__ == "__main__":
    main()
