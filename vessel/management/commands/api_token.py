"""manage.py api_token: makes, lists and revokes the tokens by which programs use the API."""

from argparse import ArgumentParser, RawDescriptionHelpFormatter
from datetime import timedelta

from django.core.management.base import CommandError
from django.utils import timezone

from vessel.actions.token import KEEPS, make_token, revoke_token
from vessel.errors import BadInput, Refused
from vessel.management.commands.hand_over import vessel_called
from vessel.management.plain import PlainCommand
from vessel.models import ApiToken, Membership, Role, Scope, Vessel

BY = "command line"
EXAMPLE = """
Examples

    manage.py api_token --name "Saloon display" --scope read
    manage.py api_token --vessel "Tallow Wren" --for ines --name Logger --scope write --days 90
    manage.py api_token --list
    manage.py api_token --revoke legw_Q3xT9a

The token is printed once and not kept. Send it as a header:  Authorization: Bearer legw_...
"""


class Command(PlainCommand):
    help = "Makes a token by which a program reads, or reads and writes, for one person aboard one vessel."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.formatter_class = RawDescriptionHelpFormatter
        parser.epilog = EXAMPLE
        parser.add_argument("--vessel", metavar="NAME", help="which vessel, where there is more than one")
        parser.add_argument("--for", dest="person", metavar="ACCOUNT", help="for whom it acts; else the only owner")
        parser.add_argument("--scope", choices=Scope.values, default="read", help="read (if nothing is said) or write")
        parser.add_argument("--days", type=int, default=KEEPS.days, help=f"how long it keeps, {KEEPS.days} else")
        what = parser.add_mutually_exclusive_group(required=True)
        what.add_argument("--name", metavar="NAME", help="make one; the name says what it is for")
        what.add_argument("--list", action="store_true", help="list the vessel's tokens")
        what.add_argument("--revoke", metavar="LETTERS", help="revoke the token that begins so, at once")

    def handle(self, **options: object) -> None:
        try:
            lines = lines_for(options)
        except Refused as reason:
            raise CommandError(str(reason), returncode=2) from reason
        self.stdout.write("\n".join(lines))


def lines_for(options: dict[str, object]) -> list[str]:
    """Does what was asked and says so. Raises Refused."""
    named = options["vessel"]
    vessel = vessel_called(str(named) if named else None)
    if options["list"]:
        tokens = ApiToken.objects.filter(membership__vessel=vessel).select_related("membership__user").order_by("pk")
        return [line_of(token) for token in tokens] or [f"{vessel} has no tokens."]
    if options["revoke"]:
        token = revoke_token(token_id=token_that_begins(vessel, str(options["revoke"])).pk, by=BY, at=timezone.now())
        return [f"Revoked: {token}. It is refused from now on."]
    person = options["person"]
    token, secret = make_token(
        membership=membership_for(vessel, str(person) if person else None),
        name=str(options["name"]),
        scope=str(options["scope"]),
        by=BY,
        at=timezone.now(),
        keeps=timedelta(days=int(str(options["days"]))),
    )
    return [f"{token}, {token.get_scope_display()}, until {token.expires_at:%d %B %Y}. Shown once, not kept:", secret]


def membership_for(vessel: Vessel, account: str | None) -> Membership:
    """The membership of the account, or of the only owner. Raises BadInput."""
    rows = Membership.objects.filter(vessel=vessel).select_related("vessel")
    found = list(rows.filter(user__username=account) if account else rows.filter(role=Role.OWNER)[:2])
    if len(found) == 1:
        return found[0]
    if account:
        raise BadInput(f"{account} is not aboard {vessel}. No token was made.")
    raise BadInput(f"{vessel} has {'more than one' if found else 'no'} owner; say whose token it is with --for.")


def token_that_begins(vessel: Vessel, letters: str) -> ApiToken:
    """The one token of the vessel with these first letters. Raises BadInput."""
    found = list(ApiToken.objects.filter(membership__vessel=vessel, prefix__startswith=letters)[:2])
    if len(found) != 1:
        raise BadInput(f"{'No' if not found else 'More than one'} token begins with {letters}. Nothing was revoked.")
    return found[0]


def line_of(token: ApiToken) -> str:
    """One token in words."""
    used = f"last used {token.last_used_at:%d %b %Y %H:%M} UTC" if token.last_used_at else "never used"
    until = f"revoked {token.revoked_at:%d %b %Y}" if token.revoked_at else f"until {token.expires_at:%d %b %Y}"
    return f"{token.prefix}…  {token.name}, {token.get_scope_display()}, for {token.membership.user}, {until}, {used}"
