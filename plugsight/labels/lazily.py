"""A mapping whose values are made when asked for: a set may hold more photos than fit into memory."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import TypeVar

T = TypeVar("T")


class Lazily(Mapping[str, T]):
    """``names`` in order, each with the value that ``make`` gives for it, made anew each time."""

    def __init__(self, names: Iterable[str], make: Callable[[str], T]) -> None:
        self._names = dict.fromkeys(names)
        self._make = make

    def __getitem__(self, name: str) -> T:
        """Make the value of ``name``; ``KeyError`` where there is none."""
        if name not in self._names:
            raise KeyError(name)
        return self._make(name)

    def __contains__(self, name: object) -> bool:
        """Whether ``name`` is there; makes nothing."""
        return name in self._names

    def __iter__(self) -> Iterator[str]:
        """Go through the names."""
        return iter(self._names)

    def __len__(self) -> int:
        """Count the names."""
        return len(self._names)

    def only(self, names: Iterable[str]) -> "Lazily[T]":
        """Return the same for those of ``names`` that are there."""
        return Lazily([n for n in names if n in self._names], self._make)
