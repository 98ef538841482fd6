"""The JSON routes against what a fuzzer makes of their OpenAPI description: never a 500."""

from __future__ import annotations

import schemathesis
from hypothesis import HealthCheck, given, settings
from tests.served import Served

EXAMPLES = 60
"""Of what is sent to each route."""


def test_no_json_route_fails_whatever_is_sent(room):
    running = Served(room)
    try:
        schema = schemathesis.openapi.from_url(f"{running.at}/api/openapi.json")
        operations = [one.ok() for one in schema.get_all_operations()]
        routes = [one for one in operations if one.path.startswith("/api/")]
        assert len(routes) >= 3
        seen = set()
        for operation in routes:

            @settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck))
            @given(case=operation.as_strategy())
            def sent(case):
                answer = case.call(timeout=20)
                seen.add(answer.status_code)
                assert answer.status_code < 500, (case.method, case.path, answer.text)
                if answer.status_code >= 400:
                    assert {"what", "do", "where"} <= set(answer.json()["error"])

            sent()
        assert 200 in seen
    finally:
        running.stop()


def test_the_description_holds_the_json_routes(app):
    said = app.get("/api/openapi.json").json()
    paths = [path for path in said["paths"] if path.startswith("/api/")]
    assert "/api/facts" in paths
