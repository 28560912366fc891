"""The case: one delivery of live fish, from the sealed bag to the last recheck.

All times in ``at_hours`` count from the moment the delivery was received
(negative = before). A sign in neither ``seen`` nor ``not_seen`` was not looked
for; a reading not given was not measured; "unknown" is an answer of its own.

Names of signs, history items and species are words of the rule base. They are
checked against it in ``advisor.advice.facts``, so that this model stands alone.
"""

# No postponed annotations in this file: pydantic evaluates them at once, and as text
# each would have to be compiled first, at every start.

import math
from collections import Counter
from collections.abc import Iterator
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, StrictBool, field_validator, model_validator

from advisor.case.readings import Number, Readings
from advisor.wording.times import iso_moment

FORMAT: Literal["arrival-case-1"] = "arrival-case-1"

Answer = Literal["yes", "no", "unknown"]
NonNegative = Annotated[Number, Field(ge=0)]
Positive = Annotated[Number, Field(gt=0)]
Celsius = Annotated[Number, Field(ge=-40, le=60)]
Hours = Annotated[Number, Field(ge=0, le=400)]
Count = Annotated[int, Field(strict=True, ge=0, le=1_000_000)]
HistoryValue = StrictBool | Number | str


class Part(BaseModel):
    """Base of every part of a case: unknown keys are refused, values never change.

    Validators are built when first used. So that defaults use none, they are made by
    ``model_construct``; they are equal to parts made the ordinary way.
    """

    model_config = ConfigDict(extra="forbid", frozen=True, defer_build=True)


class Delivery(Part):
    """What came, when, from whom, to whom. ``received`` is ISO 8601 local time."""

    title: str = ""
    received: str | None = None
    receiver: str | None = None
    place: str | None = None
    supplier: str | None = None
    invoice: str | None = None
    notes: str | None = None
    invented: StrictBool = False
    law: Literal["uk", "eu", "usa", "australia", "other"] | None = None

    @field_validator("received")
    @classmethod
    def _a_moment(cls, given: str | None) -> str | None:
        try:
            iso_moment(given or "2026-11-24")
        except ValueError:
            raise ValueError(
                f'"{given}" is no date and time; write year first, such as 2026-11-24T09:10, '
                "or the date alone"
            ) from None
        return given


class Transit(Part):
    """The journey. Hours count from the tying of the bag to its opening."""

    hours_sealed: Hours | None = None
    air_low_c: Celsius | None = None
    air_high_c: Celsius | None = None
    box: Literal["insulated", "plain", "unknown"] | None = None
    delay_hours: Hours | None = None
    fasted_hours: Hours | None = None
    sedative: Answer | None = None
    sedative_substance: str | None = None
    notes: str | None = None


class Lot(Part):
    """Fish of one kind that travelled alike.

    count, bags     : number in the whole lot
    bag_water_l     : water in ONE bag; bag_gas_l: gas over it in one bag
    mass_g          : mass of one fish; length_cm its length
    dead_on_arrival : found dead before or at opening
    sealed          : bags still closed
    packed          : readings of the water the fish were packed in, if the packer gave them
    Transit values given here replace those of [transit].
    """

    id: str = Field(min_length=1, max_length=40)
    species: str | None = None
    group: str | None = None
    count: Count | None = None
    mass_g: Positive | None = None
    length_cm: Positive | None = None
    bags: Annotated[int, Field(strict=True, ge=1, le=10_000)] | None = None
    bag_water_l: Positive | None = None
    bag_gas_l: NonNegative | None = None
    gas: Literal["oxygen", "air", "none", "unknown"] | None = None
    hours_sealed: Hours | None = None
    fasted_hours: Hours | None = None
    sedative: Answer | None = None
    dead_on_arrival: Count | None = None
    sealed: Answer | None = None
    opened_at_hours: Number | None = None
    released_at_hours: Number | None = None
    release_method: Literal["netted", "poured", "dripped", "floated_open", "unknown"] | None = None
    packed: Readings = Readings.model_construct()
    history: dict[str, HistoryValue] = {}
    ordered: Count | None = None
    price_each: NonNegative | None = None
    notes: str | None = None

    @model_validator(mode="after")
    def _dead_among_count(self) -> "Lot":
        if self.count is not None and (self.dead_on_arrival or 0) > self.count:
            raise ValueError(
                f"dead_on_arrival ({self.dead_on_arrival}) is more than count ({self.count})"
            )
        return self


class Added(Part):
    """Something already put into the receiving water."""

    substance: str
    amount: str | None = None
    at_hours: Number | None = None


class Receiving(Part):
    """The tank or system the fish go into."""

    name: str | None = None
    volume_l: Positive | None = None
    depth_m: Positive | None = None
    altitude_m: Annotated[Number, Field(ge=-430, le=5500)] | None = None
    age_days: NonNegative | None = None
    filter: Literal["mature", "part", "new", "none", "unknown"] | None = None
    supply: (
        Literal["chlorine", "chloramine", "disinfected", "well", "rain_or_ro", "unknown"] | None
    ) = None
    aerated: Answer | None = None
    plants: Answer | None = None
    invertebrates: Answer | None = None
    residents: Answer | None = None
    residents_well: Answer | None = None
    shared_system: Answer | None = None
    fish_mass_g: NonNegative | None = None
    daily_feed_g: NonNegative | None = None
    added: tuple[Added, ...] = ()
    notes: str | None = None


class Counts(Part):
    """Heads counted at one look. ``down`` cannot hold themselves upright or do not answer."""

    normal: Count | None = None
    down: Count | None = None
    dead: Count | None = None


class Observation(Part):
    """One look at one lot, or at all of them (``lot = "all"``).

    from_log : name of the instrument's log these readings came from; no one looked
    """

    at_hours: Number = 0.0
    lot: str = "all"
    seen: tuple[str, ...] = ()
    not_seen: tuple[str, ...] = ()
    words: tuple[str, ...] = ()
    counts: Counts = Counts.model_construct()
    minutes_after_opening: NonNegative | None = None
    bag: Readings = Readings.model_construct()
    tank: Readings = Readings.model_construct()
    tap: Readings = Readings.model_construct()
    tub: Readings = Readings.model_construct()
    done: tuple[str, ...] = ()
    note: str | None = None
    from_log: str | None = None

    def concerns(self, lot: str) -> bool:
        """Whether it was a look at this lot, by itself or with all of them."""
        return self.lot in ("all", lot)

    @property
    def tells(self) -> bool:
        """Whether something was seen, counted or read at it."""
        waters = (self.bag, self.tank, self.tub)
        counted = self.counts.model_dump(exclude_none=True)
        return bool(self.seen or self.not_seen or counted or any(w.given() for w in waters))

    @property
    def of_the_fish(self) -> bool:
        """Whether fish were looked at or counted, and not only a water read."""
        return bool(self.seen or self.not_seen or self.counts != Counts())

    @model_validator(mode="after")
    def _not_both(self) -> "Observation":
        both = sorted(set(self.seen) & set(self.not_seen))
        if both:
            raise ValueError(f'"{both[0]}" stands in both seen and not_seen; keep one')
        return self


class Death(Part):
    """Deaths counted up to a time, by lot."""

    at_hours: Number
    lot: str = "all"
    dead: Count


class Outcome(Part):
    """How it ended."""

    closed: StrictBool = False
    survivors_48h: Count | None = None
    deaths: tuple[Death, ...] = ()
    confirmed_causes: tuple[str, ...] = ()
    confirmed_by: str | None = None
    note: str | None = None


class Expected(Part):
    """What a person expects of the advisor, written before the first run.

    kind          : published, field (a real report) or constructed (ours)
    first_cause   : causes any of which may stand first
    in_first_three: causes any of which must stand among the first three
    first_action  : actions any of which may come first
    never         : actions that must not be advised
    measure_next  : readings any of which should be asked for next
    """

    kind: Literal["published", "field", "constructed"]
    first_cause: tuple[str, ...] = ()
    in_first_three: tuple[str, ...] = ()
    first_action: tuple[str, ...] = ()
    never: tuple[str, ...] = ()
    measure_next: tuple[str, ...] = ()
    lot: str | None = None
    source: str
    basis: str = "judgement"
    confidence: str | None = None
    after_arrival: StrictBool = True
    written: str | None = None
    note: str | None = None


class Photo(Part):
    """A photograph kept as evidence; sha256 when the file was at hand."""

    file: str
    taken: str | None = None
    sha256: str | None = None
    note: str | None = None


class Step(Part):
    """One step of unpacking, as timed at the bench; ``minutes`` is how long it took."""

    at_hours: Number
    lot: str = "all"
    what: str
    minutes: NonNegative | None = None


class Sample(Part):
    """Something kept for a laboratory or a vet. ``kept`` says how and where."""

    what: str
    lot: str = "all"
    at_hours: Number | None = None
    kept: str | None = None
    note: str | None = None


class Claim(Part):
    """What the supplier's own terms say and what is claimed.

    report_within_hours : losses are to be reported within so many hours of receipt
    losses_within_hours : losses count up to so many hours after receipt (0 = dead on
                          arrival only); None counts every loss written down
    """

    report_within_hours: NonNegative | None = None
    losses_within_hours: NonNegative | None = None
    reported_at_hours: Number | None = None
    currency: str | None = None
    terms: str | None = None


class Saved(Part):
    """Trace of an assessment made of this case: enough to make it again and compare.

    until_hours : the last look it used; the case up to then is its input
    inputs      : fingerprint of those inputs; ``result``: of what came out
    """

    made: str
    program: str
    rulebase: str
    fingerprint: str
    lot: str
    until_hours: Number | None = None
    inputs: str | None = None
    result: str | None = None
    causes: dict[str, Number] = {}
    actions: tuple[str, ...] = ()


class Session(Part):
    """Memory of the guided session: what was asked and left unknown, in order."""

    answered: tuple[str, ...] = ()
    unknown: tuple[str, ...] = ()


class Case(Part):
    """One delivery. See the module text for the rules of reading it."""

    format: Literal["arrival-case-1"] = FORMAT
    delivery: Delivery = Delivery.model_construct()
    transit: Transit = Transit.model_construct()
    receiving: Receiving = Receiving.model_construct()
    history: dict[str, HistoryValue] = {}
    lot: tuple[Lot, ...] = ()
    observation: tuple[Observation, ...] = ()
    expected: Expected | None = None
    outcome: Outcome = Outcome.model_construct()
    claim: Claim = Claim.model_construct()
    step: tuple[Step, ...] = ()
    sample: tuple[Sample, ...] = ()
    photo: tuple[Photo, ...] = ()
    assessment: tuple[Saved, ...] = ()
    session: Session = Session.model_construct()

    @property
    def last_hour(self) -> float:
        """The hour of the last look; 0 before the first."""
        return max((look.at_hours for look in self.observation), default=0.0)

    def looks_at(self, lot: str, until_hours: float = math.inf) -> list[tuple[int, Observation]]:
        """(place in the file, from 1, and look) of every look at a lot, in the order of time."""
        found = [
            (at, look)
            for at, look in enumerate(self.observation, 1)
            if look.concerns(lot) and look.at_hours <= until_hours
        ]
        return sorted(found, key=lambda pair: pair[1].at_hours)

    @model_validator(mode="after")
    def _lots_agree(self) -> "Case":
        ids = [lot.id for lot in self.lot]
        twice = [i for i, times in Counter(ids).items() if times > 1]
        if twice:
            raise ValueError(f'lot id "{twice[0]}" is used twice; give each lot its own id')
        if "all" in ids:
            raise ValueError('lot id "all" is kept for looks at every lot; choose another')
        known = {*ids, "all"}
        for where, named in self._lots_named():
            if named not in known:
                lots = f"the lots are {', '.join(ids)}" if ids else "the case has no [[lot]]"
                raise ValueError(f'{where} names lot "{named}"; {lots}')
        return self

    def _lots_named(self) -> Iterator[tuple[str, str]]:
        """(place, lot id) wherever the case names a lot."""
        for kind in ("observation", "step", "sample"):
            for at, part in enumerate(getattr(self, kind), 1):
                yield f"{kind} {at}", part.lot
        for at, death in enumerate(self.outcome.deaths, 1):
            yield f"outcome, deaths {at}", death.lot
        if self.expected is not None and self.expected.lot is not None:
            yield "expected", self.expected.lot
