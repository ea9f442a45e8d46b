# mypy: ignore-errors
# ruff: noqa: ANN001, ANN002, ANN201 - the compiler has its own types
"""What every compiled run is made with. Import it inside functions only."""

import hashlib
from contextlib import suppress
from functools import partial
from pathlib import Path

import numba
from numba import types

njit = partial(numba.njit, error_model="numpy", no_cfunc_wrapper=True, _nrt=False)
"""A kernel: it raises nothing and asks for no memory, so its code stands on its own."""

TYPES = {"a": types.voidptr, "n": types.int64, "d": types.float64}


def digest(*modules):
    """A digest of every module that takes part in a compiled run."""
    texts = (Path(part.__file__).read_bytes() for part in modules)
    return hashlib.sha256(b"".join(texts)).hexdigest()


def compiled_entry(run, takes, *, kept):
    """Compile a run; with ``kept``, the compiler keeps what it made and finds it again."""
    signature = types.void(*(TYPES[letter] for letter in takes))
    if kept:
        with suppress(RuntimeError):  # no writable place: compile for this process only
            return numba.cfunc(signature, error_model="numpy", cache=True)(run)
    return numba.cfunc(signature, error_model="numpy")(run)
