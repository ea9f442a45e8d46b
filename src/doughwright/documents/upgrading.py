"""Older documents brought up to the present version, on reading, never in place.

Each step takes the parsed tree of one version and returns that of the next. There is
one version so far, so the table is empty; a new version adds its row here.
"""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

UPGRADES: Mapping[str, Callable[[dict[str, Any]], dict[str, Any]]] = MappingProxyType({})
"""From a version's name (``formula/1``) to the function that makes the next from it."""


def upgraded(
    tree: Any,
    upgrades: Mapping[str, Callable[[dict[str, Any]], dict[str, Any]]] = UPGRADES,
) -> Any:
    """Apply every upgrade from the document's version on."""
    while isinstance(tree, dict) and str(tree.get("doughwright")) in upgrades:
        tree = upgrades[tree["doughwright"]](tree)
    return tree
