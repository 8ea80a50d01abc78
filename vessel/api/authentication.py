"""A program says who it is by a token in the Authorization header, never in an address."""

from django.contrib.auth.models import User
from django.utils import timezone
from rest_framework.authentication import BaseAuthentication
from rest_framework.exceptions import AuthenticationFailed
from rest_framework.request import Request

from vessel.actions.token import digest_of, note_use
from vessel.models import ApiToken
from vessel.queries.token import token_of_digest

SCHEME = "Bearer"
REFUSED = "This token is not known, has run out or was revoked."


class TokenAuthentication(BaseAuthentication):
    """Authorization: Bearer SECRET. The request's user is the token's person, its `auth` the token."""

    def authenticate(self, request: Request) -> tuple[User, ApiToken] | None:
        scheme, _, secret = request.headers.get("Authorization", "").partition(" ")
        if scheme.lower() != SCHEME.lower():
            return None
        at = timezone.now()
        token = token_of_digest(digest_of(secret.strip()), at)
        if token is None:
            raise AuthenticationFailed(REFUSED)
        note_use(token=token, at=at)
        return token.membership.user, token

    def authenticate_header(self, request: Request) -> str:  # noqa: ARG002
        return SCHEME
