"""Which kinds of work may meet: every pair is a ban or names its safeguards, and a supplement only adds to that."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from riskhelper.ruleset import entries
from riskhelper.ruleset.collecting import Collected
from riskhelper.ruleset.faults import Fault, nearest_name
from riskhelper.ruleset.references import check_source
from riskhelper.terms import WORK_KINDS, spoken


def kinds_in(name: str) -> frozenset[str]:
    """The kinds of work of a pair, `heat.oil` like `oil.heat`; one where a kind meets itself.

    >>> sorted(kinds_in("oil.heat"))
    ['heat', 'oil']
    """
    return frozenset(name.split("."))


def pair_words(kinds: Iterable[str]) -> str:
    """A pair as it is printed.

    >>> pair_words(kinds_in("stored_charge.heat"))
    'heat beside stored charge'
    """
    words = [spoken(kind) for kind in sorted(kinds)]
    return " beside ".join(words * 2 if len(words) == 1 else words)


def check_clashes(found: Collected) -> None:
    """Note every fault of the pairs; a set that writes one pair must write them all."""
    seen: dict[frozenset[str], str] = {}
    for name in found.names("clash"):
        kinds = kinds_in(name)
        for kind in sorted(kinds - set(WORK_KINDS)):
            hint = nearest_name(kind, WORK_KINDS)
            found.fault("clash", name, "", f"there is no kind of work `{kind}`; known are {_known()}", hint)
        if kinds in seen:
            found.fault("clash", name, "", f"is the pair `{seen[kinds]}` once more; write it once")
        seen[kinds] = name
    for name, entry in found.named["clash"].items():
        check_source(found, "clash", name, entry.source)
        if entry.ban == bool(entry.safeguards):
            key = "safeguards" if entry.safeguards else ""
            found.fault("clash", name, key, "needs exactly one of `ban = true` and `safeguards`")
        if not all(words.strip() for words in entry.safeguards):
            found.fault("clash", name, "safeguards", "a safeguard says who does what")
    missing = [pair for pair in every_pair() if pair not in seen] if seen else []
    if missing:
        words = ", ".join(".".join(sorted(pair) * (3 - len(pair))) for pair in missing[:5])
        more = f" and {len(missing) - 5} more" if len(missing) > 5 else ""
        place = found.places["clash", next(iter(found.names("clash")))]
        message = f"pairs are missing: {words}{more}; each pair of kinds is a ban or names its safeguards"
        found.faults.append(Fault(place.parsed.file, 0, "clash", "", message))


def every_pair() -> tuple[frozenset[str], ...]:
    """Every pair of kinds of work, each with itself too."""
    return tuple(frozenset(pair) for pair in itertools.combinations_with_replacement(WORK_KINDS, 2))


def tighten_clashes(base: Collected, added: Collected) -> None:
    """Lets a supplement ban a pair or add safeguards to it; what would loosen it is a fault."""
    there = {kinds_in(name): name for name in base.named["clash"]}
    for name, tighter in added.named["clash"].items():
        place, old = added.places["clash", name], there.get(kinds_in(name))
        if old is None:
            if not any(kinds_in(written) == kinds_in(name) for written in base.names("clash")):
                hint = nearest_name(name, base.names("clash"))
                base.faults.append(place.fault("", "there is no such pair in the set it stands on", hint))
            continue
        entry: entries.ClashEntry = base.named["clash"][old]
        if entry.ban and not tighter.ban:
            base.faults.append(place.fault("safeguards", "is milder than the ban of the set; leave it out"))
        elif tighter.ban == bool(tighter.safeguards):
            base.faults.append(place.fault("", "needs exactly one of `ban = true` and further `safeguards`"))
        elif not entry.ban:
            more = tuple(words for words in tighter.safeguards if words not in entry.safeguards)
            base.named["clash"][old] = entry.model_copy(
                update={
                    "ban": tighter.ban,
                    "safeguards": () if tighter.ban else (*entry.safeguards, *more),
                    "because": tighter.because if tighter.ban else f"{entry.because}; {tighter.because}",
                    "source": ", ".join(dict.fromkeys((*_parts(entry.source), *_parts(tighter.source)))),
                }
            )


def _parts(source: str) -> tuple[str, ...]:
    return tuple(part.strip() for part in source.split(","))


def _known() -> str:
    return ", ".join(WORK_KINDS)
