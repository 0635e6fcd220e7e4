"""How the acts on a rule set are called on the screen, and what is asked for with each."""

from __future__ import annotations

from collections.abc import Mapping

from riskhelper.permit.adoption import (
    ADOPT,
    CALL_REVIEW,
    CHECK,
    COMMENT,
    PROPOSE,
    REVIEWED,
    SETTLE,
    WITHDRAW,
)
from riskhelper.permit.wanted import Wanted

ACT_WORDS: Mapping[str, str] = {
    PROPOSE: "Propose this set: the worked cases are run, a second officer checks it.",
    COMMENT: "Say what is wrong with one entry. Nobody adopts the set before it is settled.",
    SETTLE: "Settle my own comment.",
    CHECK: "I have checked it: every entry, every worked case, every finding.",
    ADOPT: "Adopt it, as one of two officers.",
    WITHDRAW: "WITHDRAW it: nothing is approved or issued under it from here on.",
    CALL_REVIEW: "Ask for a review: an incident, a change, a rule that did not fit.",
    REVIEWED: "It was reviewed and stays.",
}
_ENTRY = Wanted("entry", "the entry, such as `hazard oil.hot_oil`")
_REASON = Wanted("reason", "write it; it stays in the record")
FIELDS: Mapping[str, tuple[Wanted, ...]] = {
    PROPOSE: (),
    COMMENT: (_ENTRY, Wanted("words", "what is wrong, and what you ask for")),
    SETTLE: (_ENTRY,),
    CHECK: (Wanted("findings", "why findings that are open may stand", needed=False),),
    ADOPT: (
        Wanted("from", "the day from which it is in force, such as 2031-12-31"),
        Wanted("against", "the folder of the set in force, to compare and replay with", needed=False),
        Wanted("looser", "why what comes out milder may", needed=False),
    ),
    WITHDRAW: (_REASON,),
    CALL_REVIEW: (_REASON,),
    REVIEWED: (Wanted("next", "the day of the next review, such as 2031-12-31"),),
}
