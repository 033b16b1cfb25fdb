"""The one place where kernels are compiled, and where their compiled form is kept.

The cache folder carries a hash of every source in `physics/`: an edited helper can never leave a stale
caller behind, which a cache keyed to single files allows. With `NUMBA_DISABLE_JIT=1` the same
functions run as plain Python, so that coverage and mutation tests see them.
"""

import sys
from collections.abc import Callable
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import Any, TypeVar, cast

import numba
import platformdirs

__all__ = ["cache_folder", "kernel", "physics_hash"]

F = TypeVar("F", bound=Callable[..., Any])


@cache
def physics_hash() -> str:
    """Hash of every source file and shipped table in `physics/` [hex text]."""
    digest = blake2b(digest_size=8)
    for source in sorted(Path(__file__).parent.iterdir()):
        if source.suffix in {".py", ".npz"}:
            digest.update(source.read_bytes())
    return digest.hexdigest()


def cache_folder() -> Path:
    """Folder for compiled kernels and rotor tables of exactly this version of the physics."""
    return Path(platformdirs.user_cache_dir("rotorwright")) / physics_hash()


numba.config.CACHE_DIR = str(cache_folder() / "compiled")  # type: ignore[attr-defined]


def _without_scipy() -> None:
    """Let numba find no BLAS, which no kernel uses: it would import all of SciPy for it at every start."""
    if "scipy.linalg" not in sys.modules:
        sys.modules["scipy.linalg"] = None  # type: ignore[assignment]
        try:
            import numba.np.arraymath  # noqa: F401
        finally:
            del sys.modules["scipy.linalg"]


_without_scipy()


def kernel(function: F) -> F:
    """Compile `function` on first call; division by zero gives inf or NaN as in numpy; threads run side by side."""
    return cast(F, numba.njit(cache=True, error_model="numpy", nogil=True)(function))
