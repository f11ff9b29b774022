"""What is worked out once for all workers of a test run: the first to ask makes it, others read it.

A figure or a site that many tests only read is made by whichever process asks first, under a lock,
and kept in the run's own temporary folder. Tests get a copy each process, never each other's.
"""

import copyreg
import fcntl
import os
import pickle
from collections.abc import Callable
from types import MappingProxyType
from typing import TypeVar

import pytest

Made = TypeVar("Made")
copyreg.pickle(MappingProxyType, lambda held: (MappingProxyType, (dict(held),)))


class Shared:
    """A folder that all workers of a run have in common."""

    def __init__(self, factory: pytest.TempPathFactory) -> None:
        own = factory.getbasetemp()
        worker = "PYTEST_XDIST_WORKER" in os.environ  # each has its folder within that of the run
        self.folder = own.parent if worker else own

    def once(self, name: str, make: Callable[[], Made]) -> Made:
        """Return what `make` returns, called by one process only; that it can be pickled."""
        file = self.folder / f"{name}.pickle"
        with (self.folder / f"{name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not file.exists():
                file.write_bytes(pickle.dumps(make()))
        made: Made = pickle.loads(file.read_bytes())  # noqa: S301 (written by this very run)
        return made
