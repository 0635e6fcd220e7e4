"""The end of a stop that was called, where the job has a permit: only its issuer ends it, and signs."""

from __future__ import annotations

from riskhelper.acts.job.stopping import ended
from riskhelper.acts.permit.permits import known_permit
from riskhelper.acts.register.signing import Signing, append_signed, moment, site
from riskhelper.permit.persons import ISSUER
from riskhelper.record.entries import END_STOP, Entry


def end_stop(signing: Signing, number: str, words: str) -> Entry:
    """Ends the stop on the job of a permit with the issuer's words; each permit of the job is then resumed anew."""
    context, seen, found = signing.context, signing.context.store.size(), site(signing.context)
    permit = known_permit(context, found, number)
    lack = signing.person.lack(ISSUER, permit.plant, permit.voltage_v, moment(context, found), permit.road.value)
    if signing.role != ISSUER or lack:
        why = f": {lack}" if lack else ""
        raise context.refused(END_STOP, "role", f"Only an issuer of this plant ends a stop{why}")
    content = ended(context, permit.job, signing.person.name, words)
    return append_signed(context, signing.hand, permit.job, ISSUER, END_STOP, content, seen)
