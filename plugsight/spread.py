"""One switch for all that is done to many items: this machine's cores, or a Dask cluster by its address.

joblib carries both. It starts fresh processes: forked ones inherit OpenCV's thread pool without its threads and wait for
ever. A Dask scheduler hands the work of a worker that died to another one.
"""

from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager, ExitStack
from typing import TypeVar

import cv2
from joblib import Parallel, delayed, parallel_config

from plugsight.vocabulary.errors import InputError

T = TypeVar("T")
R = TypeVar("R")
WAIT_S = 10
"""Time given to a scheduler to answer."""


def spread(
    work: Callable[[T], R], items: Iterable[T], *, workers: int = 1, scheduler: str = ""
) -> Iterator[R]:
    """Yield ``work(item)`` for each of ``items``, in their order.

    ``workers`` processes of this machine share the items; with the address of a Dask ``scheduler`` (``tcp://host:8786``)
    its workers do, and ``workers`` isn't used. Only a few items a worker are under way at once, so memory stays flat
    however many there are. ``work`` and its results must pickle; what ``work`` raises is raised here.

    Raises
    ------
    InputError
        Where a scheduler is named and Dask is not installed, or nobody answers there.

    """
    with ExitStack() as stack:
        if scheduler:
            stack.enter_context(_client(scheduler))
            stack.enter_context(parallel_config(backend="dask"))
        run = Parallel(n_jobs=-1 if scheduler else workers, return_as="generator", batch_size=1)
        yield from run(delayed(_alone)(work, item) for item in items)


def _alone(work: Callable[[T], R], item: T) -> R:
    """One thread a process: more would fight over the cores."""
    cv2.setNumThreads(1)
    return work(item)


def _client(scheduler: str) -> AbstractContextManager[object]:
    try:
        from distributed import Client  # noqa: PLC0415 - an extra that may be missing
    except ImportError as missing:
        raise InputError(
            scheduler, "Dask is not installed here", "Install it: pip install 'plugsight[cluster]'."
        ) from missing
    try:
        client: AbstractContextManager[object] = Client(scheduler, timeout=WAIT_S, set_as_default=True)
    except (OSError, ValueError) as problem:
        raise InputError(
            scheduler,
            "no scheduler answers there",
            "Start one with 'dask scheduler', and give the address that it prints (tcp://host:8786).",
        ) from problem
    return client
