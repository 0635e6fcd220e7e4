"""Every exception that was made here, for whoever audits: of all permits, or of one."""

from __future__ import annotations

from riskhelper.acts.context import Context
from riskhelper.acts.permit.permits import known_permit
from riskhelper.acts.register.signing import site
from riskhelper.record.exceptions import Made, exceptions_in, of_permit

OF_THE_SITE = ""
"""The job of entries that belong to none: points, register, holding."""


def exceptions(context: Context, number: str = "") -> tuple[Made, ...]:
    """The exceptions made in this store, in the order of the record; with a number, of that permit and its points."""
    if not number:
        return exceptions_in(context.store.every())
    permit = known_permit(context, site(context), number)
    near = (*context.store.entries(permit.job), *context.store.entries(OF_THE_SITE))
    return of_permit(exceptions_in(sorted(near, key=lambda entry: entry.order)), number, permit.points)


def exception_lines(context: Context, number: str = "") -> tuple[str, ...]:
    """The same in words, and what stands in the record without counting."""
    lines = tuple(each.words for each in exceptions(context, number))
    apart = () if number else tuple(f"does not count: {words}" for words in site(context).apart)
    return (*lines, *apart) or ("No exception is in the record.",)
