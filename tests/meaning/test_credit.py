"""How controls add up: every set of credits on every likelihood and severity as found (SCO-04, SCO-06, CTL-02)."""

from __future__ import annotations

import itertools
from collections.abc import Iterator

import pytest

from riskhelper.assessment.credit import Counted, rated
from riskhelper.assessment.result import Rating
from riskhelper.terms import ControlKind
from tests.meaning import generate, oracle
from tests.meaning.outcome import BANDS, figures, loaded

TEXT = generate.RuleText(
    {"hazard": {"job.hazard0": generate.hazard()}, "stop": generate.built_in_stops()}, generate.frame()
)
RULES, PLAIN = loaded(TEXT), oracle.gathered(TEXT.files)
CELLS = list(itertools.product(range(1, 6), repeat=2))
ENGINEERING = [(ControlKind.ENGINEERING, low, sev) for low in range(4) for sev in range(4)]
STRONG = [None, *ENGINEERING, (ControlKind.ELIMINATION, 4, 0), (ControlKind.SUBSTITUTION, 2, 2)]
WEAK_LIKELIHOOD = [(ControlKind.ADMINISTRATIVE, low, 0) for low in range(4)]
WEAK_SEVERITY = [(ControlKind.PPE, 0, sev) for sev in range(3)]
SETS = [
    tuple(one for one in chosen if one is not None)
    for chosen in itertools.product(STRONG, STRONG[:8], WEAK_LIKELIHOOD, WEAK_SEVERITY)
]


def left(credits: tuple[tuple[ControlKind, int, int], ...], found: tuple[int, int], accepted: bool = False) -> Rating:
    """The rating that is left."""
    return rated(RULES, *found, [Counted(*one) for one in credits], administrative_accepted=accepted)


def rank(rating: Rating) -> int:
    """Place of the band, mildest first."""
    return BANDS.index(rating.band)


def states() -> Iterator[tuple[tuple[tuple[ControlKind, int, int], ...], tuple[int, int]]]:
    """All sets of credits on all cells."""
    return itertools.product(SETS, CELLS)


def test_every_state_agrees_with_the_reference() -> None:
    for accepted in (False, True):
        for credits, found in states():
            plain = [(kind.value, low, sev) for kind, low, sev in credits]
            assert figures(left(credits, found, accepted)) == oracle.credited(PLAIN, found, plain, accepted=accepted)


def test_weak_controls_alone_never_leave_a_serious_band() -> None:
    for credits, found in states():
        strong = [one for one in credits if one[0] not in (ControlKind.ADMINISTRATIVE, ControlKind.PPE)]
        before = rank(left((), found))
        if not any(low or sev for _, low, sev in strong) and before >= BANDS.index("high"):
            assert rank(left(credits, found)) == before


def test_a_worse_start_never_ends_better() -> None:
    for credits in SETS:
        for likelihood, severity in CELLS:
            here = rank(left(credits, (likelihood, severity)))
            if likelihood < 5:
                assert rank(left(credits, (likelihood + 1, severity))) >= here
            if severity < 5:
                assert rank(left(credits, (likelihood, severity + 1))) >= here


def test_a_further_credit_never_raises() -> None:
    for credits, found in states():
        for dropped in range(len(credits)):
            fewer = credits[:dropped] + credits[dropped + 1 :]
            assert rank(left(credits, found)) <= rank(left(fewer, found))


@pytest.mark.parametrize(
    ("credits", "found", "expected"),
    [
        ((), (4, 5), (4, 5, "very_high")),
        (((ControlKind.ELIMINATION, 4, 0),), (5, 5), (1, 5, "medium")),
        (((ControlKind.ENGINEERING, 2, 0), (ControlKind.ENGINEERING, 2, 0)), (5, 5), (2, 5, "high")),
        (((ControlKind.ADMINISTRATIVE, 3, 0),), (4, 2), (2, 2, "low")),
        (((ControlKind.ADMINISTRATIVE, 2, 0),), (5, 2), (3, 2, "high")),
        (((ControlKind.PPE, 0, 2),), (2, 4), (2, 3, "medium")),
        (((ControlKind.ENGINEERING, 1, 0), (ControlKind.ADMINISTRATIVE, 2, 0)), (4, 5), (1, 5, "high")),
        (((ControlKind.ENGINEERING, 3, 0), (ControlKind.ADMINISTRATIVE, 2, 0)), (4, 4), (1, 4, "low")),
    ],
    ids=[
        "no control",
        "to one by elimination",
        "one kind is capped at three",
        "weak controls move what is not serious",
        "weak controls alone leave a serious band",
        "PPE is capped at one",
        "weak ones move one band below what strong ones reach",
        "strong controls carry it alone",
    ],
)
def test_worked_by_hand(
    credits: tuple[tuple[ControlKind, int, int], ...], found: tuple[int, int], expected: tuple[int, int, str]
) -> None:
    assert figures(left(credits, found)) == expected


def test_a_held_band_says_so() -> None:
    held = left(((ControlKind.ADMINISTRATIVE, 2, 0),), (5, 2)).held

    assert held == "3 x 2, held in high: administrative measures and PPE alone do not clear it"
    assert left(((ControlKind.ADMINISTRATIVE, 2, 0),), (5, 2), accepted=True).held == ""
