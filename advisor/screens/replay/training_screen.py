"""``advisor replay``: deliveries played for training, one after another."""

from __future__ import annotations

import argparse
import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from advisor.advice.assess import lot_result, reason
from advisor.advice.facts.vocabulary import check_vocabulary
from advisor.advice.reasoner import Reasoner, default_reasoner
from advisor.advice.results import LotResult
from advisor.case import Case, load_case
from advisor.errors import AdvisorError
from advisor.explain.replay.archive import case_files, judged_lot
from advisor.explain.replay.lesson import Lesson
from advisor.explain.replay.offers import offers
from advisor.explain.replay.progress import as_csv, keep, kept, line_of, progress_file
from advisor.explain.replay.score import difficulty, right_causes, score
from advisor.rulebase import RuleBase
from advisor.screens.replay.reveal import show_progress, show_reveal
from advisor.screens.replay.training_desk import decide, unfold
from advisor.screens.session.run import read_answers
from advisor.screens.session.talk import Talk, TalkEnded
from advisor.wording.nearest import nearest


@dataclass(frozen=True)
class ChosenCase:
    """A case that may be played, and the advisor's result on its judged lot."""

    path: Path
    case: Case
    result: LotResult


def train(args: argparse.Namespace) -> int:
    """Play deliveries until they run out or the trainee leaves."""
    scores = None if args.name is None else progress_file(args.name)
    if args.export:
        return _export(args.export, scores)
    paths = case_files(args.path)
    if args.shuffle:
        random.Random(args.seed).shuffle(paths)
    reasoner = default_reasoner(args.rules)
    if args.cause is not None and args.cause not in reasoner.base.causes:
        hint = nearest(args.cause, reasoner.base.causes) or "."
        raise AdvisorError(f'--cause: no cause "{args.cause}"{hint}')
    talk = Talk(lines=read_answers(args.answers))
    played = 0
    try:
        for chosen in _chosen(paths, args, reasoner):
            if played and not _another(talk):
                break
            _play(chosen, talk, reasoner.base, scores)
            played += 1
    except TalkEnded:
        talk.say("Left before the end; what was decided so far is kept.")
    if scores is not None and played:
        show_progress(kept(scores), talk)
    if not played:
        talk.say("No delivery was played to its end.")
    return 0


def _chosen(
    paths: Sequence[Path], args: argparse.Namespace, reasoner: Reasoner
) -> Iterator[ChosenCase]:
    """Deliveries that can be played and fit what was asked for."""
    found = 0
    for path in paths:
        try:
            case = load_case(path)
            check_vocabulary(case, reasoner.base, str(path))
            lot = judged_lot(case)
        except AdvisorError:
            if len(paths) == 1:
                raise
            continue  # --check names files that cannot be read
        right = right_causes(case)
        if not right or not case.observation or (args.cause and args.cause not in right):
            continue
        result = lot_result(reason(case, lot, reasoner), reasoner)
        if args.difficulty and difficulty(result) != args.difficulty:
            continue
        found += 1
        yield ChosenCase(path, case, result)
    if not found:
        raise AdvisorError(
            "No delivery here can be played: it needs a look at the fish, and what was expected "
            "or confirmed, and must fit --cause and --difficulty."
        )


def _another(talk: Talk) -> bool:
    talk.say()
    talk.say("Enter for the next delivery, q to stop.")
    return talk.ask("next").strip().casefold() not in ("q", "quit", "stop", "n", "no")


def _play(chosen: ChosenCase, talk: Talk, base: RuleBase, scores: Path | None) -> None:
    lesson = Lesson(chosen.case, base)
    unfold(lesson, talk)
    decision = decide(offers(chosen.case, chosen.result, base), base, talk)
    asked, seconds = lesson.asked, lesson.clock
    found = score(decision, chosen.case, chosen.result, base, asked=asked, seconds=seconds)
    show_reveal(lesson, decision, found, chosen.result, talk)
    if scores is not None:
        now = datetime.now().isoformat(" ", timespec="minutes")
        keep(scores, line_of(found, chosen.path.stem, difficulty(chosen.result), now))


def _export(name: str, scores: Path | None) -> int:
    from advisor.case.exports import write_export
    from advisor.wording.text import inert

    if scores is None:
        raise AdvisorError("--export: say whose scores with --as NAME.")
    lines = kept(scores)
    if not lines:
        raise AdvisorError(f"--export: no scores are kept under that name ({scores}).")
    write_export(Path(name), as_csv(lines, inert), "csv")
    print(f"{name}: {len(lines)} deliveries")
    return 0
