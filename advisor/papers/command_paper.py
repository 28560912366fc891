"""``advisor paper CASE``: the note for the vet, the loss report, the log on the tank."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from advisor.wording.help_text import ExampleLines

EXAMPLE = """\
examples:
  advisor paper delivery.toml --for vet            writes delivery-vet.html; print it from there
  advisor paper delivery.toml --for vet --until 1  what was known 1 h after receipt
  advisor paper delivery.toml --for supplier --photo bag1.jpg bag2.jpg
  advisor paper delivery.toml --for log --text     plain text on the screen
  advisor paper delivery.toml --for labels         one large label a lot
"""


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "paper",
        help="note for the vet, loss report for the supplier, log for the tank",
        description="Make one paper from a case file: a page to print, or plain text.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("case", metavar="CASE", help="file, number, or part of a name or title")
    parser.add_argument(
        "--for", dest="purpose", choices=("vet", "supplier", "log", "labels"), required=True,
        help="whom the paper is for; log and labels hang on the tanks",
    )  # fmt: skip
    parser.add_argument(
        "--out", metavar="FILE", help="where to write it; - for the screen (default: CASE-vet.html)"
    )
    parser.add_argument("--text", action="store_true", help="plain text instead of a page")
    parser.add_argument("--lot", metavar="LOT", help="only this lot")
    parser.add_argument("--full", action="store_true", help="with workings, balances and pictures")
    parser.add_argument(
        "--until", metavar="HOURS", type=float, help="only what was known HOURS after receipt"
    )
    parser.add_argument(
        "--photo",
        metavar="FILE",
        nargs="+",
        default=[],
        help="photographs to hash and show, besides those kept with the case",
    )
    parser.add_argument(
        "--sheet", choices=("A4", "letter"), default=None,
        help="size of the printed sheet (default: as set with advisor settings, else A4)",
    )  # fmt: skip
    parser.add_argument(
        "--address", metavar="URL",
        help="of advisor serve, for the labels' scan code (default: as set with advisor settings; "
        "else the code holds the case's name)",
    )  # fmt: skip
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.add_argument("--json", action="store_true", help="say what was written as JSON")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    from advisor.advice.reasoner import default_reasoner
    from advisor.case import load_case
    from advisor.case.folder import cases_folder, find_case
    from advisor.papers.one_paper import make_paper
    from advisor.papers.photo_evidence import kept_beside
    from advisor.wording.settings import setting

    path = find_case(args.case, cases_folder())
    case = load_case(path)
    beside = kept_beside(case, path) if args.purpose in ("vet", "supplier") else []
    paper = make_paper(
        case,
        args.purpose,
        default_reasoner(args.rules),
        lot=args.lot,
        until_hours=args.until,
        photos=[*args.photo, *beside],
        full=args.full,
        scan=_scan(args.address or setting("address"), path),
    )
    if args.text:
        from advisor.papers.plain_paper import to_text

        text, ending = to_text(paper), "txt"
    else:
        from advisor.papers.html import to_html

        text, ending = to_html(paper, args.sheet or setting("sheet") or "A4"), "html"
    to_screen = args.out == "-" or (args.text and not args.out and not args.json)
    if to_screen:
        print(text, end="")
        return 0
    out = Path(args.out or f"{Path(args.case).stem}-{args.purpose}.{ending}")
    from advisor.case.exports import write_export

    write_export(out, text, "text" if args.text else "html")
    _told(out, text, args)
    return 0


def _scan(address: str | None, path: Path) -> str:
    """What a label's scan code holds: the case on the page of ``address``, else its name.

    Raises AdvisorError for what is no address of a page.
    """
    from advisor.case.folder import mark_of
    from advisor.errors import AdvisorError

    if not address:
        return path.stem
    if not address.startswith(("http://", "https://")) or len(address.split()) != 1:
        raise AdvisorError(
            f'--address "{address}": is no address; write it as advisor serve shows it, such as '
            "http://192.168.1.20:8765"
        )
    return f"{address.rstrip('/')}/d/{mark_of(path)}"


def _told(path: Path, text: str, args: argparse.Namespace) -> None:
    if args.json:
        import hashlib
        import json

        mark = hashlib.sha256(text.encode()).hexdigest()
        written = {"format": "advisor-paper-1", "for": args.purpose, "file": str(path)}
        print(json.dumps(written | {"sha256": mark}, indent=2))
        return
    from advisor.wording.text import one_line

    after = "" if args.text else " Open it in a browser; print it from there."
    print(one_line(f"Written: {path}.{after}"))
