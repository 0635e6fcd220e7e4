"""From rule files to a rule set: base, one local code, supplements; every fault in one pass."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from riskhelper.calc.calculation import Table
from riskhelper.ruleset import entries, translation
from riskhelper.ruleset.circles import check_circles
from riskhelper.ruleset.clashing import check_clashes
from riskhelper.ruleset.collecting import Collected, collect
from riskhelper.ruleset.compiling import Compiler
from riskhelper.ruleset.directions import check_directions
from riskhelper.ruleset.faults import Fault, RuleFaults
from riskhelper.ruleset.guards import check_guards
from riskhelper.ruleset.merging import check_base, merge_local, merge_supplement
from riskhelper.ruleset.model import Part, RuleSet, Translation
from riskhelper.ruleset.standing import check_entries
from riskhelper.ruleset.tables import as_table
from riskhelper.ruleset.tightening import milder_uses
from riskhelper.terms import PLACES

LANGUAGE = 1
_FRAME = ("ruleset", "matrix", "credit")


def load_rules(
    files: Mapping[str, bytes],
    local_code: str,
    supplements: Sequence[Mapping[str, bytes]] = (),
    *,
    prove_guards: bool = True,
    language: str = "",
) -> RuleSet:
    """The rule set made of base files, one local code and supplements.

    `files` maps relative names (`oil.toml`, `local/none.toml`, `tables/x.toml`) to bytes. `local_code` is the
    name of a file under `local/`, or empty for a job opened without one (a stop of its own).
    `language` names a file under `words/` to read it in; empty: the language it is written in.
    `prove_guards=False` leaves out the proofs that no rule reads a question that is not asked and that no table
    turns a figure round: for a set whose digest has passed them before. Raises `RuleFaults` with every fault found.
    """
    translations = {name: data for name, data in files.items() if name.startswith(translation.FOLDER)}
    files = {name: data for name, data in files.items() if name not in translations}
    base = collect(files)
    _check_frame(base)
    check_base(base)
    merge_local(base, local_code)
    translated = _translated(base, translations, language) if language else None
    parts = [_part("base", _number(base), {n: b for n, b in files.items() if not n.startswith(("local/", "cases/"))})]
    if local_code:
        file = f"local/{local_code}.toml"
        parts.append(_part(local_code, _number(base), {file: files.get(file, b"")}))
    for number, supplement in enumerate(supplements, start=1):
        added = collect(supplement)
        _check_language(added, "supplement")
        if translated is not None:
            translation.mark_added(added, translated)
        merge_supplement(base, added)
        head = added.single.get("supplement")
        parts.append(_part(head.name if head else f"supplement {number}", head.number if head else 0, supplement))
    check_entries(base)
    check_clashes(base)
    compiled = Compiler(base).compile()
    if any(kind not in base.single for kind in _FRAME):
        raise RuleFaults(base.faults)
    rules = replace(_rule_set(base, local_code, tuple(parts), compiled), translation=translated)
    if check_circles(rules, base) and prove_guards:
        # What has a fault already counts as read by nobody, so the proof tells only what is wrong besides.
        check_guards(rules, base)
        check_directions(rules, base)
    for limit, place in base.moved.items():
        for kind, name in milder_uses(rules, limit):
            words = f"cannot be moved: {kind} `{name}` reads this limit in the other direction and would get milder"
            base.faults.append(place.fault("is", words))
    if base.faults:
        raise RuleFaults(base.faults)
    return replace(rules, questions=_in_walking_order(rules))


def _translated(base: Collected, words: Mapping[str, bytes], language: str) -> Translation | None:
    file = f"{translation.FOLDER}{language}.toml"
    if file in words:
        return translation.lay_over(base, file, words[file])
    known = ", ".join(sorted(languages(words))) or "none but that of the rules"
    base.faults.append(Fault("rules", 0, f"words {language}", "", f"there is no such translation; known are {known}"))
    return None


def languages(files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Languages a set can be read in besides its own, by the names of their files."""
    return tuple(
        name.removeprefix(translation.FOLDER).removesuffix(".toml")
        for name in sorted(files)
        if name.startswith(translation.FOLDER)
    )


def _rule_set(base: Collected, local_code: str, parts: tuple[Part, ...], compiled: Mapping[str, Any]) -> RuleSet:
    local = base.locals[local_code][0] if local_code in base.locals else None
    return RuleSet(
        head=base.single["ruleset"],
        matrix=base.single["matrix"],
        credit=base.single["credit"],
        questions=base.named["question"],
        facts=base.named["fact"],
        limits=base.named["limit"],
        hazards=base.named["hazard"],
        controls=base.named["control"],
        stops=base.named["stop"],
        steps=tuple(base.listed["step"]),
        isolation_rows=tuple(base.listed["isolation_row"]),
        kit=tuple(base.listed["kit"]),
        local_code=local_code,
        local=local,
        tables=_tables(base, local),
        sources=base.sources,
        cases=base.cases,
        parts=parts,
        table_entries=base.tables,
        review=base.single.get("review"),
        edges=tuple(base.listed["edge"]),
        claims=base.named["claim"],
        clashes=base.named["clash"],
        turns=tuple(base.listed["turn"]),
        **compiled,
    )


def _number(part: Collected) -> int:
    head = part.single.get("ruleset")
    return head.number if isinstance(head, entries.RuleSetEntry) else 0


def _part(name: str, number: int, files: Mapping[str, bytes]) -> Part:
    digest = hashlib.sha256()
    for file in sorted(files):
        for piece in (file.encode(), files[file]):
            digest.update(len(piece).to_bytes(8, "big") + piece)
    return Part(name, number, digest.hexdigest())


def _check_frame(base: Collected) -> None:
    for kind in _FRAME:
        if (kind, "") not in base.places:
            base.faults.append(Fault("rules", 0, kind, "", f"no file holds the table [{kind}]; a rule set needs it"))
    _check_language(base, "ruleset")


def _check_language(part: Collected, kind: str) -> None:
    head = part.single.get(kind)
    if head is not None and head.language != LANGUAGE:
        part.fault(kind, "", "language", f"is {head.language}; this program reads language {LANGUAGE}")


def _in_walking_order(rules: RuleSet) -> dict[str, entries.QuestionEntry]:
    """Questions by milestone, place on the walk, subject and as written, each after those its `ask_if` reads."""
    subjects = {subject: place for place, subject in enumerate(rules.head.subjects)}
    milestones = rules.positions

    def rank(name: str) -> tuple[int, int, int]:
        question = rules.questions[name]
        subject = subjects.get(name.partition(".")[0], len(subjects))
        return (milestones[question.asked_at], PLACES.index(question.place), subject)

    waiting = sorted(rules.questions, key=rank)
    ordered: dict[str, entries.QuestionEntry] = {}
    while waiting:
        ready = next((n for n in waiting if _asked_after(rules, n, waiting)), waiting[0])
        waiting.remove(ready)
        ordered[ready] = rules.questions[ready]
    return ordered


def _asked_after(rules: RuleSet, name: str, waiting: list[str]) -> bool:
    """Whether everything the guard of a question reads at the same milestone has been placed before it."""
    reads = rules.support_of(rules.ask_checks[name].node) - {name}
    due = rules.due_positions[name]
    return not any(other in reads and rules.due_positions[other] <= due for other in waiting)


def _tables(base: Collected, local: entries.LocalEntry | None) -> dict[str, Table]:
    tables = {name: as_table(name, entry) for name, entry in base.tables.items()}
    if local is not None:
        for role, name in local.tables.items():
            if name in tables:
                tables[role] = tables[name]
    return tables


def local_codes(files: Mapping[str, bytes]) -> dict[str, str]:
    """Local codes on offer: file stem to title. Files that cannot be read are left to `load_rules` to report."""
    found: dict[str, Any] = collect({n: b for n, b in files.items() if n.startswith("local/")}).locals
    return {code: head.title for code, (head, _) in found.items()}
