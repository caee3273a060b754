"""`@compiled`: compile with numba once and keep the machine code between runs.

numba notices a change only in the file of the function itself, not in the files of the functions
that it calls, and would go on running the old machine code of those. So the code is kept in a
folder named after the contents of this whole package, below NUMBA_CACHE_DIR or `__pycache__`.
"""

import hashlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numpy as np
from numba import config, njit

F = TypeVar("F", bound=Callable[..., Any])

HERE = Path(__file__).parent
GIVEN_DIR = str(config.CACHE_DIR)  # type: ignore[attr-defined]


def _cache_dir() -> str:
    digest = hashlib.sha256()
    for file in sorted(HERE.glob("*.py")):
        digest.update(file.read_bytes())
    base = Path(GIVEN_DIR) if GIVEN_DIR else HERE / "__pycache__"
    return str(base / f"planner-{digest.hexdigest()[:16]}")


CACHE_DIR = _cache_dir()


def compiled(function: F) -> F:
    """An entrance from Python, compiled at its first call; the interpreter lock is released."""
    return _compile(function)


def inlined(function: F) -> F:
    """A part of compiled code, copied into its callers: a call that passes on the more than a
    hundred arrays of a search costs as much as the work of many parts. Without an entrance from
    Python it compiles much faster."""
    return _compile(function, no_cpython_wrapper=True, no_cfunc_wrapper=True, forceinline=True)


def _compile(function: F, **options: bool) -> F:
    config.CACHE_DIR = CACHE_DIR  # type: ignore[attr-defined]
    try:
        always = {"cache": True, "nogil": True, "error_model": "numpy", "_nrt": False}
        made = njit(**always, **options)(function)  # type: ignore[call-overload]
    finally:
        config.CACHE_DIR = GIVEN_DIR  # type: ignore[attr-defined]
    return cast(F, made)


@inlined
def wide(index: int) -> int:
    """An index read from an array, to be passed on: numba compiles everything that takes it once
    more for each width of its arguments."""
    return int(np.int64(index))
