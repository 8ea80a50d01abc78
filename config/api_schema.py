"""What the OpenAPI description adds to what the views say: the token, and the problems every address may answer."""

from typing import Any

from drf_spectacular.extensions import OpenApiAuthenticationExtension
from drf_spectacular.openapi import AutoSchema

from config.api_errors import MEDIA_TYPE, WORDS, Problem

EVERYWHERE = (400, 401, 403, 404, 405, 406, 429, 500, 503)
ON_WRITING = (409, 413, 415, 422)


class TokenScheme(OpenApiAuthenticationExtension):  # type: ignore[no-untyped-call]
    target_class = "vessel.api.authentication.TokenAuthentication"
    name = "token"

    def get_security_definition(self, auto_schema: AutoSchema) -> dict[str, str]:  # noqa: ARG002
        return {"type": "http", "scheme": "bearer", "description": "A token made by `manage.py api_token`."}


class ProblemSchema(AutoSchema):
    """Adds the problem answers to each operation."""

    def get_operation(self, path: str, path_regex: str, path_prefix: str, method: str, registry: Any) -> Any:
        operation = super().get_operation(path, path_regex, path_prefix, method, registry)
        if operation is None:
            return None
        problem = self.resolve_serializer(Problem, "response").ref
        for status in EVERYWHERE + (ON_WRITING if method == "POST" else ()):
            content = {MEDIA_TYPE: {"schema": problem}}
            operation["responses"].setdefault(str(status), {"content": content, "description": WORDS[status][0]})
        return operation
