"""The shapes of joining, signing in, people, phones and invites."""

from __future__ import annotations

from potrounds.api.fields import Choice, Moment, Text, Truth, Uuid
from potrounds.api.fields_nested import Several, Within
from potrounds.api.schemas import ROLES, Answer, Ask, PersonName

SESSION_STATES = ("active", "ended", "burned")
INVITE_STATES = ("open", "used", "expired", "revoked")
PERSON_STATES = ("active", "ended")
NAME = 80


class JoinRequest(Ask):
    MOST_BYTES = 4 * 1024

    secret = Text(200, shortest=1, says="What stands behind the # of the invite link")
    device = Uuid()
    name = Text(NAME, shortest=1)


class SignInRequest(Ask):
    MOST_BYTES = 4 * 1024  # nobody's password costs more than that to read

    name = Text(NAME, shortest=1)
    password = Text(128, shortest=1)
    device = Uuid()


class PasswordBody(Ask):
    MOST_BYTES = 4 * 1024

    password = Text(128, shortest=1)


class Me(Answer):
    person = Within(PersonName)
    device = Uuid()
    session_ends = Moment(null=True)
    push = Truth(says="Whether this phone takes pushes")


class PushAddress(Ask):
    MOST_BYTES = 4 * 1024

    endpoint = Text(1024, shortest=1, says="https:// and on, as the browser gave it")
    p256dh = Text(100, shortest=1, says="base64url")
    auth = Text(40, shortest=1, says="base64url")


class NewPerson(Ask):
    name = Text(NAME, shortest=1)
    role = Choice(ROLES)
    password = Text(128, optional=True, null=True, says="15 to 128 characters")


class PersonPatch(Ask):
    name = Text(NAME, shortest=1, optional=True)
    state = Choice(PERSON_STATES, optional=True)
    password = Text(128, optional=True)


class RegisterPerson(PersonName):
    state = Choice(PERSON_STATES)
    has_password = Truth()
    joined_at = Moment(null=True)


class NewInvite(Ask):
    role = Choice(ROLES)
    name = Text(NAME, shortest=1, says="Whom it is for, or what it is called")
    for_person = Text(40, null=True, optional=True, says="A person who joins again")


class Invite(Answer):
    id = Text()
    role = Choice(ROLES)
    name = Text()
    for_person = Text(null=True)
    url = Text(says="Shown once; the server keeps only a hash of its secret")
    qr = Several(Text(), says='Rows of "0" and "1"')
    expires_at = Moment()


class RegisterInvite(Answer):
    id = Text()
    role = Choice(ROLES)
    name = Text()
    for_person = Text(null=True)
    state = Choice(INVITE_STATES)
    made_at = Moment()
    made_by = Text(null=True)
    expires_at = Moment()
    used_by = Text(null=True)


class RegisterPhone(Answer):
    id = Text()
    person = Text()
    name = Text(says="The person's name")
    device = Uuid()
    state = Choice(SESSION_STATES)
    first_used = Moment()
    last_used = Moment()
    ends = Moment(null=True)
