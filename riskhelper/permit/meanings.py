"""What each act on a permit and on a point means, in the words written with it and signed."""

from __future__ import annotations

from collections.abc import Mapping

PERMIT_MEANINGS: Mapping[str, str] = {
    "draft": "draws up the permit for a job",
    "request": "asks for the permit and states the measures",
    "return": "gives the request back for the reason written",
    "refuse": "refuses the request for the reason written; points that were touched are still to be returned",
    "evaluate": "has checked the request on site; finds no stop left",
    "approve": "approves the plan, each of its conditions read; nobody may start on it",
    "rule": "rules on the stop named, for the reason and on the evidence written; it stays a condition on every page",
    "isolate": "begins to secure the points of the plan",
    "witness": "has seen the points proved with their own eyes",
    "prove": "declares the points secured and proved, or the boundary set",
    "issue": "issues the permit: the precautions are in place",
    "accept": "takes the permit: understands its risks, limits and precautions",
    "brief": "has briefed the crew on the subjects named",
    "sign on": "joins the crew; has followed the briefing and put on a lock of their own",
    "sign off": "is out, with tools and own lock",
    "sign off absent": "signs off a person who left, after the three duties",
    "start": "starts the work",
    "pass hold point": "releases the hold point named; its checks were seen",
    "stop": "stops the work at once",
    "suspend": "parks the work; the state of the plant is written, the points stay",
    "test": "withdraws the permit on the apparatus for a test with its own document",
    "end test": "ends the test; isolation and proof begin anew",
    "allow resuming": "allows the acceptor to resume after the re-check",
    "resume": "resumes the work",
    "offer handover": "hands over face to face, every line of the list",
    "offer for absent": "opens a handover for an acceptor who is gone, after the three duties",
    "take over": "takes over and has read every line back",
    "confirm handover": "confirms the handover; from here on the incoming acceptor holds the permit",
    "extend": "moves the end before it is reached, same scope",
    "change": "changes guarded content: crew out, points stay, a new revision begins",
    "revoke": "takes the permit away for the reason written",
    "give up": "gives the permit up; no point was touched",
    "return unused": "returns the plant of a permit that nobody holds",
    "report clash": "reports work that does not go together; both permits wait for the issuer",
    "agree safeguards": "takes safeguards against the work of another permit onto this one; has read each",
    "settle report": "has settled the report with both crews, as written",
    "draw copy": "draws a numbered copy; it is called in before the permit is cancelled",
    "hand back": "hands back: people, tools and own earths are out",
    "cancel": "accepts the hand-back after inspection and cancels; final",
}

POINT_MEANINGS: Mapping[str, str] = {
    "plan": "names a point of isolation and its position",
    "secure": "has put the device in position, with lock and tag",
    "prove": "has proved the point: source, points, source",
    "check again": "has looked for stored energy again and found none",
    "earth": "has put on an earth, after proving",
    "open earthed device": "has opened a device that carried an earth; another one reaches the work",
    "take earth off": "has taken an earth off and counted it",
    "lock": "has put a lock of their own on",
    "unlock": "has taken their own lock off",
    "allow unlocking": "allows another's lock to come off, after the three duties",
    "unlock for absent": "has taken off the lock of a person who is gone",
    "release": "has put the device back: power may return",
}

RULES_MEANINGS: Mapping[str, str] = {
    "propose": "proposes the rule set of that number and digest for this site; it binds nobody yet",
    "comment": "says what is wrong with one entry of a rule set; nobody adopts it before that is settled",
    "settle": "settles their own comment on an entry",
    "check": "has checked a rule set somebody else proposed, every entry and every worked case",
    "adopt": "adopts the rule set of that number and digest from the day named, as one of two officers",
    "withdraw": "withdraws a rule set: nothing is approved or issued under it from here on",
    "call review": "asks for a review of a rule set, for the reason written",
    "reviewed": "has reviewed a rule set; it stays as it is until the day named",
}
