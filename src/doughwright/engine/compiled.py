"""Compiled runs, called without loading their compiler.

Importing the compiler takes far longer than planning a bread. So the machine code of a run is
kept in a file once it is made, and later processes link that file and call it. Whatever is odd
about the file, its place or the machine, the compiler does the work as usual.
"""

import hashlib
import platform
import uuid
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from functools import cache
from importlib import import_module
from importlib.metadata import version
from pathlib import Path
from typing import Any

Run = Callable[..., None]

HERE = Path(__file__).parent


@dataclass(frozen=True, slots=True)
class Kernel:
    """What is compiled: its name, what decides its code, who makes it and what it takes.

    ``sources`` are the modules whose text decides what is compiled and how it is called;
    ``takes`` has a letter an argument: an address, a number or a double.
    """

    name: str
    sources: tuple[str, ...]
    maker: str
    takes: str

    @property
    def symbol(self) -> str:
        """Its name in the machine code."""
        return f"doughwright_{self.name}"


CALLED = ("gas.py", "compiling.py", "compiled.py")
RISE = Kernel(
    "rise",
    ("stages.py", "records.py", "fermentation.py", "cooling.py", *CALLED),
    "doughwright.engine.stages",
    "anandanana",
)
BAKE = Kernel(
    "bake",
    ("bake_kernel.py", "bake_walls.py", "bake_records.py", *CALLED),
    "doughwright.engine.bake_kernel",
    "anananaanaaanaa",
)

MARK = b"doughwright run\n"
HASHED = hashlib.sha256().digest_size
MATHEMATICS = frozenset(
    {"cos", "exp", "exp2", "fmax", "fmin", "log", "log10", "pow", "sin", "sqrt"}
)
"""What the machine code may call outside itself: the C library's functions of numbers."""


def is_compiled(*kernels: Kernel) -> bool:
    """Whether kernels are ready on disk; if not, the next plan waits for the compiler.

    Examples
    --------
    >>> is_compiled(RISE, BAKE) in {True, False}
    True
    """
    return all(kept_code(kernel) is not None for kernel in kernels)


@cache
def run(kernel: Kernel) -> Run:
    """The compiled run: from disk where it can be, else from the compiler.

    Threads may ask at once, and each gets one (at worst each has it made); they may call it at
    once: what it works on is the caller's, and while it runs other threads go on.

    Examples
    --------
    >>> callable(run(RISE))
    True
    """
    code = kept_code(kernel)
    linked = _linked(code, kernel) if code else None
    return linked or _compiled(kernel, anew=code is None)


def kept_code(kernel: Kernel) -> bytes | None:
    """The machine code on disk; None when there is none fit for use.

    Empty where an earlier process found that code cannot be kept on this machine.

    Examples
    --------
    >>> isinstance(run(RISE) and kept_code(RISE), bytes | None)
    True
    """
    head = _head(kernel)
    for file in _files(kernel):
        try:
            found = file.read_bytes()
        except OSError:
            continue
        kept, code = found[len(head) : len(head) + HASHED], found[len(head) + HASHED :]
        if found.startswith(head) and kept == hashlib.sha256(code).digest():
            return code
    return None


def keep(code: bytes, kernel: Kernel) -> bool:
    """Write machine code to the first folder that takes it; whole or not at all.

    Examples
    --------
    >>> kept = run(RISE) and kept_code(RISE)
    >>> kept is None or keep(kept, RISE)
    True
    """
    content = _head(kernel) + hashlib.sha256(code).digest() + code
    for file in _files(kernel):
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
def _head(kernel: Kernel) -> bytes:
    text = b"".join((HERE / name).read_bytes() for name in kernel.sources)
    return MARK + hashlib.sha256(_host().encode() + text).digest()


def _files(kernel: Kernel) -> list[Path]:
    """Where the code may be: beside the other compiled files, or the user's own cache."""
    name = f"{kernel.name}.{hashlib.sha256(_host().encode()).hexdigest()[:16]}.code"
    folders = [HERE / "__pycache__"]
    with suppress(RuntimeError):  # nobody's home
        caches = {"Darwin": "Library/Caches", "Windows": "AppData/Local"}
        folders.append(Path.home() / caches.get(platform.system(), ".cache") / "doughwright")
    return [folder / name for folder in folders]


def _linked(code: bytes, kernel: Kernel) -> Run | None:
    """Link machine code into this process; it stays until the end. None if it does not fit."""
    import ctypes as c  # noqa: PLC0415

    import llvmlite.binding as llvm  # noqa: PLC0415

    letters = {"a": c.c_void_p, "n": c.c_int64, "d": c.c_double}
    try:
        llvm.initialize_native_target()
        engine = llvm.create_lljit_compiler(suppress_errors=True)
        parts = llvm.JITLibraryBuilder().add_object_img(code).add_current_process()
        library = parts.export_symbol(kernel.symbol).link(engine, kernel.symbol)
    except (RuntimeError, OSError, AttributeError, ValueError):
        return None
    entry = library[kernel.symbol]
    library.detach()
    engine.detach()
    return c.CFUNCTYPE(None, *(letters[letter] for letter in kernel.takes))(entry)


def _compiled(kernel: Kernel, *, anew: bool) -> Run:
    """Let the compiler make the run; if ``anew``, keep its machine code for later processes."""
    made = import_module(kernel.maker).compiled_run(kept=not anew)
    if anew:
        keep(_tried(made.inspect_llvm(), made.native_name, kernel), kernel)
    function: Run = made.ctypes
    return function


def _tried(text: str, name: str, kernel: Kernel) -> bytes:
    """Machine code that was seen to link; empty where that cannot be had."""
    try:
        code = _machine_code(text, name, kernel.symbol)
    except (RuntimeError, OSError, AttributeError, NameError, TypeError, ValueError):
        return b""
    return code if code and _linked(code, kernel) else b""


def _machine_code(text: str, name: str, symbol: str) -> bytes:
    """Machine code of the compiler's own text; empty if it needs more than mathematics."""
    import llvmlite.binding as llvm  # noqa: PLC0415

    module = llvm.parse_assembly(text)
    module.get_function(name).name = symbol
    machine = _target_machine()
    _strip(module, machine, symbol)
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


def _strip(module: Any, machine: Any, symbol: str) -> None:
    """Drop what reports exceptions to Python: seen as a whole, the run never raises one."""
    import llvmlite.binding as llvm  # noqa: PLC0415

    for value in _values(module):
        if not value.is_declaration and value.name != symbol:
            value.linkage = "internal"
    passes = llvm.create_new_module_pass_manager()
    passes.add_ipsccp_pass()
    passes.add_simplify_cfg_pass()
    passes.add_global_dead_code_eliminate_pass()
    passes.run(module, llvm.create_pass_builder(machine, llvm.create_pipeline_tuning_options()))
