from collections.abc import Callable

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client, override_settings

from config.csp import ContentSecurityPolicyMiddleware, policy_text

NAME = "Content-Security-Policy"
Answer = Callable[[HttpRequest], HttpResponse]


def test_a_policy_is_written_out_in_order() -> None:
    policy = {"default-src": ["'self'", "data:"], "sandbox": [], "report-to": "here"}

    assert policy_text(policy) == "default-src 'self' data:; sandbox; report-to here"


def test_an_answer_with_a_policy_of_its_own_keeps_it() -> None:
    def page(_: HttpRequest) -> HttpResponse:
        return HttpResponse(headers={NAME: "default-src 'none'"})

    assert ContentSecurityPolicyMiddleware(page)(HttpRequest()).headers[NAME] == "default-src 'none'"


@override_settings(SECURE_CSP={}, SECURE_CSP_REPORT_ONLY={"default-src": ["'self'"]})
def test_a_trial_policy_goes_under_its_own_name() -> None:
    answer = ContentSecurityPolicyMiddleware(lambda _: HttpResponse())(HttpRequest())

    assert NAME not in answer.headers
    assert answer.headers[f"{NAME}-Report-Only"] == "default-src 'self'"


@pytest.mark.django_db
@pytest.mark.parametrize("path", ["/live", "/nowhere", "/"])
def test_every_answer_carries_the_headers(client: Client, path: str) -> None:
    headers = client.get(path).headers

    assert "default-src 'self'" in headers[NAME]
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "same-origin"
    assert headers["X-Frame-Options"] == "DENY"
