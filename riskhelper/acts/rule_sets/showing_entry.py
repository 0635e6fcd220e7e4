"""Show one entry of a rule set: what it says, what feeds it, what hangs on it, sources, worked cases, history."""

from __future__ import annotations

from collections.abc import Iterator

from riskhelper.acts.context import Context, Refused, printable
from riskhelper.acts.register.people import rules_digest
from riskhelper.acts.register.signing import site
from riskhelper.acts.rule_sets.rule_folders import RuleFolder
from riskhelper.office.entry_words import Told
from riskhelper.office.showing import KINDS, EntryShown, kinds_of, shown
from riskhelper.ruleset.faults import nearest_name
from riskhelper.ruleset.model import RuleSet
from riskhelper.store.rule_files import changes_text


def entry_of(rules: RuleSet, asked: str) -> tuple[str, str]:
    """Kind and id of the entry asked for: an id, or `kind id` where two entries share one."""
    kind, _, name = asked.strip().partition(" ")
    if name and kind in KINDS and name in rules.named[kind]:
        return kind, name
    found = kinds_of(rules, asked.strip())
    if len(found) == 1:
        return found[0], asked.strip()
    if found:
        raise Refused(f"`{asked}` is more than one entry: {', '.join(f'{one} {asked}' for one in found)}. Name one")
    hint = nearest_name(asked.strip(), {name for kind in KINDS for name in rules.named[kind]})
    raise Refused(f"`{asked}` is no entry of this set." + (f" Did you mean `{hint}`?" if hint else ""))


def show_entry(where: RuleFolder, code: str, asked: str, context: Context | None = None) -> EntryShown:
    """The entry, with what the officers wrote about it; with a context also what is said of it in the record."""
    rules = where.under(code)
    kind, name = entry_of(rules, asked)
    found = shown(rules, kind, name, changes_text(where.folder))
    if context is None:
        return found
    course = site(context).rule_sets.get(rules_digest(rules))
    comments = course.comments if course is not None else ()
    told = [
        f"Comment of {one.who}{', settled' if one.settled else ', open'}: {one.words}"
        for one in comments
        if one.entry == f"{kind} {name}"
    ]
    return EntryShown(
        found.kind,
        found.name,
        found.title,
        found.says,
        found.feeds,
        found.hangs,
        found.limits,
        found.sources,
        found.cases,
        (*found.history, *told),
    )


def entry_lines(found: EntryShown) -> list[str]:
    """The entry in lines."""
    lines = [f"{found.kind} {found.name}", found.title, ""]
    lines += [f"{one.name}: {one.words}" for one in found.says]
    for head, told in (
        ("What feeds it", found.feeds),
        ("What hangs on it", found.hangs),
        ("Limits it rests on", found.limits),
        ("Sources", found.sources),
        ("Worked cases", found.cases),
    ):
        lines += ["", head, *_told(told)]
    lines += ["", "History", *(f"  {words}" for words in found.history or ("nothing written about it",))]
    return [printable(line) for line in lines]


def _told(told: tuple[Told, ...]) -> Iterator[str]:
    yield from (f"  {one.name}: {one.words}" for one in told)
    if not told:
        yield "  none"


def entry_json(found: EntryShown) -> dict[str, object]:
    """The entry as plain values."""
    lists = {
        key: [{"name": one.name, "words": one.words} for one in getattr(found, key)]
        for key in ("says", "feeds", "hangs", "limits", "sources", "cases")
    }
    return {"kind": found.kind, "id": found.name, "title": found.title, **lists, "history": list(found.history)}
