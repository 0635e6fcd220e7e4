"""Guards about other permits: overlap, tests on the same apparatus, reports, one person who coordinates."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from riskhelper.permit.clashes import clashes, is_same, near, not_agreed, on_apparatus, safeguard_lines
from riskhelper.permit.course import APPROVE, EXTEND
from riskhelper.permit.document import HELD, Permit, State
from riskhelper.permit.guards import Around, Asked, guard
from riskhelper.permit.people_guards import not_of_the_crew
from riskhelper.permit.persons import ISSUER
from riskhelper.permit.side_by_side import strictest


@guard("the other permit is cancelled, or the work is put at another time")
def incompatible_work(permit: Permit, asked: Asked, around: Around) -> str:
    """No other permit overlaps in plant or place, time and energy."""
    wanted = in_window_asked(permit, asked)
    found = clashes(wanted, around.others, around.pairs, asked.now)
    if not found:
        return ""
    because = strictest(pair for _, pair in near(wanted, around.others, around.pairs, asked.now) if pair.ban).because
    return f"overlaps with permit {', '.join(found)} in plant or place, time and energy: {because}"


@guard("read each safeguard and write its mark: acknowledged=...")
def safeguards_read(permit: Permit, asked: Asked, around: Around) -> str:
    """Every safeguard against the work next to it was read by whoever signs."""
    read = asked.told("acknowledged").split()
    lines = safeguard_lines(in_window_asked(permit, asked), around.others, around.pairs, asked.now)
    missing = [f"{mark} {line.rstrip('.')}" for mark, line in lines.items() if mark not in read]
    return f"safeguards not acknowledged: {'; '.join(missing)}" if missing else ""


@guard("on each permit its holder, or the issuer where nobody holds it: agree safeguards")
def safeguards_on_both(permit: Permit, asked: Asked, around: Around) -> str:
    """What two permits ask of one another stands on both."""
    lacks = not_agreed(in_window_asked(permit, asked), around.others, around.pairs, asked.now)
    told = (f"not on permit {one}, against permit {other}: {words.rstrip('.')}" for one, other, words in lacks)
    return "; ".join(told)


@guard("a safeguard that does not stand on this permit yet")
def safeguards_open(permit: Permit, asked: Asked, around: Around) -> str:
    """There is a safeguard to take onto this permit."""
    lacks = not_agreed(permit, around.others, around.pairs, asked.now)
    return "" if any(one == permit.number for one, _, _ in lacks) else "no safeguard is open on it"


@guard("whoever holds the permit, or the issuer where nobody holds it")
def agrees_for_the_permit(permit: Permit, asked: Asked, around: Around) -> str:
    """Who works under a permit agrees; before anybody holds it, the plant's side does."""
    if permit.acceptor:
        return "" if asked.person.name == permit.acceptor else f"the permit is held by {permit.acceptor}"
    return not_of_the_crew(permit, asked, around) if asked.role == ISSUER else "nobody holds the permit yet"


def in_window_asked(permit: Permit, asked: Asked) -> Permit:
    """The permit in the window that is asked for, where the act asks for one. A wrong one is refused elsewhere."""
    try:
        window = {key: datetime.fromisoformat(asked.told(key)) for key in ("starts", "ends") if asked.told(key)}
    except ValueError:
        return permit
    if asked.act not in (APPROVE, EXTEND) or any(moment.tzinfo is None for moment in window.values()):
        return permit
    return replace(permit, starts=window.get("starts", permit.starts), ends=window.get("ends", permit.ends))


@guard("the other permit on this apparatus is suspended or handed back first")
def nobody_else_on_apparatus(permit: Permit, asked: Asked, around: Around) -> str:
    """No other permit is in force or under test on the apparatus."""
    busy = frozenset({State.IN_FORCE, State.UNDER_TEST, State.ACCEPTED})
    found = on_apparatus(permit, around.others, busy, asked.now)
    return f"permit {', '.join(found)} is on the same apparatus" if found else ""


@guard("wait until that test has ended")
def no_test_on_apparatus(permit: Permit, asked: Asked, around: Around) -> str:
    """No sanction to test is out on the apparatus under another permit."""
    found = on_apparatus(permit, around.others, frozenset({State.UNDER_TEST}), asked.now)
    return f"a sanction to test of permit {', '.join(found)} is out on this apparatus" if found else ""


@guard("name the other permit by its number")
def other_permit(permit: Permit, asked: Asked, around: Around) -> str:
    """The report names another permit that is not closed."""
    known = [other.number for other in around.others if not other.closed]
    named = asked.told("other_permit")
    if named in known and named != permit.number:
        return ""
    return f"`{named}` is no other open permit; there are {', '.join(known) or 'none'}"


@guard("a report that is not settled")
def report_open(permit: Permit, _asked: Asked, _around: Around) -> str:
    """There is something to settle."""
    return "" if any(not report.settled for report in permit.reports) else "no report is open on this permit"


@guard("the issuer settles it with both crews: settle report")
def no_report_open(permit: Permit, _asked: Asked, around: Around) -> str:
    """No report of incompatible work is open on this permit or names it."""
    own = [f"{report.other}: {report.reason}" for report in permit.reports if not report.settled]
    named = [
        f"{other.number}: {report.reason}"
        for other in around.others
        for report in other.reports
        if report.other == permit.number and not report.settled
    ]
    found = (*own, *named)
    return f"reported as not going together with {'; '.join(found)}" if found else ""


@guard("name one person who coordinates the crews: coordinator=...")
def coordinator_named(permit: Permit, asked: Asked, around: Around) -> str:
    """Where another crew is on the same plant or point, one person coordinates all."""
    near = [
        other.number
        for other in around.others
        if other.at(asked.now) in HELD
        and (is_same(other.plant, permit.plant) or set(other.points) & set(permit.points))
    ]
    if not near or asked.told("coordinator"):
        return ""
    return f"permit {', '.join(near)} has a crew on the same plant or point, and nobody coordinates"
