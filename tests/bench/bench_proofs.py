"""All proofs of the shipped set, against the naive encoding of one of them: two whole copies of everything.

Both are measured in seconds of the processor, so that other work on the machine does not count. The naive question
is asked hazard by hazard: two jobs with nothing shared, every answer of the second as grave as in the first or graver
in the order its question gives, and a level of the second lower. It is stopped at 240 seconds in a thorough run
(THOROUGH set), at 60 otherwise, so the ratio printed is at least what it would be.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterator

import z3  # type: ignore[import-untyped]

from riskhelper.office.proofs.answers import JobTerms, any_job, fresh_answer, legal
from riskhelper.office.proofs.bench import SCALES
from riskhelper.office.proofs.figures import Figures
from riskhelper.office.proofs.logic import Plain, disjoined, implied, outranks
from riskhelper.office.proofs.outcome import Outcome
from riskhelper.office.proofs.prove import prove
from riskhelper.office.proofs.proving import Patience
from riskhelper.office.proofs.spans import less_or_equal
from riskhelper.ruleset.model import RuleSet
from tests.content.shipped import rules
from tests.thoroughness import VARIABLE

MOST_S = 240.0 if os.environ.get(VARIABLE) else 60.0
AIM = 50


def second_copy(rule_set: RuleSet, first: JobTerms) -> tuple[JobTerms, list[Plain]]:
    """A job of its own, with every answer given and as grave or graver."""
    answers, facts = {}, []
    for name, question in rule_set.questions.items():
        answers[name] = other = fresh_answer(name, question, " copy")
        facts += [*legal(question, other), other.given, first.answers[name].given]
        mild, grave = first.answers[name], other
        if isinstance(question.graver, str):
            ends = (mild.number, grave.number) if question.graver == "up" else (grave.number, mild.number)
            facts.append(less_or_equal(*ends))
        elif question.graver:
            order = question.graver
            for place, option in enumerate(order):
                facts.append(implied(mild.options[option], disjoined(grave.options[o] for o in order[place:])))
        elif question.type == "number":
            facts += [less_or_equal(mild.number, grave.number), less_or_equal(grave.number, mild.number)]
        else:
            facts += [implied(truth, grave.options[o]) for o, truth in mild.options.items()]
    return JobTerms(answers, first.planned, first.proved, first.reached, ()), facts


def naive(rule_set: RuleSet) -> Iterator[bool]:
    """Whether each level of each hazard was settled, until the time is up."""
    figures, first = Figures(), any_job(rule_set, rule_set.milestones[-1])
    second, facts = second_copy(rule_set, first)
    one, other = (Outcome.of(rule_set, job, figures) for job in (first, second))
    goals = [
        outranks(one.shown_level(hazard, scale), other.shown_level(hazard, scale))
        for hazard in rule_set.hazards
        for scale in SCALES
    ]
    given = [fact for fact in (*first.facts, *facts, *figures.facts) if fact is not True]
    stop = time.process_time() + MOST_S
    for goal in goals:
        left_s = stop - time.process_time()
        if left_s <= 0:
            yield False
            continue
        solver = z3.Solver()
        solver.set("timeout", int(left_s * 1000))
        solver.add(*given, goal)
        yield bool(solver.check() != z3.unknown)


def main() -> None:
    """Prints the ratio, and what was left unsettled on either side."""
    rule_set = rules()
    start = time.process_time()
    proofs = prove(rule_set, Patience(time.process_time, start + MOST_S))
    ours_s = time.process_time() - start
    start = time.process_time()
    settled = list(naive(rule_set))
    naive_s = time.process_time() - start

    print(
        f"proofs: all of the shipped set take 1/{naive_s / ours_s:.0f} of the naive encoding of the levels alone"
        f" (aim: at most 1/{AIM}); unsettled: ours {len(proofs.unsettled)}, naive {settled.count(False)}"
        f" of {len(settled)}, stopped at {MOST_S:.0f} s; findings: {len(proofs.findings)}"
    )


if __name__ == "__main__":
    main()
