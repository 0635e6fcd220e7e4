"""Fixed words on the first and the last page. No rule set can add to them, change them or take them away."""

from __future__ import annotations

from riskhelper.statement.document import Border, Notice

NOT_PERMISSION = (
    "This paper is not permission to start. It is an aid to thinking: no permit, no isolation certificate, "
    "no licence and no inspection."
)
LAW_FIRST = (
    "Local law, the local code and the rules of the site win over everything printed here; so do the maker's "
    "manuals of the transformer and of the unit."
)
WHO_DECIDES = (
    "The licensed or authorised persons named by law and by the site decide. Only they isolate, prove, earth, "
    "release and sign off; wet-ink papers of the site stay the master."
)
ANYONE_STOPS = "Anyone may stop the job at any time and owes nobody a reason. Believe what you see, not this paper."
DEPARTED = (
    "If the work departs from this statement, or the plant, the weather or the crew changes, stop. Start "
    "again only "
    "in line with the statement or under a new revision that has been approved."
)
NOT_KNOWN = (
    "What is not known has been counted at its worst. A figure marked ASSUMED or TO BE CONFIRMED must be checked "
    "before anybody relies on it."
)
DRAWN_BY = (
    "Every answer came from people; the program has seen nothing. NO STOP FOUND means no more than these words."
)
TANK_RULE = (
    "The outlet side of the valve is shown empty and without pressure before the plug comes off; the tank "
    "side is shown "
    "positive before the valve is cracked; the valve is never opened without a second shut valve fitted."
)
ISSUE_APART = (
    "Approving this plan and issuing a permit are two acts by people who do not sign both sides. "
    "Issue is not start: taking over, briefing and signing on stand between."
)

FIRST_PAGE = (NOT_PERMISSION, LAW_FIRST, WHO_DECIDES, ANYONE_STOPS)
LAST_PAGE = (
    NOT_PERMISSION,
    LAW_FIRST,
    WHO_DECIDES,
    ANYONE_STOPS,
    DEPARTED,
    ISSUE_APART,
    TANK_RULE,
    NOT_KNOWN,
    DRAWN_BY,
)
FOOT = "Not permission to start. Local law and site rules win. Anyone may stop the job."
REHEARSAL = "REHEARSAL: NOT FOR WORK"
NOT_ADOPTED = "RULE SET PROPOSED, NOT ADOPTED HERE"


def first_page_notice() -> Notice:
    """Cautions and deference for the first page."""
    return Notice("Read this first", FIRST_PAGE, Border.SINGLE)


def one_page_notice() -> Notice:
    """The same cautions for a paper of one page."""
    return Notice(
        "Not permission to start",
        (
            "No permit, no isolation certificate, no licence: local law, the rules of the site and the maker's "
            "manuals win, the licensed or authorised persons decide, and anyone may stop the job.",
        ),
        Border.SINGLE,
    )


def last_page_notice() -> Notice:
    """Cautions and deference for the last page."""
    return Notice("Before you rely on this paper", LAST_PAGE, Border.SINGLE)
