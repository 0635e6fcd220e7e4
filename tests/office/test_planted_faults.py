"""Every planted fault is found by the analysis meant for it; the unchanged set has none.

A few in the quick run, all of them in a thorough one.
"""

from __future__ import annotations

import time

import pytest

from riskhelper.office.case_runs import run_cases
from riskhelper.office.proofs.prove import prove
from riskhelper.office.proofs.proving import Patience
from tests.office.finding_faults import CODE, found, known_findings, shipped
from tests.office.planted import FAULTS, Planted


def assert_found(fault: Planted) -> None:
    told = []
    for one in found(fault, (fault.finder,)):
        told.append(one)
        if one[0] == fault.finder and fault.kind in ("", one[1]) and fault.entry in ("", one[2]):
            return
    pytest.fail(f"not among {told}")


@pytest.mark.parametrize("fault", [fault for fault in FAULTS if fault.quick], ids=lambda fault: fault.name)
def test_a_planted_fault_is_found_by_who_is_meant_to_find_it(fault: Planted) -> None:
    assert_found(fault)


@pytest.mark.slow
@pytest.mark.parametrize("fault", [fault for fault in FAULTS if not fault.quick], ids=lambda fault: fault.name)
def test_every_other_planted_fault_is_found_too(fault: Planted) -> None:
    assert_found(fault)


def test_there_are_at_least_fifty_faults_of_every_kind() -> None:
    assert len(FAULTS) >= 50
    assert {fault.finder for fault in FAULTS} == {"load", "review", "prove", "cases"}


def test_the_unchanged_set_is_proved_and_its_cases_hold() -> None:
    proofs = prove(shipped(), Patience(time.process_time, time.process_time() + 120.0))

    assert (proofs.findings, proofs.unsettled) == ((), ())
    assert run_cases({CODE: shipped()}).failing == ()
    assert {one.kind for one in known_findings()} <= {"no_case_applies", "no_case_silent", "unproved_limit"}
