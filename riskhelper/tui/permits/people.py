"""The register of people on the screen: first set-up, vouching, revoking, who is here, a crew to practise with."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from textual import on

from riskhelper.acts.context import Refused
from riskhelper.acts.permit.typed_moments import end_of_day
from riskhelper.acts.register import people, rehearsal_crew
from riskhelper.acts.register.people import NewPerson
from riskhelper.acts.register.register_words import missing_roles, register_shown
from riskhelper.acts.register.who_signs import keys_here
from riskhelper.permit.persons import KNOWN_ROLES
from riskhelper.permit.wanted import FieldKind, Wanted
from riskhelper.tui.pages import Doubt
from riskhelper.tui.permits.comparing import ComparePage
from riskhelper.tui.permits.page import ListPage, SitePage
from riskhelper.tui.permits.secrets import Secret, SecretsPage
from riskhelper.tui.permits.writing import WritePage
from riskhelper.tui.rows import Row, Rows

if TYPE_CHECKING:
    from riskhelper.tui.app import Interface

SET_UP, CREW, VOUCH, WHO, WORDS = "?set up", "?crew", "?vouch", "?who", "?words"
OWN = "?own"
ROLE_CHOICES = {str(place): f"{role}: {what}" for place, (role, what) in enumerate(KNOWN_ROLES.items())}
KEEPERS = (Wanted("first_keeper", "the name of one keeper"), Wanted("second_keeper", "the name of the other keeper"))
NEW_PERSON = (
    Wanted("name", "name and first name, as on their papers"),
    Wanted("employer", "the firm they work for"),
    Wanted("roles", "the roles they may sign in", kind=FieldKind.SEVERAL_OF, choices=ROLE_CHOICES),
    Wanted("limit_v", "the highest voltage they are authorised for", kind=FieldKind.VOLTS),
    Wanted("of_plant", "only plant whose name begins so", needed=False),
    Wanted("until", "the last day of their authority, such as 2031-12-31"),
)


class PeoplePage(ListPage):
    """Everybody who may sign, and the acts on the register that two keepers do together."""

    TITLE_WORDS = "Register of people"

    def __init__(self, desk: PeopleDesk) -> None:
        super().__init__()
        self._desk = desk
        self.notice = ""

    def show(self) -> None:
        """The register as it stands now."""
        self.show_frame()
        shown = register_shown(self.interface.context)
        if shown.words:
            words = f"Kept by {' and '.join(shown.keepers)}. Any two keepers together vouch for a person."
            acts = [
                Row(VOUCH, "Vouch for a person: two keepers.", head="The register"),
                Row(WHO, "Who is here? Which roles can nobody fill?"),
                Row(WORDS, "The words of the register, to compare with those on paper."),
            ]
        else:
            words = "No register is set up in this store: nobody can sign. Two people set it up together."
            acts = [Row(SET_UP, "Set the register up: two keepers.")]
            if self.interface.context.rehearsal:
                acts.append(Row(CREW, "Make a crew of invented people, to practise the whole course."))
        rows = acts + [
            Row(each.name, f"{each.line}.", head="" if place else "People") for place, each in enumerate(shown.people)
        ]
        self.tell([*([(self.notice, "bold reverse")] if self.notice else []), (words, "")])
        self.show_rows(rows, self.query_one(Rows).cursor)

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """A person, or an act on the register."""
        event.stop()
        self.notice = ""
        self._desk.go(event.name)


class PersonPage(SitePage):
    """One person of the register: roles, limits, end, and what two keepers can do."""

    def __init__(self, name: str, desk: PeopleDesk) -> None:
        super().__init__()
        self._person = name
        self._desk = desk

    def show(self) -> None:
        """The person as the register has them."""
        self.TITLE_WORDS = self._person
        self.show_frame()
        shown = next(each for each in register_shown(self.interface.context).people if each.name == self._person)
        self.tell([(self._person, "bold"), *((line, "") for line in shown.lines)])
        self.show_rows(
            [
                Row("back", "Go back without a change."),
                Row("vouch", "Other roles, limits or end, with the same key."),
                Row("new_key", "A new key: the passphrase is lost, or known to another."),
                Row("revoke", "Take the key out of use. What it signed before keeps its standing."),
            ],
            0,
        )

    @on(Rows.Chosen)
    def chosen(self, event: Rows.Chosen) -> None:
        """An act on the person."""
        event.stop()
        if event.name == "back":
            self.dismiss()
        elif event.name == "revoke":
            self._desk.revoke(self._person)
        else:
            self._desk.vouch(self._person, new_key=event.name == "new_key")


class PeopleDesk:
    """What leads from one page of the register to the next; what was typed and not done yet is kept here."""

    def __init__(self, interface: Interface) -> None:
        self.interface = interface
        self._drafts: dict[str, dict[str, str]] = {}

    def open(self) -> None:
        """Shows the register."""
        self.interface.push_screen(PeoplePage(self))

    def go(self, where: str) -> None:
        """Does an act on the register, or shows a person."""
        acts: Mapping[str, Callable[[], None]] = {
            SET_UP: self._set_up,
            CREW: self._make_crew,
            VOUCH: lambda: self.vouch("", new_key=True),
            WHO: self._who,
            WORDS: lambda: self._show_words(""),
        }
        if where in acts:
            acts[where]()
        else:
            self.interface.push_screen(PersonPage(where, self))

    # -- set-up

    def _set_up(self) -> None:
        draft = self._drafts.setdefault(SET_UP, {})
        about = (
            "A keeper vouches for people; no keeper can do it alone. Both are here now, each with a passphrase.",
        )

        def named() -> None:
            names = [draft[field.key].strip() for field in KEEPERS]
            secrets = [Secret(name, new=True) for name in names]
            lines = (
                f"{names[0]} and {names[1]} make the key of the site register. It vouches for everybody who signs.",
                "A passphrase has at least 8 characters; several words are good. Nobody can bring a lost one back.",
            )
            self._ask_secrets("Set the register up", lines, secrets, self._made, self._show_words)

        self.interface.push_screen(WritePage("The two keepers", about, KEEPERS, draft, named))

    def _made(self, typed: Mapping[str, str]) -> str:
        context = self.interface.context
        people.set_up(context, keys_here(context), typed)
        return "The register is set up."

    def _make_crew(self) -> None:
        context = self.interface.context
        names = ", ".join(f"{each.name} ({', '.join(each.roles)})" for each in rehearsal_crew.CREW)
        lines = (
            f"Made are: {names}.",
            f"All of them are invented. The passphrase of each is: {rehearsal_crew.PASSPHRASE}",
            "It takes a few seconds.",
        )

        def make() -> None:
            rehearsal_crew.make_crew(context)
            self._to_register(f"The crew is made. Passphrase of each: {rehearsal_crew.PASSPHRASE}")

        self.interface.push_screen(
            Doubt("Make a crew to practise with?", lines, "No. Leave it.", "Yes. Make the crew.", make)
        )

    def _show_words(self, notice: str) -> None:
        self._leave_typing()
        words = register_shown(self.interface.context).words
        self.interface.push_screen(ComparePage(words, notice))

    # -- people

    def vouch(self, name: str, *, new_key: bool) -> None:
        """Asks for what must be known of a person, then for the passphrases of all who take part."""
        draft = self._drafts.setdefault(f"vouch {name}", {"name": name} if name else {})
        fields = NEW_PERSON[1:] if name else NEW_PERSON
        keepers = register_shown(self.interface.context).keepers[:2]

        def known() -> None:
            who, page = draft["name"].strip(), self.interface.screen
            assert isinstance(page, SitePage)
            try:
                end_of_day("The last day", draft["until"], self.interface.context.clock())
            except Refused as refusal:
                page.refuse([f"{refusal}."])
                return
            own = [Secret(who, new=True, key=OWN)] if new_key else []
            secrets = [*own, *(Secret(keeper) for keeper in keepers)]
            roles = [list(KNOWN_ROLES)[int(place)] for place in draft["roles"].split()]
            lines = (
                f"{keepers[0]} and {keepers[1]} vouch for {who}, {draft['employer']}.",
                f"Roles: {', '.join(roles)}; up to {draft['limit_v']} V; last day {draft['until']}.",
                *((f"Only plant whose name begins with {draft['of_plant']}.",) if draft.get("of_plant") else ()),
                *((f"{who} types a passphrase of their own, which nobody else knows.",) if new_key else ()),
            )
            self._ask_secrets(
                f"Vouch for {who}",
                lines,
                secrets,
                lambda typed: self._vouched(draft, roles, typed),
                self._to_register,
            )

        self.interface.push_screen(WritePage("Vouch for a person", (), fields, draft, known))

    def _vouched(self, draft: Mapping[str, str], roles: Sequence[str], typed: Mapping[str, str]) -> str:
        context = self.interface.context
        who, keepers = draft["name"].strip(), register_shown(context).keepers[:2]
        new = NewPerson(
            name=who,
            employer=draft["employer"],
            roles=tuple(roles),
            until=end_of_day("The last day", draft["until"], context.clock()),
            limit_v=int(draft["limit_v"]),
            plant=draft.get("of_plant", ""),
        )
        hand = people.open_register(context, keys_here(context), {keeper: typed[keeper] for keeper in keepers})
        people.vouch(context, keys_here(context), hand, keepers, new, typed.get(OWN, ""))
        return f"The register vouches for {who}."

    def revoke(self, name: str) -> None:
        """Asks for the reason, then for the passphrases of the keepers."""
        draft = self._drafts.setdefault(f"revoke {name}", {})
        context, keepers = self.interface.context, register_shown(self.interface.context).keepers[:2]

        def do(typed: Mapping[str, str]) -> str:
            hand = people.open_register(context, keys_here(context), typed)
            entry = people.revoke(context, hand, keepers, name, draft["reason"])
            return f"The key of {name} is out of use from entry {entry.number} on."

        def known() -> None:
            lines = (f"The key of {name} goes out of use. What it signed before keeps its standing.",)
            secrets = [Secret(keeper) for keeper in keepers]
            self._ask_secrets(f"Revoke the key of {name}", lines, secrets, do, self._to_register)

        fields = (Wanted("reason", "write it; it stays in the record"),)
        self.interface.push_screen(WritePage(f"Revoke the key of {name}", (), fields, draft, known))

    def _who(self) -> None:
        context = self.interface.context
        names = [each.name for each in register_shown(context).people]
        choices = {str(place): name for place, name in enumerate(names)}
        draft = self._drafts.setdefault(WHO, {})
        fields = (
            Wanted("present", "who is here", needed=False, kind=FieldKind.SEVERAL_OF, choices=choices),
            Wanted("voltage_v", "the highest voltage of the plant", kind=FieldKind.VOLTS),
        )

        def known() -> None:
            present = tuple(names[int(place)] for place in draft["present"].split())
            lines = missing_roles(context, present, "", int(draft["voltage_v"]))
            self._to_register(" ".join(lines) or "Every role of the course can be filled by those who are here.")

        self.interface.push_screen(WritePage("Who is here?", (), fields, draft, known))

    # -- between pages

    def _ask_secrets(
        self,
        title: str,
        lines: Sequence[str],
        secrets: Sequence[Secret],
        do: Callable[[Mapping[str, str]], str],
        done: Callable[[str], None],
    ) -> None:
        self.interface.push_screen(SecretsPage(title, lines, secrets, do, done))

    def _leave_typing(self) -> None:
        while isinstance(self.interface.screen, WritePage | SecretsPage | PersonPage):
            self.interface.pop_screen()

    def _to_register(self, words: str) -> None:
        self._leave_typing()
        page = self.interface.screen
        if isinstance(page, PeoplePage):
            page.notice = words
            page.show()
