"""The OpenAPI document against the app: requests made from it, right and wrong ones, and the answers checked by it.

`SCHEMA_EXAMPLES=300 python -m pytest tests/service/api/test_schema.py` looks longer; `SCHEMA_SEED=N` looks elsewhere.
"""

import os
from datetime import timedelta
from typing import Any

import schemathesis
from fastapi.testclient import TestClient
from httpx2 import Response
from hypothesis import HealthCheck, Phase, given, seed, settings
from hypothesis import strategies as st
from requests import Request
from schemathesis import Case, GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from sqlalchemy import select

from service.access.actors import OPERATOR
from service.access.keys import make_key
from service.access.links import make_link
from service.intake.uploads import UploadFiles
from service.records import Consent, Effort, PainReport, Upload, Webhook, new_id, now
from tests.service.api.world import HERE, World

EXAMPLES = int(os.environ.get("SCHEMA_EXAMPLES", "5"))
SEED = int(os.environ.get("SCHEMA_SEED", "20260501"))
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
]


def _identifiers(world: World) -> dict[str, Any]:
    """Of things that are there, by the names that paths have for them: random ones would never be found."""
    gym = world.home
    version = world.prescription(gym.athlete)
    clip = world.measured(gym.athlete, version=version)
    of_athlete = {"gym_id": gym.id, "athlete_id": gym.athlete.id}
    with world.parts.database.session() as records:
        key, _ = make_key(records, gym.id, "planner", ["read:tempo"])
        link, _ = make_link(records, world.settings, gym.athlete, OPERATOR)
        pain, consent = PainReport(**of_athlete, text="wrist"), Consent(**of_athlete, given_by="athlete")
        upload = Upload(**of_athlete, id=new_id(), length=100, meta={}, expires=now() + timedelta(hours=1))
        hook = Webhook(gym_id=gym.id, url="https://planner.example", secret="", events=["clip.measured"])
        records.add_all([pain, consent, upload, hook])
        records.flush()
        UploadFiles(world.settings).begin(upload.id)
        effort = records.scalars(select(Effort)).first()
        assert effort is not None
        return {
            "person_id": gym.athlete.id,
            "prescription_id": version.prescription_id,
            "clip_id": clip.id,
            "link_id": link.id,
            "key_id": key.id,
            "pain_id": pain.id,
            "consent_id": consent.id,
            "upload_id": upload.id,
            "webhook_id": hook.id,
            "effort_id": effort.id,
            "set_id": effort.set_id,
            "name": "push-up",
            "kind": "cursor",
        }


def test_every_operation_keeps_to_its_description(world: World) -> None:
    owner = world.client(world.home.owner)
    there = _identifiers(world)
    schema = schemathesis.openapi.from_dict(world.app.openapi())
    operations = [found.ok() for found in schema.get_all_operations() if isinstance(found, Ok)]
    # What deletes comes last, and of that what ends the session.
    operations.sort(key=lambda each: (each.method.upper() == "DELETE", each.path.endswith("/session")))
    assert len(operations) > 60
    for operation in operations:
        right, wrong = (operation.as_strategy(generation_mode=mode) for mode in GenerationMode)

        @seed(SEED)
        @settings(
            max_examples=EXAMPLES,
            deadline=None,
            database=None,
            phases=[Phase.generate],
            suppress_health_check=list(HealthCheck),
        )
        @given(case=st.one_of(right, right, wrong), real=st.integers(0, 3))
        def keeps(case: Case[Any], real: int) -> None:
            if real:  # mostly of things that are there
                case.path_parameters |= {name: there[name] for name in case.path_parameters if name in there}
            case.validate_response(_send(owner, case), checks=CHECKS)

        keeps()


def _send(client: TestClient, case: Case[Any]) -> Response:
    asked = Request(**case.as_transport_kwargs(base_url=HERE)).prepare()
    # Who asks is known by the client's own cookie; a header may hold any byte.
    headers = [
        (name.encode(), value.encode("latin-1") if isinstance(value, str) else value)
        for name, value in asked.headers.items()
        if name.lower() not in ("cookie", "authorization")
    ]
    body = asked.body
    assert body is None or isinstance(body, str | bytes)
    return client.request(asked.method or "", asked.url or "", headers=headers, content=body)
