"""The OpenAPI document: what stands around the operations, which describe themselves."""

from typing import Any, Final

from fastapi import FastAPI
from fastapi.openapi.utils import get_openapi

from service.api.idempotency import PARAMETER
from service.api.problems import MEDIA_TYPE, ProblemDetails
from service.api.shapes.common import EXAMPLE_CURSOR, EXAMPLE_ID, EXAMPLE_NUMBER

TITLE: Final = "Plumbrep"
ABOUT: Final = """\
Measured tempo, angles and holds of bodyweight-strength training, with their uncertainty; clips to measure, verdicts to rule on.

**Coming in.** A program sends its key as `Authorization: Bearer pbk_…`; what it may do stands in the key's scopes. Pages
use the cookie of a session, and then every change must come from the service's own origin.

**Errors** are problem details (RFC 9457, `application/problem+json`).

**Lists** come by page: `?limit=` items after the cursor `?after=`; the answer's `next` is the next cursor, or null.

**States.** A GET gives an `ETag`; with `If-None-Match` it answers 304 while nothing has changed. What changes a resource
sends that tag as `If-Match`: 412 if it has changed since, 428 without it.

**Again.** A POST with an `Idempotency-Key` can be sent again after a broken connection: it is done once, and answered alike.

**Values.** A measured value stands beside its expanded uncertainty, `…_u95` or `U95` (95 %). Where there is no value, there is
null or a reason. Times within a clip are seconds on its clock, moments are RFC 3339 with a zone.
"""
TAGS: Final = (
    ("sessions", "Signing in and out."),
    ("people", "People of the gym, their links, consents and reports of pain."),
    ("prescriptions", "What athletes are to do."),
    ("clips", "Clips: sending, watching, measuring, deleting."),
    ("results", "What was measured, rep by rep: for program tools."),
    ("review", "What needs a person: rulings, corrections, notes, agreement."),
    ("models", "Movements, demand, paths: what needs no clip."),
    ("keys and hooks", "Keys of programs, and where the gym's program tool is told of news."),
    ("service", "Of the service itself."),
)
OPEN: Final = ("/session", "/link", "/invitation")
"""Where nobody is known yet, by the end of the path; only for POST."""
EXAMPLES: Final = {
    "name": "push-up",
    "after": EXAMPLE_CURSOR,
    "since": EXAMPLE_CURSOR,
    "athlete": EXAMPLE_ID,
    "clip": EXAMPLE_ID,
    "movement": "push-up",
    "variant": "push-up, hands 30 cm up",
    "if-match": '"9f2c4b1e7d3a5f60"',
    "Upload-Length": 31_457_280,
    "Upload-Offset": 8_388_608,
    "Upload-Checksum": "sha256 LCa0a2j/xo/5m0U8HTBBNBNCLXBkg7+g+YpeiGJm564=",
}
"""By parameter."""
ONCE_ANYWAY: Final = ("/clips", "/uploads")
"""Where the same file is the same clip, and an upload goes on by its address."""


def describe(app: FastAPI) -> None:
    """Let the app give this document."""

    def document() -> dict[str, Any]:
        if app.openapi_schema is None:
            app.openapi_schema = _document(app)
        return app.openapi_schema

    app.openapi = document  # type: ignore[method-assign]  # the way that FastAPI documents


def _document(app: FastAPI) -> dict[str, Any]:
    schema = get_openapi(
        title=TITLE,
        version="1",
        description=ABOUT,
        routes=app.routes,
        tags=[{"name": name, "description": said} for name, said in TAGS],
        separate_input_output_schemas=False,
    )
    parts = schema.setdefault("components", {})
    parts["schemas"] |= _problem_schemas()
    parts["securitySchemes"] = {
        "key": {"type": "http", "scheme": "bearer", "description": "A program's key, `pbk_…`."},
        "session": {
            "type": "apiKey",
            "in": "cookie",
            "name": "plumbrep",
            "description": "Set by POST /session or /link.",
        },
    }
    for path, operations in schema["paths"].items():
        for method, operation in operations.items():
            _tell_examples(operation)
            open_to_all = method == "post" and path.endswith(OPEN)
            operation["security"] = [] if open_to_all else [{"key": []}, {"session": []}]
            _tell_problems(operation)
            if method == "post" and not path.endswith((*OPEN, *ONCE_ANYWAY)):
                operation.setdefault("parameters", []).append(PARAMETER)
    return schema


def _problem_schemas() -> dict[str, Any]:
    schema = ProblemDetails.model_json_schema(ref_template="#/components/schemas/{model}")
    return {**schema.pop("$defs"), "Problem": schema}


def _tell_examples(operation: dict[str, Any]) -> None:
    """Identifiers, cursors and tags look alike everywhere."""
    for parameter in operation.get("parameters", []):
        name, schema = parameter["name"], parameter["schema"]
        if name in EXAMPLES and "examples" not in schema:
            parameter["example"] = EXAMPLES[name]
        elif name.endswith("_id"):
            parameter["example"] = EXAMPLE_NUMBER if schema.get("type") == "integer" else EXAMPLE_ID


def _tell_problems(operation: dict[str, Any]) -> None:
    """FastAPI tells of its own form of validation errors; here they are problems like all others."""
    operation["responses"].pop("422", None)
    operation["responses"]["default"] = {
        "description": "A problem.",
        "content": {MEDIA_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}},
    }
