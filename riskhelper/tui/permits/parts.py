"""Parts of one permit on pages of their own: the crew, and the handover from one acceptor to the next."""

from __future__ import annotations

from riskhelper.acts.permit import handing_over
from riskhelper.acts.permit.permit_words import PermitShown
from riskhelper.acts.permit.roster_words import roster_shown
from riskhelper.tui.permits.one_permit import CREW, HANDOVER, PermitPage
from riskhelper.tui.permits.page import Part


class RosterPage(PermitPage):
    """The crew: briefing, signing on and off, each by the person themselves."""

    PART = CREW

    def parts(self, shown: PermitShown) -> list[Part]:
        """Who is on, who went, and the latest briefing."""
        del shown
        roster = roster_shown(self.interface.context, self.number)
        parts: list[Part] = [(roster.briefing, "bold"), ("", ""), ("Signed on", "bold")]
        parts += [(line, "") for line in roster.on] or [("Nobody.", "")]
        if roster.off:
            parts += [("", ""), ("Signed off", "bold"), *((line, "") for line in roster.off)]
        return parts


class HandoverPage(PermitPage):
    """The handover: every line of the list face to face, taken over with a lock of one's own, confirmed."""

    PART = HANDOVER

    def parts(self, shown: PermitShown) -> list[Part]:
        """How far the handover is, and the list as it stands."""
        del shown
        lines = handing_over.lines(self.interface.context, self.number).values()
        parts: list[Part] = [
            ("Offered by the outgoing, read back by the incoming, confirmed by the issuer. Own lock on first.", ""),
            ("", ""),
            ("What stands now, line by line", "bold"),
        ]
        return [*parts, *((line, "") for line in lines)]
