"""The acts of the course as rows say them, on each of the two roads."""

from __future__ import annotations

from collections.abc import Mapping

from riskhelper.permit import course, point_course
from riskhelper.permit.document import Road

ACTS: Mapping[str, str] = {
    course.REQUEST: "Request the permit",
    course.RETURN: "Give the request back with a note",
    course.REFUSE: "Refuse the request",
    course.EVALUATE: "Evaluate: seen on site",
    course.APPROVE: "Approve the plan",
    course.RULE: "Rule on a stop",
    course.ISOLATE: "Begin to isolate",
    course.WITNESSED: "Witness the proving",
    course.PROVE: "Declare the points secured and proved",
    course.ISSUE: "Issue the permit",
    course.ACCEPT: "Accept the permit",
    course.BRIEF: "Brief the crew",
    course.SIGN_ON: "Sign on",
    course.SIGN_OFF: "Sign off",
    course.SIGN_OFF_ABSENT: "Sign off a person who left",
    course.START: "Start the work",
    course.PASS: "Release a hold point",
    course.STOP: "Stop the work",
    course.SUSPEND: "Suspend the work",
    course.TEST: "Withdraw the permit for a test",
    course.END_TEST: "End the test",
    course.ALLOW_RESUMING: "Allow to resume after the re-check",
    course.RESUME: "Resume the work",
    course.EXTEND: "Extend the end",
    course.OFFER: "Hand over to another acceptor",
    course.OFFER_ABSENT: "Open a handover for an acceptor who is gone",
    course.TAKE_OVER: "Take over",
    course.CONFIRM: "Confirm the handover",
    course.CHANGE: "Change the content: a new revision begins",
    course.REVOKE: "Revoke the permit",
    course.GIVE_UP: "Give the permit up",
    course.RETURN_UNUSED: "Return the plant unused",
    course.HAND_BACK: "Hand the plant back",
    course.CANCEL: "Take the plant back and cancel",
    course.COPY: "Draw a numbered copy",
    course.NAME_POINTS: "Name the points of isolation",
    course.VISIT: "Write down a visit to the work",
    course.CLOSE_FINDING: "Close a finding: what it asked for is done",
    course.REPORT: "Report work that does not go together",
    course.AGREE: "Agree to safeguards against the work next to it",
    course.SETTLE: "Settle a report of work that does not go together",
}
BESIDE_PLANT_IN_SERVICE: Mapping[str, str] = {
    course.ISOLATE: "Begin to set the boundary",
    course.NAME_POINTS: "Name the points that are shut off for it",
    course.WITNESSED: "Witness the boundary",
    course.PROVE: "Declare the boundary set",
}
ON_POINTS: Mapping[str, str] = {
    point_course.SECURE: "Secure it: device in position, lock and tag on",
    point_course.PROVE: "Prove it",
    point_course.FOUND_LIVE: "Found LIVE: write the reading down",
    point_course.EXPLAIN_LIVE: "Explain the live reading: where it came from",
    point_course.EARTH: "Put an earth on",
    point_course.INSPECT: "Inspect the isolation procedure of the plant",
    point_course.OPEN_EARTHED: "Open a device that carries an earth",
    point_course.UNEARTH: "Take an earth off",
    point_course.LOCK: "Put my own lock on",
    point_course.UNLOCK: "Take my own lock off",
    point_course.ALLOW_UNLOCK: "Allow the lock of a person who is gone to come off",
    point_course.UNLOCK_ABSENT: "Take off the lock of a person who is gone",
    point_course.RELEASE: "Put the device back: power may return",
    point_course.RECHECK: "Check again, where stored energy can build up",
    point_course.PLAN: "Plan the point",
}
ON_POINTS_DONE: Mapping[str, str] = {
    point_course.SECURE: "device in position, lock and tag on",
    point_course.PROVE: "proved by its readings, or by what was seen",
    point_course.FOUND_LIVE: "the live reading is written down",
    point_course.EXPLAIN_LIVE: "the live reading is explained",
    point_course.EARTH: "an earth put on",
    point_course.INSPECT: "the isolation procedure inspected",
    point_course.OPEN_EARTHED: "a device opened that carried an earth",
    point_course.UNEARTH: "an earth taken off",
    point_course.LOCK: "an own lock put on",
    point_course.UNLOCK: "an own lock taken off",
    point_course.ALLOW_UNLOCK: "the lock of a person who is gone may come off",
    point_course.UNLOCK_ABSENT: "the lock of a person who is gone taken off; tell them before they work here again",
    point_course.RELEASE: "the device put back; power may be on",
    point_course.RECHECK: "checked again",
    point_course.PLAN: "the point planned",
}
"""What was done with an act on a point."""


def act_words(act: str, road: Road) -> str:
    """An act of the course in words; one that has none here is named as in the course."""
    beside = BESIDE_PLANT_IN_SERVICE if road is Road.ACCESS else {}
    return beside.get(act) or ACTS.get(act) or act.capitalize()
