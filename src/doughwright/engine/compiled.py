"""The compiled run, called without loading its compiler.

Importing the compiler takes far longer than planning a bread. So the machine code of the run is
kept in a file once it is made, and later processes link that file and call it. Whatever is odd
about the file, its place or the machine, the compiler does the work as usual.
"""

import hashlib
import platform
import uuid
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import numpy as np

Run = Callable[..., None]

HERE = Path(__file__).parent
SOURCES = ("stages.py", "gas.py", "records.py", "fermentation.py", "cooling.py", "compiled.py")
"""The modules whose text decides what is compiled and how it is called."""

MARK = b"doughwright rise\n"
HASHED = hashlib.sha256().digest_size
SYMBOL = "doughwright_rise"
MATHEMATICS = frozenset(
    {"cos", "exp", "exp2", "fmax", "fmin", "log", "log10", "pow", "sin", "sqrt"}
)
"""What the machine code may call outside itself: the C library's functions of numbers."""


def fill(
    plan: "np.ndarray[Any, Any]",
    members: "np.ndarray[Any, Any]",
    tolerance: float,
    outcomes: "np.ndarray[Any, Any]",
    series: "np.ndarray[Any, Any]",
) -> None:
    """Run members through stages: ``outcomes`` and ``series`` are filled in place.

    Parameters
    ----------
    plan, members
        Rows of ``records.ROW`` and of ``records.MEMBER``.
    tolerance
        Local error per step over the size of each state.
    outcomes
        Members × stages of ``records.OUTCOME``.
    series
        Members × stages × samples × ``records.SERIES``.

    Examples
    --------
    A dough with 2 % of fresh yeast doubles in 1.88 h at 25 °C (table of times to double).

    >>> import numpy as np
    >>> from doughwright.engine import batch, records
    >>> from doughwright.engine.dough import Dough
    >>> mix = batch.Mix(Dough(flour=1.0, water=0.63, yeast=0.02, salt=0.02), 298.15)
    >>> stage = batch.Stage("ferment", batch.Relative(2.0), batch.kept_at(298.15), mix)
    >>> members = np.array([(1, 1, 0, 0, 0, 0, 1)], dtype=records.MEMBER)
    >>> outcomes, series = np.zeros((1, 1), records.OUTCOME), np.zeros((1, 1, 2, 13))
    >>> fill(batch.plan_rows([stage]), members, 1e-5, outcomes, series)
    >>> round(float(outcomes["end"][0, 0]) / 3600.0, 1)
    1.9
    """
    import numpy as np  # noqa: PLC0415 - the module must import fast

    from doughwright.engine.records import MEMBER, WORK  # noqa: PLC0415

    members = np.ascontiguousarray(members, MEMBER)
    work = np.zeros(1, WORK)
    run()(
        *(plan.ctypes.data, len(plan), members.ctypes.data, len(members), tolerance),
        *(outcomes.ctypes.data, outcomes.shape[1], series.ctypes.data, series.shape[2]),
        work.ctypes.data,
    )


def is_compiled() -> bool:
    """Whether the run is ready on disk; if not, the next rise waits for the compiler.

    Examples
    --------
    >>> is_compiled() in {True, False}
    True
    """
    return run.cache_info().currsize > 0 or kept_code() is not None


@cache
def run() -> Run:
    """The compiled run: from disk where it can be, else from the compiler.

    Examples
    --------
    >>> callable(run())
    True
    """
    code = kept_code()
    return (_linked(code) if code else None) or _compiled(anew=code is None)


def kept_code() -> bytes | None:
    """The machine code on disk; None when there is none fit for use.

    Empty where an earlier process found that code cannot be kept on this machine.

    Examples
    --------
    >>> isinstance(run() and kept_code(), bytes | None)
    True
    """
    head = _head()
    for file in _files():
        try:
            found = file.read_bytes()
        except OSError:
            continue
        kept, code = found[len(head) : len(head) + HASHED], found[len(head) + HASHED :]
        if found.startswith(head) and kept == hashlib.sha256(code).digest():
            return code
    return None


def keep(code: bytes) -> bool:
    """Write machine code to the first folder that takes it; whole or not at all.

    Examples
    --------
    >>> kept = run() and kept_code()
    >>> kept is None or keep(kept)
    True
    """
    content = _head() + hashlib.sha256(code).digest() + code
    for file in _files():
        draft = file.with_suffix(f".{uuid.uuid4().hex}")
        try:
            file.parent.mkdir(parents=True, exist_ok=True)
            draft.write_bytes(content)
            draft.replace(file)
        except OSError:
            with suppress(OSError):
                draft.unlink()
            continue
        return True
    return False


@cache
def _host() -> str:
    """What machine code depends on besides its source."""
    import llvmlite.binding as llvm  # noqa: PLC0415 - the module must import fast

    versions = (platform.python_version(), *(version(name) for name in ("numba", "llvmlite")))
    machine = (llvm.get_process_triple(), llvm.get_host_cpu_name())
    return " ".join((*versions, *machine, llvm.get_host_cpu_features().flatten()))


@cache
def _head() -> bytes:
    text = b"".join((HERE / name).read_bytes() for name in SOURCES)
    return MARK + hashlib.sha256(_host().encode() + text).digest()


def _files() -> list[Path]:
    """Where the code may be: beside the other compiled files, or the user's own cache."""
    name = f"rise.{hashlib.sha256(_host().encode()).hexdigest()[:16]}.code"
    folders = [HERE / "__pycache__"]
    with suppress(RuntimeError):  # nobody's home
        caches = {"Darwin": "Library/Caches", "Windows": "AppData/Local"}
        folders.append(Path.home() / caches.get(platform.system(), ".cache") / "doughwright")
    return [folder / name for folder in folders]


def _linked(code: bytes) -> Run | None:
    """Link machine code into this process; it stays until the end. None if it does not fit."""
    import ctypes as c  # noqa: PLC0415

    import llvmlite.binding as llvm  # noqa: PLC0415

    address, number = c.c_void_p, c.c_int64
    try:
        llvm.initialize_native_target()
        engine = llvm.create_lljit_compiler(suppress_errors=True)
        parts = llvm.JITLibraryBuilder().add_object_img(code).add_current_process()
        library = parts.export_symbol(SYMBOL).link(engine, SYMBOL)
    except (RuntimeError, OSError, AttributeError, ValueError):
        return None
    entry = library[SYMBOL]
    library.detach()
    engine.detach()
    return c.CFUNCTYPE(
        *(None, address, number, address, number, c.c_double),
        *(address, number, address, number, address),
    )(entry)


def _compiled(*, anew: bool) -> Run:
    """Let the compiler make the run; if ``anew``, keep its machine code for later processes."""
    from doughwright.engine.stages import compiled_run  # noqa: PLC0415

    made = compiled_run(kept=not anew)
    if anew:
        keep(_tried(made.inspect_llvm(), made.native_name))
    function: Run = made.ctypes
    return function


def _tried(text: str, name: str) -> bytes:
    """Machine code that was seen to link; empty where that cannot be had."""
    try:
        code = _machine_code(text, name)
    except (RuntimeError, OSError, AttributeError, NameError, TypeError, ValueError):
        return b""
    return code if code and _linked(code) else b""


def _machine_code(text: str, name: str) -> bytes:
    """Machine code of the compiler's own text; empty if it needs more than mathematics."""
    import llvmlite.binding as llvm  # noqa: PLC0415

    module = llvm.parse_assembly(text)
    module.get_function(name).name = SYMBOL
    machine = _target_machine()
    _strip(module, machine)
    needed = {value.name for value in _values(module) if value.is_declaration}
    if {value for value in needed if not value.startswith("llvm.")} - MATHEMATICS:
        return b""
    code: bytes = machine.emit_object(module)
    return code


def _target_machine() -> Any:
    import llvmlite.binding as llvm  # noqa: PLC0415

    triple = llvm.get_process_triple()
    return llvm.Target.from_triple(triple).create_target_machine(
        cpu=llvm.get_host_cpu_name(),
        features=llvm.get_host_cpu_features().flatten(),
        opt=3,
        reloc="static" if triple.startswith(("x86", "i386", "i686")) else "default",
        codemodel="jitdefault",
        jit=True,
    )


def _values(module: Any) -> list[Any]:
    return [*module.functions, *module.global_variables]


def _strip(module: Any, machine: Any) -> None:
    """Drop what reports exceptions to Python: seen as a whole, the run never raises one."""
    import llvmlite.binding as llvm  # noqa: PLC0415

    for value in _values(module):
        if not value.is_declaration and value.name != SYMBOL:
            value.linkage = "internal"
    passes = llvm.create_new_module_pass_manager()
    passes.add_ipsccp_pass()
    passes.add_simplify_cfg_pass()
    passes.add_global_dead_code_eliminate_pass()
    passes.run(module, llvm.create_pass_builder(machine, llvm.create_pipeline_tuning_options()))
