"""Guards about people: who may sign which side, the crew, briefing, handover."""

from __future__ import annotations

from riskhelper.permit.document import Permit
from riskhelper.permit.guards import Around, Asked, guard
from riskhelper.permit.handover import ABSENCE_DUTIES
from riskhelper.permit.roster import BRIEFING_SUBJECTS
from riskhelper.terms import NOT_NAMED

NO_NAME = frozenset({"", NOT_NAMED})


@guard("sign off everybody who is still on")
def crew_out(permit: Permit, _asked: Asked, _around: Around) -> str:
    """Nobody is signed on."""
    return f"still signed on: {', '.join(permit.roster.signed_on)}" if permit.roster.signed_on else ""


@guard("write who gave them; without a name nobody can tell whether the approver did")
def answers_named(_permit: Permit, asked: Asked, around: Around) -> str:
    """Every answer of the plan has somebody who gave it."""
    nameless = some_nameless(around.authors) and not asked.told("unnamed_by")
    return "some answers of the plan have no name" if nameless else ""


def some_nameless(authors: frozenset[str]) -> bool:
    """Whether somebody among those who answered gave no name."""
    return not authors.isdisjoint(NO_NAME)


@guard("anybody but the requester")
def not_the_requester(permit: Permit, asked: Asked, _around: Around) -> str:
    """Another person evaluates."""
    return "the requester evaluates nothing of their own" if asked.person.name == permit.signed.get("request") else ""


@guard("an issuer who prepared, requested and evaluated nothing of it")
def prepared_by_another(permit: Permit, asked: Asked, _around: Around) -> str:
    """The approver had no part in the plan."""
    part = {permit.signed.get("request"), permit.signed.get("evaluate"), *permit.prepared_by}
    return f"{asked.person.name} had a part in preparing it" if asked.person.name in part else ""


@guard("somebody who is not of the crew")
def not_of_the_crew(permit: Permit, asked: Asked, _around: Around) -> str:
    """Who decides for the plant neither works under the permit nor asked for it."""
    handover = permit.handover
    crew = {
        *permit.roster.signed_on,
        permit.acceptor,
        permit.signed.get("request"),
        handover.incoming if handover else "",
    }
    return f"{asked.person.name} is of the crew or asked for it" if asked.person.name in crew else ""


@guard("anybody but the issuer of this permit")
def not_the_issuer(permit: Permit, asked: Asked, _around: Around) -> str:
    """Who approved, issued, extended or allowed neither accepts nor works under it."""
    mine = {permit.signed.get(part) for part in ("approve", "issue", "allow resuming", "extend", "test")}
    return "issuer and acceptor are one person" if asked.person.name in mine else ""


@guard("the acceptor of this permit, or a handover to you")
def is_the_acceptor(permit: Permit, asked: Asked, _around: Around) -> str:
    """Whoever holds the permit acts."""
    return "" if asked.person.name == permit.acceptor else f"the permit is held by {permit.acceptor or 'nobody'}"


@guard("anybody but the acceptor")
def not_the_acceptor(permit: Permit, asked: Asked, _around: Around) -> str:
    """Another person than the acceptor."""
    return "the acceptor cannot sign the other side" if asked.person.name == permit.acceptor else ""


@guard("the acceptor hands back")
def nobody_accepted(permit: Permit, _asked: Asked, _around: Around) -> str:
    """Nobody holds the permit."""
    return f"{permit.acceptor} holds the permit and hands it back" if permit.acceptor else ""


@guard("an acceptor who accepted")
def somebody_accepted(permit: Permit, _asked: Asked, _around: Around) -> str:
    """Somebody holds the permit."""
    return "" if permit.acceptor else "nobody holds the permit"


@guard("brief on all five subjects")
def briefed_five_subjects(permit: Permit, _asked: Asked, _around: Around) -> str:
    """The latest briefing covered its five subjects."""
    missing = permit.roster.subjects_missing
    return f"not briefed on {', '.join(BRIEFING_SUBJECTS[each] for each in missing)}" if missing else ""


@guard("brief again")
def briefed_after_change(permit: Permit, _asked: Asked, _around: Around) -> str:
    """The briefing is newer than the last change."""
    at = permit.roster.briefed_at
    old = at is None or (permit.changed_at is not None and at < permit.changed_at)
    return "something changed since the briefing" if old else ""


@guard("brief again: the work was suspended")
def briefed_since_suspended(permit: Permit, _asked: Asked, _around: Around) -> str:
    """The briefing is newer than the suspension."""
    at, since = permit.roster.briefed_at, permit.proof_needed_since
    if at is not None and since is not None and at < since:
        return "the crew was not briefed since the work was suspended"
    return ""


@guard("name known subjects: " + ", ".join(BRIEFING_SUBJECTS))
def subjects_named(_permit: Permit, asked: Asked, _around: Around) -> str:
    """Known subjects are named."""
    subjects = asked.told("subjects").split()
    unknown = [each for each in subjects if each not in BRIEFING_SUBJECTS]
    return f"unknown subjects: {', '.join(unknown)}" if unknown else "" if subjects else "no subject is named"


@guard("follow a briefing first")
def briefed_before(permit: Permit, asked: Asked, around: Around) -> str:
    """Whoever signs on was briefed."""
    return briefed_five_subjects(permit, asked, around) or briefed_after_change(permit, asked, around)


@guard("sign off first")
def not_signed_on(permit: Permit, asked: Asked, _around: Around) -> str:
    """Nobody signs on twice."""
    return f"{asked.person.name} is signed on already" if asked.person.name in permit.roster.signed_on else ""


@guard("whoever is signed on signs off")
def signed_on(permit: Permit, asked: Asked, _around: Around) -> str:
    """Only who is on signs off."""
    return "" if asked.person.name in permit.roster.signed_on else f"{asked.person.name} is not signed on"


@guard("somebody signs on")
def somebody_signed_on(permit: Permit, _asked: Asked, _around: Around) -> str:
    """There is a crew."""
    return "" if permit.roster.signed_on else "nobody is signed on"


@guard("name a person who is signed on")
def names_a_member(permit: Permit, asked: Asked, _around: Around) -> str:
    """The person is signed on."""
    return "" if asked.told("member") in permit.roster.signed_on else f"`{asked.told('member')}` is not signed on"


@guard("sign yourself off")
def not_oneself(_permit: Permit, asked: Asked, _around: Around) -> str:
    """Not for oneself."""
    return "whoever is here signs off themselves" if asked.told("member") == asked.person.name else ""


@guard("do each of the three duties and write how")
def absence_duties(_permit: Permit, asked: Asked, _around: Around) -> str:
    """The three duties towards a person who is gone are done."""
    missing = [words for duty, words in ABSENCE_DUTIES.items() if not asked.told(duty)]
    return f"not shown: {'; '.join(missing)}" if missing else ""


@guard("everybody off the apparatus")
def people_clear(permit: Permit, asked: Asked, around: Around) -> str:
    """Nobody works on the apparatus under test."""
    return crew_out(permit, asked, around)


@guard("the issuer allows it after the re-check")
def resuming_allowed(permit: Permit, asked: Asked, _around: Around) -> str:
    """Another person allowed to resume."""
    allowed = permit.resuming_allowed_by
    return "" if allowed and allowed != asked.person.name else "the issuer has not allowed to resume"


@guard("the outgoing acceptor, or the issuer for one who is gone, opens the handover")
def handover_open(permit: Permit, _asked: Asked, _around: Around) -> str:
    """A handover is open and not taken."""
    open_ = permit.handover is not None and not permit.handover.incoming
    return "" if open_ else "no handover is open"


@guard("go through the list line by line and write the marks of all lines: acknowledged=...")
def lines_read(_permit: Permit, asked: Asked, around: Around) -> str:
    """Every line of the list as it stands now was read by whoever takes over."""
    read = asked.told("acknowledged").split()
    missing = [f"{mark} {words}" for mark, words in around.handover.items() if mark not in read]
    return f"lines not acknowledged: {'; '.join(missing)}" if missing else ""


@guard("be told of it and put a lock of your own on that point, saying by whom you were told")
def told_of_removal(permit: Permit, asked: Asked, around: Around) -> str:
    """Whose lock was taken off in their absence is told before they work here again."""
    name = asked.person.name
    found = [p for p in permit.points if p in around.points and name in around.points[p].to_tell]
    return f"the lock of {name} was taken off {', '.join(found)} in their absence" if found else ""


@guard("the incoming acceptor takes over first")
def taken_over(permit: Permit, _asked: Asked, _around: Around) -> str:
    """The incoming acceptor has taken over."""
    return "" if permit.handover is not None and permit.handover.incoming else "nobody has taken over yet"


@guard("the issuer or area owner who did not hand back")
def handed_back_by_another(permit: Permit, asked: Asked, _around: Around) -> str:
    """Another person accepts the hand-back."""
    mine = {permit.signed.get(part) for part in ("hand back", "return unused")}
    return f"{asked.person.name} handed it back and cannot accept it" if asked.person.name in mine else ""
