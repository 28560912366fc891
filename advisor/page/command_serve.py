"""``advisor serve``: the page for phones and tablets of the room."""

from __future__ import annotations

import argparse
import logging
import socket
from pathlib import Path
from typing import Any

from advisor.errors import AdvisorError
from advisor.wording.help_text import ExampleLines

EXAMPLE = """\
examples:
  advisor serve              on this computer alone: http://127.0.0.1:8765
  advisor serve --lan        for phones in the same network; shows address, code and a QR code
  advisor serve --lan --cert room.pem --key room.key   the same over an encrypted line
"""
PORT = 8765
OPEN_LINE = (
    "The line is NOT encrypted: whoever is in this network can read along and take the code. "
    "With --cert and --key it is."
)


def add(commands: Any) -> None:
    parser = commands.add_parser(
        "serve",
        help="the same session and plans on phones and tablets of the room",
        description="Serve the session, plans, looks and papers as a page, without any cloud.",
        epilog=EXAMPLE,
        formatter_class=ExampleLines,
    )
    parser.add_argument("--lan", action="store_true", help="for the whole network, not only here")
    parser.add_argument("--port", type=int, default=PORT, metavar="N", help=f"(default {PORT})")
    parser.add_argument("--host-name", metavar="NAME", help="a further name of this computer")
    parser.add_argument("--cert", metavar="FILE", help="certificate, to encrypt the line")
    parser.add_argument("--key", metavar="FILE", help="private key of the certificate")
    parser.add_argument("--cases", metavar="DIR", help="folder of cases (see advisor)")
    parser.add_argument("--rules", metavar="DIR", help="another folder of rules")
    parser.set_defaults(run=run)


def run(args: argparse.Namespace) -> int:
    try:
        import uvicorn

        from advisor.page.application import door_of, make_app
        from advisor.page.house import LOCAL
        from advisor.page.processes import worth_having
    except ImportError as error:
        raise AdvisorError(
            f"serve: needs {error.name}, which is not installed; pip install 'advisor[page]'"
        ) from None
    from advisor.advice.reasoner import default_reasoner
    from advisor.case.folder import cases_folder

    secure = _checked(args)
    address = _own_address() if args.lan else "127.0.0.1"
    hosts = [*LOCAL, address, *([args.host_name] if args.host_name else [])]
    # Whoever sends a broken form is told by the answer; the terminal is for the room. Set
    # before the processes that read forms are made.
    logging.getLogger("python_multipart").setLevel(logging.CRITICAL)
    app = make_app(
        cases_folder(args.cases), default_reasoner(args.rules), hosts=hosts, secure=secure,
        processes=worth_having(),
    )  # fmt: skip
    where = f"{'https' if secure else 'http'}://{address}:{args.port}"
    _tell(where, door_of(app).code(), lan=args.lan, secure=secure)
    # Addresses a proxy claims are not believed: guessing is counted by them.
    uvicorn.run(
        app, host="0.0.0.0" if args.lan else "127.0.0.1", port=args.port, log_level="warning",
        ssl_certfile=args.cert, ssl_keyfile=args.key, proxy_headers=False, server_header=False,
        limit_concurrency=200, timeout_keep_alive=20, lifespan="off",
        h11_max_incomplete_event_size=32 * 1024,
    )  # fmt: skip
    return 0


def _checked(args: argparse.Namespace) -> bool:
    """Whether the line will be encrypted. Raises AdvisorError for flags that do not fit."""
    if not 1 <= args.port <= 65535:
        raise AdvisorError(f"--port {args.port}: is no port; give 1024 to 65535.")
    if bool(args.cert) != bool(args.key):
        raise AdvisorError("--cert and --key: give both, or neither.")
    for flag, name in (("--cert", args.cert), ("--key", args.key)):
        if name and not Path(name).is_file():
            raise AdvisorError(f"{flag} {name}: there is no such file.")
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("", args.port))
        except OSError as error:
            reason = (error.strerror or "unknown reason").lower()
            raise AdvisorError(
                f"--port {args.port}: cannot be used ({reason}); give another, such as "
                f"--port {args.port % 60000 + 1025}."
            ) from None
    return bool(args.cert)


def _own_address() -> str:
    """This computer's address in the network. No packet is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("192.0.2.1", 9))  # set aside for documentation (RFC 5737)
            return str(probe.getsockname()[0])
        except OSError:
            raise AdvisorError("--lan: this computer is in no network.") from None


def _tell(where: str, code: str, *, lan: bool, secure: bool) -> None:
    print(f"Open {where}")
    print(f"Code of today: {code}")
    if lan:
        import segno

        segno.make(f"{where}/enter?code={code}", error="m").terminal(compact=True, border=2)
        if not secure:
            print(OPEN_LINE)
    print("Ctrl-C ends it; nothing that was answered is lost.", flush=True)
