"""The list of ideas once more, with what each of them is exactly."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Iterator, Mapping
from typing import Final

from solverworker.causes import IDEAS
from solverworker.techniques import definitions
from solverworker.techniques.technique import Technique


def with_definitions(
    ideas: Mapping[str, object], files: Mapping[str, object]
) -> dict[str, Technique]:
    """Return the technique of each idea, in the order of the ideas.

    ``files``: the modules of definitions by name. Raises ValueError when an
    idea has none, when one is of no idea, or holds no technique.
    """
    for code in ideas:
        if code not in files:
            raise ValueError(
                f"The idea `{code}` has words and no definition. "
                f"Write solverworker/techniques/definitions/{code}.py."
            )
    for name, module in files.items():
        if name not in ideas:
            raise ValueError(
                f"The definition `{name}` is of no idea. Write solverworker/causes/ideas/{name}.py."
            )
        if not isinstance(getattr(module, "TECHNIQUE", None), Technique):
            raise ValueError(f"The definition `{name}` holds no TECHNIQUE.")
    return {code: files[code].TECHNIQUE for code in ideas}  # type: ignore[attr-defined]


class Techniques(Mapping[str, Technique]):
    """All techniques by code, in the order of the ideas; the place of one is its bit in a mask."""

    def __init__(self, held: Mapping[str, Technique]) -> None:
        self._held = dict(held)

    def __getitem__(self, code: str) -> Technique:
        return self._held[code]

    def __iter__(self) -> Iterator[str]:
        return iter(self._held)

    def __len__(self) -> int:
        return len(self._held)


TECHNIQUES: Final = Techniques(
    with_definitions(
        IDEAS,
        {
            found.name: importlib.import_module(f"{definitions.__name__}.{found.name}")
            for found in pkgutil.iter_modules(definitions.__path__)
        },
    )
)
