"""The entries of a rule file, as read from TOML: names, types and closed lists of keys."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from riskhelper.terms import ControlKind, Standing

Number = Annotated[float, Field(strict=True)]
Whole = Annotated[int, Field(strict=True)]
Flag = Annotated[bool, Field(strict=True)]
Level = Annotated[int, Field(strict=True, ge=1, le=5)]
Span = tuple[Number, Number]


class Entry(BaseModel):
    """Common ground of all entries: closed keys, frozen values, no number in quotes, no endless number."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


class Reviewed(Entry):
    """An entry beside which findings of the review can be waived: kind of finding to reason."""

    waived: dict[str, str] = {}


class IfNotKnown(Entry):
    """The range that counts when a number is not known, narrower than the accepted one, with the reason."""

    range: Span
    because: str


class QuestionEntry(Reviewed):
    """One question. `options` maps option ids to the sentence on the key.

    `graver` is the order that the proofs hold the rules to: the way in which a number gets graver, or options
    of a choice from the mildest to the gravest; what is left out of it is compared with nothing.
    """

    ask: str
    why: str
    type: Literal["yes_no", "choice", "several", "number", "text"]
    place: Literal["van", "gate", "fence", "valve", "box", "hand_back"]
    asked_at: str
    if_unknown: str
    options: dict[str, str] = {}
    alone: tuple[str, ...] = ()
    names_nothing: tuple[str, ...] = ()
    range: Span | None = None
    usual: Span | None = None
    if_not_known: IfNotKnown | None = None
    step: Number | None = None
    unit: str = ""
    ask_if: str = "True"
    early: Flag = False
    expect: Number | str | tuple[str, ...] | Span | None = None
    expect_as: str = ""
    error: Number | str | None = None
    life_min: Whole | None = None
    private: Flag = False
    of_plant: Flag = False
    not_known_stops: str = ""
    not_known_stops_if: str = "True"
    not_asked: Number | str | None = None
    can_change: str = ""
    is_control: Flag = False
    says: dict[str, str] = {}
    worse: str = ""
    graver: Literal["up", "down"] | tuple[str, ...] = ()
    source: str = ""


class FactEntry(Reviewed):
    """A named fact: exactly one of `is`, `table` or `calc` (with `from`)."""

    title: str = ""
    is_: str | None = Field(default=None, alias="is")
    table: dict[str, str | Number | Span] | None = None
    calc: str | None = None
    from_: dict[str, str | Number] = Field(default={}, alias="from")
    unit: str = ""
    resolution: Number | None = None
    shown_if: str | None = None
    source: str = ""


class LimitEntry(Reviewed):
    """A named figure. `worse` is the way a local code or a supplement may move it: the stricter way."""

    is_: Number = Field(alias="is")
    unit: str
    worse: Literal["up", "down"]
    source: str
    title: str = ""
    standing: Standing = Standing.OURS
    cases: tuple[str, ...] = ()


class AtLeast(Entry):
    """A base case: the level counts when `if` holds or cannot be ruled out (`unless`: when it is not surely so)."""

    level: Level
    because: str
    if_: str | None = Field(default=None, alias="if")
    unless: str | None = None


class Add(Entry):
    """An aggravating circumstance: raises the level by `by`."""

    by: Annotated[int, Field(strict=True, ge=1, le=4)]
    because: str
    if_: str | None = Field(default=None, alias="if")
    unless: str | None = None


class Scale(Entry):
    """Likelihood or severity of a hazard."""

    least: Level
    at_least: tuple[AtLeast, ...] = ()
    add: tuple[Add, ...] = ()


class HazardEntry(Reviewed):
    """A hazard: who is harmed and how, and what raises it."""

    title: str
    applies_if: str
    who: str
    harm: str
    severity: Scale
    likelihood: Scale
    no_ppe_credit: str | None = None
    administrative_accepted: str = ""
    stops: tuple[str, ...] = ()
    source: str = "common practice"
    standing: Standing = Standing.OURS


class Credit(Entry):
    """How far a control lowers one hazard."""

    likelihood: Annotated[int, Field(strict=True, ge=0, le=4)] = 0
    severity: Annotated[int, Field(strict=True, ge=0, le=4)] = 0


class ControlEntry(Reviewed):
    """A control: what is done, by whom, proved by what, due before which hold point."""

    kind: ControlKind
    do: str
    evidence: tuple[str, ...]
    by: str
    hold_point: str
    lowers: dict[str, Credit] = {}
    if_: str | None = Field(default=None, alias="if")
    source: str = "common practice"


class StopEntry(Reviewed):
    """A stop. Exactly one of `lifted_by` (a limit) and `ruled_by` (a decision).

    Without a condition it fires only through `fires_on` or a question's `not_known_stops`.
    """

    title: str
    stops_if: str | None = None
    stops_unless: str | None = None
    fires_on: (
        Literal["unacceptable_as_planned", "serious_without_control", "control_overdue", "no_local_code"] | None
    ) = None
    lifted_by: str = ""
    ruled_by: str = ""
    because: str
    act: str
    source: str = "common practice"
    standing: Standing = Standing.OURS


class ClashEntry(Reviewed):
    """How two kinds of work go together near one another: never (`ban`), or under the safeguards named."""

    ban: Flag = False
    safeguards: tuple[str, ...] = ()
    because: str
    source: str = "common practice"
    standing: Standing = Standing.COMMON_PRACTICE


class ClaimEntry(Reviewed):
    """What the officer claims of the set: whenever `when` holds or cannot be ruled out, `never` is not so.

    Both are conditions that may also speak of the outcome: see `riskhelper.office.proofs.asking`.
    """

    when: str
    never: str
    because: str


class StepEntry(Reviewed):
    """One step of the work, in the order of the file."""

    do: str
    place: Literal["van", "gate", "fence", "valve", "box", "hand_back"]
    if_: str | None = Field(default=None, alias="if")
    hold_point: str = ""
    hazards: tuple[str, ...] = ()
    controls: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()
    who: str = "work leader"
    error_likely: str = ""
    check: str = ""
    after: str = ""  # of a supplement: the hold point behind which it stands


class IsolationRowEntry(Reviewed):
    """One row of the isolation plan: a source or a point, when it is needed, and how it is held off and proved.

    A plan says for each row what 29 CFR 1910.147(c)(4)(ii) lists: purpose, steps to shut down, to isolate (`device`)
    and to secure, who places and removes, who hands it on, and how it is tested. What is left empty is a gap.
    """

    point: str
    if_: str = Field(alias="if")
    device: str
    proved_by: str
    road: Literal["both", "permit"] = "both"
    purpose: str = ""
    shut_down: str = ""
    secured: str = ""
    by: str = ""
    transferred: str = ""

    @property
    def gaps(self) -> tuple[str, ...]:
        """Parts of the plan that this row leaves out, in words."""
        return tuple(words for key, words in ISOLATION_PARTS.items() if not getattr(self, key).strip())


ISOLATION_PARTS = {
    "purpose": "what it is for",
    "shut_down": "how the plant is shut down first",
    "device": "what isolates it",
    "secured": "how it is blocked and secured",
    "by": "who places and removes it",
    "transferred": "how it is handed on",
    "proved_by": "how it is tested",
}
"""What each row of an isolation plan says."""


class KitEntry(Reviewed):
    """One thing to bring."""

    item: str
    if_: str | None = Field(default=None, alias="if")


class HoldPointEntry(Entry):
    """A point at which nothing moves until the named role releases it."""

    id: str
    words: str
    released_by: str
    text: str
    if_: str | None = Field(default=None, alias="if")


HEAD_CONDITIONS = ("live_work", "rests_on_drawing", "over_shift")
"""Keys of the head that hold a condition on the plan."""


class LiveWorkShownEntry(Entry):
    """What the plan shows on an authorisation of work on live parts: ids of questions, calculated facts, controls."""

    shock: tuple[str, ...]
    flash: tuple[str, ...]
    boundaries: tuple[str, ...]
    equipment: tuple[str, ...]


class RuleSetEntry(Entry):
    """Head of a rule set. `subjects` are in the order in which their questions are asked.

    `live_work`, `rests_on_drawing` and `over_shift` are conditions: the plan leaves parts live, rests on a drawing of
    the plant, is longer than one shift.
    """

    name: str
    number: Whole
    language: Whole
    in_force: date
    review_by: date
    plant_in_service: str
    live_work: str | None = None
    live_work_shown: LiveWorkShownEntry | None = None
    rests_on_drawing: str | None = None
    over_shift: str | None = None
    subjects: tuple[str, ...] = ()
    hold_points: tuple[HoldPointEntry, ...]


class SupplementEntry(Entry):
    """Head of a supplement: what a site or owner adds to the base set."""

    name: str
    number: Whole
    language: Whole


class TightenEntry(Entry):
    """What a supplement tightens of a question of the set it stands on."""

    expect: Number | str | tuple[str, ...] | Span | None = None
    error: Number | None = None
    not_known_stops: str = ""


class AddedHoldPointEntry(HoldPointEntry):
    """A hold point that a supplement adds, behind the one of the set that it names."""

    after: str


class RaiseEntry(Entry):
    """What a supplement adds to a hazard of the set it stands on: raises, and where else it applies."""

    applies_if: str = ""
    likelihood: Scale | None = None
    severity: Scale | None = None


class ReviewEntry(Entry):
    """What the review looks for: words that say nothing, and how hard a text may be to read."""

    vague: tuple[str, ...]
    highest_grade: Number


class BandEntry(Entry):
    """A band of the matrix by product of likelihood and severity."""

    id: str
    up_to: Annotated[int, Field(strict=True, ge=1, le=25)]
    words: str
    verdict: Literal["none", "conditions", "stop"]
    demands: str
    accepted_by: str


class MatrixEntry(Entry):
    """The matrix and the words of its levels (index 0 is level 1)."""

    bands: tuple[BandEntry, ...]
    likelihood: tuple[str, str, str, str, str]
    severity: tuple[str, str, str, str, str]
    waivers: dict[str, str] = {}


class CreditRules(Entry):
    """How controls add up."""

    serious_from: str
    most: dict[ControlKind, Annotated[int, Field(strict=True, ge=0, le=4)]]
    weak_bands: Annotated[int, Field(strict=True, ge=0, le=3)]


class LocalLimit(Entry):
    """A local code's figure for a limit named in the base set."""

    is_: Number = Field(alias="is")
    source: str
    standing: Standing = Standing.PUBLISHED


class LocalEntry(Entry):
    """Head of a local code: which tables and words it brings. `none` brings no tables."""

    name: str
    title: str
    edition: str
    defers_to: str
    tables: dict[str, str] = {}
    roles: dict[str, str] = {}
    settings: dict[str, str | Number] = {}


class SourceEntry(Reviewed):
    """A document a figure rests on."""

    title: str
    edition: str = ""
    clause: str = ""
    standing: Standing
    note: str = ""


class TableEntry(Reviewed):
    """A published table: its document, edition and rows; cells are numbers or words."""

    document: str
    edition: str
    table: str
    clause: str = ""
    unit: str
    standing: Standing
    columns: tuple[str, ...]
    rows: tuple[tuple[Number | str, ...], ...]
    between_rows: Literal["interpolate", "next_row", "exact"]
    note: str = ""


class CaseEntry(Entry):
    """A worked case: answers and planned controls in; verdict, stops, worst hazards and reasons out."""

    title: str
    local: str
    at: str
    answers: dict[str, object]
    not_known: tuple[str, ...] = ()
    planned: tuple[str, ...] = ()
    proved: tuple[str, ...] = ()
    second: str = ""
    expect: dict[str, object]
    source: str = "ours"


class EdgeEntry(Entry):
    """One answer that walks across a limit: for each value the levels as found, and whether the stop fires.

    A row is `[value, likelihood, severity, fires]`; `[value]` alone says that the hazard is not in play.
    """

    name: str
    source: str
    hazard: str
    stop: str = ""
    given: dict[str, object]
    vary: str
    rows: tuple[tuple[object, ...], ...]
    at: str = "gate"
    local: str


class TurnEntry(Entry):
    """One answer that turns a stop: values with which it fires, with which it just does not, and when nobody knows.

    `given` is all that the stop reads besides; a several-answer is written as the list of lines that hold.
    """

    stop: str
    given: dict[str, object] = {}
    vary: str
    fires: tuple[object, ...]
    silent: tuple[object, ...]
    not_known: Literal["fires", "silent"] = "fires"
    at: str = "gate"
    local: str
