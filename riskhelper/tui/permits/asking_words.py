"""What is asked with an act, as one asks it across a table; the core knows what is needed, not how to ask."""

from __future__ import annotations

from collections.abc import Mapping

from riskhelper.permit.wanted import FieldKind, Wanted

ASKS: Mapping[str, str] = {
    "measures_stated": "Which measures does the crew ask for?",
    "reason": "What is the reason?",
    "question": "Which question does the note belong to?",
    "seen_on_site": "What did you see on site, and when?",
    "starts": "When does the permit begin?",
    "ends": "When does it end?",
    "acknowledged": "Read each condition, and choose it once it is read.",
    "consulted_person_in_control": "Who is in control of the plant, and when were they consulted?",
    "affected_told": "Who was told that plant goes out of service?",
    "identified_two_ways": "In which two ways was each point identified?",
    "adjacent_screened": "What stays live nearby, and what keeps people out of reach of it?",
    "crew_informed": "When was the crew told the measures, and by whom?",
    "visited_at": "When did you see the place, after the last change?",
    "issuer_copy_kept": "Which number has the copy you keep?",
    "read_back": "What was read back: tag, limits, points?",
    "understands": "Say it in your words: which risks, which precautions?",
    "rescue_checked": "Who answered the call for help, and which way does rescue come?",
    "copy_at_work_point": "Which number has the copy that hangs at the work?",
    "subjects": "On which subjects was the crew briefed?",
    "member": "Who is it?",
    "verified_not_at_facility": "How do you know that they are not on the site?",
    "reasonable_efforts_to_contact": "How did you try to reach them?",
    "told_before_resuming_work": "How will they be told before they work here again?",
    "hold_point": "Which hold point?",
    "released_as": "As whom do you release it?",
    "state_left": "In which state is the plant left?",
    "drawing": "Which number has the drawing the plan rests on?",
    "drawing_revision": "Which revision of it do you hold?",
    "drawing_checked_at": "When was it held against the plant on site?",
    "shift_end": "How is the work left at the end of each shift, and who takes over?",
    "conditions_rechecked": "What did you look at again, with which readings?",
    "told_incoming": "What must the incoming holder know?",
    "site_check": "What did you see at the place just now?",
    "tools_accounted": "How many tools and own earths came out?",
    "complete": "Is the work complete?",
    "unit_proved": "What proved the finished unit?",
    "left_as": "How is the plant left, where its last hold points are not passed?",
    "inspected": "What did you see when you inspected it?",
    "condition_agreed": "Which condition of the plant was agreed with the acceptor?",
    "copies_called_in": "Which numbers have the copies that were called in? Write that none was out, where none was.",
    "plant": "Which plant does the point belong to?",
    "device": "Which device is it?",
    "position": "In which position must it be?",
    "voltage_v": "What is the highest voltage on it?",
    "current": "Which kind of voltage?",
    "lock": "Which number stands on the lock?",
    "tag": "Which number stands on the tag?",
    "key": "Which number stands on the key of this lock?",
    "tester": "Which serial has the tester? For a valve or a blank: what was seen?",
    "tester_for_v": "Up to which voltage is the tester built, as on its plate?",
    "live_from": "Where did the voltage come from, and how was that found?",
    "live_ended": "What was done so that it does not come back?",
    "earth": "Which number has the earth?",
    "point": "What is written on the label of the point?",
    "recheck_min": "Every how many minutes is it checked again, where stored energy can build up?",
    "seen": "What was seen or read, and with what?",
    "told_of_removal": "Who told you, where your lock was taken off in your absence?",
    "stop": "Which stop is ruled on?",
    "live_ground": "On which ground do parts stay live?",
    "why_live": "Why does that ground hold here?",
    "live_circuit": "Which circuit stays live, and behind which cover?",
    "live_method": "How is the work done beside it?",
    "live_flash": "Which label or study says what an arc does there?",
    "live_boundaries": "How far does it keep people back, and how are the boundaries marked?",
    "live_no_closer": "Which no-closer distance has the site's own rule, where the local code gives no figure?",
    "live_kept_out": "Who keeps others out, and by what?",
    "live_briefed": "What was the crew told of the parts left live?",
    "live_way_clear": "Is the way in and out clear? What did you see?",
    "live_cut_off": "Where is it cut off? Is that point marked, clear and quick?",
    "evidence": "On which reading, page or test does the ruling rest, and where is it kept?",
    "scope": "For which part of the work does it hold?",
    "stored_energy_off": "How was the energy stored behind the points taken off?",
    "restart_tried": "How was it shown that it cannot start?",
    "boundary_marked": "Who walked the boundary, and how is it marked?",
    "letters_held": "Which letters of owner and protection are held?",
    "control_entry": "Under which number has the control room entered the work?",
    "observer": "Who is the safety observer?",
    "test_scope": "Which circuits, covers and limits has the test?",
    "test_applied": "Which voltage, current or signal is applied, and from where?",
    "test_holder": "Who runs the test?",
    "test_kept_away": "Who stands there and keeps people away?",
    "paper": "Which paper is it?",
    "copy_for": "For whom is the copy?",
    "road": "Which of the two roads?",
    "permit_plant": "Which number has the plant, as on its plate?",
    "apparatus": "What is worked on?",
    "zone": "Where on the site is it?",
    "highest_v": "What is the highest voltage of the plant?",
    "energies": "Which energies can do harm here? Where none is chosen, all count.",
    "issuers_words": "What does the issuer say?",
    "coordinator": "Who coordinates, where another crew is on the same plant or point?",
    "other_permit": "Which other permit does not go together with this one?",
    "first_keeper": "Who is the first keeper?",
    "second_keeper": "Who is the second keeper?",
    "name": "Who is it?",
    "employer": "Which firm do they work for?",
    "roles": "In which roles may they sign?",
    "limit_v": "Up to which voltage are they authorised?",
    "of_plant": "Only for plant whose name begins in a certain way?",
    "until": "Until when does it hold? A day alone counts to its end.",
    "present": "Who is here?",
    "finding": "What did you find? Write it also where nothing is wrong.",
    "action": "What must be done, where something must?",
    "action_by": "Who does it?",
    "due": "Until when is it done?",
    "finding_number": "Which finding?",
    "closed_how": "What was done, and what did you see?",
    "reviewed_with": "With which employees was the procedure gone through?",
    "deviations": "What deviated, and how was it put right? Nothing where none did.",
    "ordered_by": "Who sent the switching order?",
    "repeated_by": "Who repeated it back, word for word?",
    "confirmed_by": "Who confirmed that it was repeated right?",
    "side": "Which side of the work does it hold off?",
    "earth_through": "Which device carries the earth, where one does?",
    "opened_device": "Which device that carries an earth is opened?",
    "own_lock": "Which number has your lock on the group lock? None where yours is on every point.",
    "works_at": "What do you work on? Nothing typed means all of the apparatus.",
    "affected_notified": "Who was told that power may return?",
}


def ask(field: Wanted) -> str:
    """The question for a field; one without its own is asked in the words of the core."""
    return ASKS.get(field.key, f"{field.words[0].upper()}{field.words[1:]}?")


def how(field: Wanted) -> str:
    """How it is typed, and whether it may stay empty."""
    if (field.key not in ASKS or field.words == "write it") and field.kind is FieldKind.WORDS:
        return "Needed." if field.needed else "It may stay empty."
    empty = "" if field.needed else " It may stay empty."
    match field.kind:
        case FieldKind.MOMENT:
            return f"Type 14:30 or 1430 for today, tomorrow 7:00, 2031-02-03 14:30 for another day, or now.{empty}"
        case FieldKind.VOLTS:
            return f"Type whole volts.{empty}"
        case FieldKind.ONE_OF:
            return f"Choose one.{empty}"
        case FieldKind.SEVERAL_OF:
            return f"Choose each that holds, then go on.{empty}"
        case FieldKind.READINGS:
            return f"Readings in their order.{empty}"
        case _:
            return f"Needed: {field.words}." if field.needed else f"{field.words[0].upper()}{field.words[1:]}.{empty}"
