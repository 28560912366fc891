"""Every formula of :mod:`advisor.water`: they register themselves as their modules load."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType

import advisor.water
from advisor.water.formulas import FORMULAS, Formula

MODULES: tuple[ModuleType, ...] = tuple(
    import_module(f"advisor.water.{module.name}") for module in iter_modules(advisor.water.__path__)
)
ALL: Mapping[str, Formula] = dict(sorted(FORMULAS.items()))
