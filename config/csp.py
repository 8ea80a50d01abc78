"""Content Security Policy as Django 6 has it built in, under the same setting names; to be dropped then."""

from collections.abc import Callable, Iterable, Mapping

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase

HEADERS = {
    "SECURE_CSP": "Content-Security-Policy",
    "SECURE_CSP_REPORT_ONLY": "Content-Security-Policy-Report-Only",
}


def policy_text(policy: Mapping[str, Iterable[str] | str]) -> str:
    """The header's value: one directive after another, in the order of the setting."""
    return "; ".join(
        f"{directive} {values if isinstance(values, str) else ' '.join(values)}".strip()
        for directive, values in policy.items()
    )


class ContentSecurityPolicyMiddleware:
    """Puts the policy on every answer that does not carry one of its own."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response
        policies = {header: getattr(settings, name, None) for name, header in HEADERS.items()}
        self.headers = {header: policy_text(policy) for header, policy in policies.items() if policy}

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        for header, text in self.headers.items():
            response.headers.setdefault(header, text)
        return response
