"""The keys in words: those of the worker, and those of whoever decides on plans."""

from __future__ import annotations

from riskhelper.acts.job.findings import CAUTION
from riskhelper.tui.pages import Sheet

HELP = (
    "ANSWERING",
    "A digit or letter chooses its row. Arrows move, Enter chooses. A click or a touch chooses too.",
    "F2    I do not know. It is saved, counts at its worst, and you are told what to do and whom to ask.",
    "?     the same, except where words are written",
    "Enter saves a number or a text",
    "u     the next unit of a number",
    "Esc   empties the field, or goes back from a page without saving.",
    "",
    "GOING ABOUT",
    "F1    these keys",
    "F3    a note on the question",
    "F4    the question answered before; on any other page back, as Esc",
    "F5    list of the answers by place: choose one to answer it again",
    "F6    what was found: stops, hazards, numbers, what would change them",
    "F10   more: controls, method statement, papers, taking back, looks, leaving",
    "F12   permits, isolation register, people: everything that is signed",
    "Ctrl+Z  takes back the latest entry, after asking",
    "Ctrl+Q  leaves; every answer is saved already",
    "",
)
AT_GATE = (
    "AT THE GATE",
    "You read and decide here; nothing you do changes an answer of the plan.",
    "A digit or letter chooses its row and opens what stands behind it. Arrows move, Enter chooses.",
    "F2    on the first page the plans that wait; on a plan DECIDE: evaluate, approve, give back, refuse.",
    "Esc   back by one level, as F4: nothing is lost that was typed or acknowledged",
    "F5    the answers by place: choose one to see how it is known, or to give the plan back with a note to it",
    "F6    what was found: stops, hazards, numbers, what would change them",
    "F10   more: method statement, controls, papers, looks, leaving",
    "F12   permits, isolation register, people: everything that is signed",
    "",
    "WHAT THE WORDS MEAN",
    "STOP: it stands by what is known. STOP NOT RULED OUT: it counts as one until the answer named is there.",
    "Limit: it goes only when the fact changes. Decision: the person named may rule on it, in writing.",
    "READ AGAIN: answers that were given and are too old. The worker's side reads them again on site.",
    "Not known, counted at its worst: nobody has said it. It is no finding.",
    "",
)
FIRST_PAGE = (
    "AT THE GATE",
    "F2    on the first page: the plans that wait. On a plan: decide on it; each row opens its reasons.",
    "",
)
SIGNED = (
    "PERMITS, POINTS, SIGNING",
    "A row is an act that somebody here may do now, with who may.",
    "?     why nothing else is possible now, and who or what would mend it",
    "PgDn  reads on. What is signed is read to its end; then 2, then the passphrase of whoever signs.",
    "Esc   one step back; what was typed is kept. A reading that shows voltage stays until it is signed.",
    "F12   back to the permits by place",
    "Ctrl+L  hides everything until somebody here types a passphrase",
    "",
)
ALWAYS = (
    "AT ANY MOMENT, ON EVERY PAGE",
    "F7    emergency card",
    "F8    oil leak card",
    "F9    STOP THE WORK. It is saved at once; who and why may follow.",
    "",
    "THE RULER",
    "One lane for each of three ratings, 1 at the left to 25 at the right; upright strokes end the bands.",
    "#     as found           o     as planned           x     as proved",
    "",
)


class HelpPage(Sheet):
    """The keys. F1 leads here, so it does not stand in the foot."""

    KEYS = (("Esc", "back", "back"),)


def help_lines(*, at_gate: bool = False, signed: bool = False) -> list[str]:
    """The keys and the usual caution; on pages of permits, those of signing come first and suffice."""
    own = SIGNED if signed else AT_GATE if at_gate else (*HELP, *FIRST_PAGE)
    return [*own, *ALWAYS, CAUTION]
