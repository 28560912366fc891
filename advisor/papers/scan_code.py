"""The scan code of a case: its address on the page where that is known, else its name.

A QR code (ISO/IEC 18004), level M, drawn by segno; whoever scans a name finds the case
with ``advisor assess NAME``.
"""

from __future__ import annotations

import io

from advisor.papers.blocks import Code

#: Quiet zone on each side [modules], as ISO/IEC 18004 wants it.
QUIET = 4


def scan_code(text: str) -> Code:
    """``text`` as a QR code."""
    import segno

    out = io.BytesIO()
    made = segno.make(text, error="m", micro=False)
    made.save(
        out, kind="svg", border=QUIET, xmldecl=False, svgns=True, omitsize=True,
        svgclass=None, lineclass=None,
    )  # fmt: skip
    return Code(out.getvalue().decode(), text)
