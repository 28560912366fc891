"""Shut bags: do not cut yet, which first, and one big button a bag as it is opened and emptied."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from starlette.datastructures import FormData
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from advisor.advice.results import ActionResult, LotResult
from advisor.ask.answers.apply import with_field
from advisor.ask.answers.parts import Place
from advisor.ask.answers.tanks import tank_of
from advisor.ask.at_the_bag import TUB, WAYS
from advisor.ask.hours import about, clock_at
from advisor.ask.release import out_of_bag, put_back, taken_out
from advisor.case import Case, Lot
from advisor.errors import AdvisorError
from advisor.page.entry import Guest
from advisor.page.house import House, hours_told, known, sent, to
from advisor.page.intake import understood
from advisor.page.plans import plan_of
from advisor.rulebase import RuleBase
from advisor.wording.times import time_of_day

#: The move of rules/moves.toml that leaves a bag shut.
STAY_SHUT = "stay_shut"
#: What can be told of a bag with one tap; the last two take a tap back.
STEPS = ("opened", "out", "not_opened", "not_out")


@dataclass(frozen=True)
class Bag:
    """One lot at the bench.

    state : shut, open or out; ``keep``: the way is to leave it shut for now; ``now``: its fish
            need out of it at once
    puts : where the way of the plan puts them, as a key of the ways over
    unread : no water of its tank was read, so nothing is known of it
    tapped_out : it was said to be out of the bag, which a tap takes back
    deadline : by when it should be empty, where that is foreseen
    """

    id: str
    name: str
    place: int
    because: str
    state: str
    way: str
    way_because: str
    keep: bool
    now: bool
    puts: str
    opened: datetime | None
    out: datetime | None
    deadline: datetime | None
    taken_by: str
    goes_to: str
    taken_as: str
    tapped_out: bool
    unread: bool


def routes(house: House) -> list[Route]:
    return [
        Route("/d/{mark}/bags", known(house, show)),
        Route("/d/{mark}/bags", sent(house, stamped), methods=["POST"]),
        Route("/d/{mark}/claim", sent(house, claim), methods=["POST"]),
    ]


def show(house: House, request: Request, guest: Guest) -> Response:
    mark = request.path_params["mark"]
    case, _ = house.desk.result(mark)
    return house.page(
        request,
        "bags.html.j2",
        mark=mark,
        case=case,
        bags=_bags(house, mark),
        ways=WAYS,
        plan=plan_of(house.desk, mark),
        time_of_day=time_of_day,
    )


def _bags(house: House, mark: str) -> list[Bag]:
    """Bags in the order of the hands: open ones first, then as they are to be opened."""
    case, result = house.desk.result(mark)
    order = {each.lot: each for each in result.opening_order}
    lots = {each.lot: each for each in result.lots}
    claims = house.desk.claims(mark)
    found = []
    for lot in case.lot:
        place = order.get(lot.id)
        found.append(
            _bag(case, lot, lots[lot.id], place.place if place else 0,
                 place.because if place else "", claims.get(lot.id, ""),
                 house.desk.reasoner.base)
        )  # fmt: skip
    rank = {"open": 0, "shut": 1, "out": 2}
    return sorted(found, key=lambda bag: (rank[bag.state], bag.place))


def _bag(
    case: Case, lot: Lot, result: LotResult, place: int, because: str, by: str, base: RuleBase
) -> Bag:
    opened, out = lot.opened_at_hours, lot.released_at_hours
    state = "out" if out_of_bag(lot) else "open" if opened is not None else "shut"
    if state == "shut" and lot.sealed != "yes":
        state = "out" if result.place in ("tank", "tub") else "open"
    minutes = next(
        (fact.low for fact in result.computed if fact.name == "minutes_open_to_nh3_limit"), None
    )
    at = _moment(case, opened)
    deadline = at + timedelta(minutes=minutes) if at and minutes and state == "open" else None
    move = result.move
    return Bag(
        lot.id, about(lot), place, because, state,
        *_way(result, base),
        move is not None and move.chosen == STAY_SHUT,
        (step := _step_out(result, base)) is not None and step.emergency,
        _puts(result, base),
        at, _moment(case, out), deadline, by, tank_of(lot),
        _taken_as(lot, base),
        out_of_bag(lot),
        not any(look.tank.given() for look in case.observation if look.concerns(lot.id)),
    )  # fmt: skip


def _step_out(result: LotResult, base: RuleBase) -> ActionResult | None:
    """The first step of the plan that moves these fish: it, not the move alone, says the way."""
    return next(
        (each for each in result.actions
         if (action := base.actions.get(each.id)) is not None and action.puts is not None),
        None,
    )  # fmt: skip


def _way(result: LotResult, base: RuleBase) -> tuple[str, str]:
    """How they go over, and why, in the words of the plan."""
    step, move = _step_out(result, base), result.move
    if step is not None:
        return step.text, step.because
    return ("", "") if move is None else (move.name, move.because)


def _puts(result: LotResult, base: RuleBase) -> str:
    step = _step_out(result, base)
    return TUB if step is not None and base.actions[step.id].puts == "tub" else ""


def _taken_as(lot: Lot, base: RuleBase) -> str:
    if not lot.species:
        return ""
    return understood(lot.species, base) or "a delicate unknown fish"


def _moment(case: Case, hours: float | None) -> datetime | None:
    return None if hours is None else clock_at(case, hours)


def stamped(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    """A bag is opened or empty now, or was not after all. A second tap changes nothing."""
    mark, lot = request.path_params["mark"], str(form.get("lot", ""))
    step, way = str(form.get("step", "")), str(form.get("way", "unknown"))
    desk = house.desk

    def change(case: Case) -> Case:
        this = next((each for each in case.lot if each.id == lot), None)
        if this is None or step not in STEPS:
            raise AdvisorError("There is no such bag here.")
        hours = hours_told(case, desk.clock(), form)
        if step == "opened" and this.opened_at_hours is None:
            case = with_field(case, "lot.sealed", "no", Place(lot, hours))
            return with_field(case, "lot.opened_at_hours", hours, Place(lot, hours))
        if step == "out" and not out_of_bag(this):
            how = way if way in WAYS else "unknown"
            case = with_field(case, "lot.sealed", "no", Place(lot, hours))
            for field, value in taken_out(how, hours).items():
                case = with_field(case, f"lot.{field}", value, Place(lot, hours))
        if step == "not_out" and out_of_bag(this):
            for field, value in put_back(this).items():
                case = with_field(case, f"lot.{field}", value, Place(lot, hours))
        if step == "not_opened" and not out_of_bag(this):
            case = with_field(case, "lot.sealed", "yes", Place(lot, hours))
            case = with_field(case, "lot.opened_at_hours", None, Place(lot, hours))
        return case

    desk.change_once(mark, str(form.get("once", "")), guest.name, f"{step} {lot}", change)
    return to(f"/d/{mark}/bags")


def claim(house: House, request: Request, guest: Guest, form: FormData) -> Response:
    mark = request.path_params["mark"]
    take = form.get("want") != "give"
    house.desk.claim(mark, str(form.get("lot", "")), guest.name, take=take)
    return to(f"/d/{mark}/bags")
