"""Personal text past its keeping period: which jobs, and destroying it so that every proof still holds."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from riskhelper.acts.context import Context
from riskhelper.acts.job.jobs import unknown_job
from riskhelper.acts.register.signing import Signing, moment, site
from riskhelper.permit.persons import SAFETY_OFFICER
from riskhelper.record.destroying import destroying_content
from riskhelper.record.entries import DESTROY_TEXT, Entry, drafted
from riskhelper.record.keeping import WORK_GOES_ON, purge_lack
from riskhelper.record.site import Site
from riskhelper.store.sqlite import SqliteStore


@dataclass(frozen=True)
class JobTexts:
    """The personal text of one job: its entries that hold any, and why it stays (empty: it may be destroyed)."""

    job: str
    entries: tuple[Entry, ...]
    stays: str


def texts(context: Context, kept_for: timedelta, over: Collection[str] = ()) -> tuple[JobTexts, ...]:
    """Every job that still holds personal text, with why it stays. `kept_for` is the site's own period; `over` are
    jobs whose work is said to be over, where no permit of this record shows it."""
    found = site(context)
    now = moment(context, found)
    listed = []
    for job in context.store.jobs():
        entries = context.store.entries(job)
        holding = tuple(entry for entry in entries if any(seal.salt for seal in entry.draft.seals.values()))
        if holding:
            ended = _ended(found, job, entries, over)
            kept_until = (ended or now) + kept_for
            happened = found.incidents.get(job, {}).values()
            stays = purge_lack(now, happened, now, now) or purge_lack(ended, happened, kept_until, now)
            if stays == WORK_GOES_ON and not any(permit.job == job for permit in found.permits.values()):
                stays = f"no permit of it was closed here; where its work is over, say so: --over {job}"
            listed.append(JobTexts(job, holding, stays))
    return tuple(listed)


def destroy(signing: Signing, kept_for: timedelta, over: Collection[str] = ()) -> tuple[str, ...]:
    """Destroys the text of every job past its keeping period, by one signed entry; gives the jobs."""
    context, seen = signing.context, signing.context.store.size()
    found = site(context)
    lacking = signing.person.lack(SAFETY_OFFICER, "", 0, moment(context, found))
    if signing.role != SAFETY_OFFICER or lacking:
        raise context.refused(
            DESTROY_TEXT, "role", f"Text is destroyed in the role {SAFETY_OFFICER}. {lacking}".strip()
        )
    if unknown := [job for job in over if job not in context.store.jobs()]:
        raise context.refused(DESTROY_TEXT, "number", unknown_job(context, unknown[0]))
    due = [each for each in texts(context, kept_for, over) if not each.stays]
    if not due:
        raise context.refused(DESTROY_TEXT, "nothing", "No personal text is past its keeping period. Nothing changed")
    entries = [entry for each in due for entry in each.entries]
    now = context.clock()
    draft = drafted(
        job="",
        who=signing.hand.name,
        role=signing.role,
        act=DESTROY_TEXT,
        content={**destroying_content(entries, kept_for.days), "said_over": [*sorted(over)]},
        entered=now,
        zone=context.zone,
    )

    def still() -> None:
        if context.store.size() != seen:
            raise context.refused(DESTROY_TEXT, "overtaken", "Somebody else wrote meanwhile. Look again, then sign")

    store = context.store
    assert isinstance(store, SqliteStore)
    entry = store.destroy(draft, signing.hand, [each.id for each in entries], still)
    context.logbook.act(now, DESTROY_TEXT, entry.number)
    return tuple(each.job for each in due)


def destroyed_elsewhere(context: Context) -> tuple[str, ...]:
    """Deletes the text that another store destroyed, up to what an incident known here keeps; gives those jobs."""
    store, found = context.store, site(context)
    assert isinstance(store, SqliteStore)
    now, kept, due = moment(context, found), [], []
    for job in store.jobs():
        named = [each.id for each in store.entries(job) if each.id in found.destroyed]
        stays = purge_lack(now, found.incidents.get(job, {}).values(), now, now)
        due += [] if stays else named
        kept += [job] if stays and named else []
    store.delete_texts(due)
    return tuple(kept)


def _ended(found: Site, job: str, entries: Iterable[Entry], over: Collection[str]) -> datetime | None:
    """When the work of a job ended: its last entry, once every permit of it is closed, or where there is none, once
    it is said to be over; none before."""
    closed = [permit.closed for permit in found.permits.values() if permit.job == job]
    if not all(closed) or not (closed or job in over):
        return None
    return max(entry.moment for entry in entries)
