"""A paper as one HTML page: nothing outside it is needed, and no script."""

from __future__ import annotations

import re
from typing import Any

from advisor.papers.blocks import Paper
from advisor.version import PROGRAM
from advisor.wording.text import plain

#: Where a word this long may be broken in a table.
_LONG = re.compile(r"(?<=[^\s]{16})(?=[^\s]{4})")


def to_html(paper: Paper, sheet: str = "A4") -> str:
    """The page, to be printed on ``sheet``.

    Every text of the paper is cleaned of control codes, then escaped.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined
    from markupsafe import Markup

    environment = Environment(
        loader=PackageLoader("advisor.papers"),
        autoescape=True,
        finalize=_clean,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["breakable"] = _breakable
    # Only the style sheet and our own drawings go in as they are.
    css = Markup(environment.loader.get_source(environment, "paper.css")[0])  # type: ignore[union-attr]
    page = environment.get_template("paper.html.j2")
    return page.render(paper=paper, css=css, program=PROGRAM, as_drawn=Markup, sheet=sheet)


def _breakable(text: str) -> Any:
    """Escaped text in which a very long word may be broken without a mark that is copied."""
    from markupsafe import Markup, escape

    parts = _LONG.split(plain(text))
    return Markup("<wbr>").join(escape(part) for part in parts if part)


def _clean(value: Any) -> Any:
    from markupsafe import Markup

    return value if isinstance(value, (Markup, int)) else plain(value)
