"""An audit on the screen."""

from __future__ import annotations

from rich.console import Console

from advisor.explain.audit_form import Audit
from advisor.rulebase import RuleBase
from advisor.screens.audit_words import lines
from advisor.wording.layout import hanging, styled
from advisor.wording.names import PHASES

STYLES = {"head": "bold", "said": "italic", "plain": "", "quiet": "dim"}


def show_audit(audit: Audit, base: RuleBase, console: Console, *, everything: bool = False) -> None:
    """Print why something was said."""
    who = f"{audit.label}, {PHASES[audit.phase]}"
    console.print(styled(f"{audit.title or 'Delivery'}: {who}. Lot {audit.lot}.", "italic"))
    console.print()
    for line in lines(audit, base, everything=everything):
        lead = "  " * line.depth + (f"{line.mark} " if line.mark else "")
        hanging(lead, styled(line.text, STYLES[line.tone]), console)
    console.print()
    mark = f"Rules {audit.rulebase}, {audit.program}."
    console.print(styled(f"Weights are judgement, not measurements. {mark}", "italic"))
