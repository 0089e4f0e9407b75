"""Problem details (RFC 9457): how every error is told, whatever caused it.

Source: RFC 9457, Problem Details for HTTP APIs. `type` is an address of this service under which the kind is described,
or about:blank where the status says it all.
"""

from collections.abc import Mapping, Sequence
from http import HTTPStatus
from typing import Annotated, Any, Final

import structlog
from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from pydantic import BaseModel, ConfigDict, Field
from sqlalchemy.exc import IntegrityError
from starlette.exceptions import HTTPException
from starlette.responses import JSONResponse, Response

from models.errors import BadInput
from service.access.errors import CodeNeeded, NotLetIn, QuotaSpent, TooManyTries

MEDIA_TYPE: Final = "application/problem+json"
PLACE: Final = "/api/v1/problems"
KINDS: Final[Mapping[str, tuple[int, str]]] = {
    "invalid": (422, "The request is well formed, but something in it is wrong; `errors` says what and where."),
    "bad-input": (422, "Something that was given cannot be used; `detail` says why, and what to do."),
    "changed-since": (412, "The resource has changed since it was read; read it again, and repeat the change on that."),
    "no-version": (428, "Say with If-Match which state is to be changed: send the ETag that the last GET gave."),
    "key-reused": (422, "This Idempotency-Key came with another request before; take a new key for a new request."),
    "key-in-use": (409, "A request with this Idempotency-Key is still being answered; send it again in a moment."),
    "cursor": (422, "`after` or `since` is no cursor of this list; leave it out to begin at the start."),
    "cursor-gone": (410, "A backup was restored since: forget what was read, and begin again without a cursor."),
    "offset": (409, "Upload-Offset is not where the upload stands; ask with HEAD, and go on from there."),
    "upload-gone": (410, "The upload took too long and is no longer kept; begin it anew."),
    "upload-busy": (423, "Another request is writing to this upload; ask with HEAD, and go on when it has ended."),
    "checksum": (460, "What came is not what Upload-Checksum says; send it again from the same offset."),
    "quota": (429, "This athlete has sent as many clips as one day allows; Retry-After says when more may come."),
    "no-room": (507, "The service has no room left for this clip; tell who runs it."),
    "no-consent": (409, "No clip of this athlete may be taken: a consent is missing or was withdrawn."),
    "files-gone": (410, "The clip's files were kept as long as the gym keeps them; its numbers are still there."),
    "not-ready": (409, "The clip is not measured yet, or could not be; its state says which."),
    "code-needed": (
        401,
        "The password is right; send it again with `code`, the digits that the app on the phone shows.",
    ),
    "conflict": (409, "It does not go together with what is there already; `detail` says with what."),
}
"""Each kind that has an address, with its status and what it means."""

log = structlog.get_logger(__name__)


class Fault(BaseModel):
    """One thing that is wrong in a request."""

    where: Annotated[str, Field(description="The field or parameter.", examples=["body.name"])]
    message: Annotated[str, Field(description="What is wrong with it.", examples=["Field required"])]


class ProblemDetails(BaseModel):
    """An error, as RFC 9457 has it."""

    model_config = ConfigDict(title="Problem")

    type: Annotated[str, Field(description="What kind of problem it is.", examples=[f"{PLACE}/invalid", "about:blank"])]
    title: Annotated[str, Field(description="The kind in a few words.", examples=["Unprocessable Content"])]
    status: Annotated[int, Field(description="The HTTP status.", examples=[422])]
    detail: Annotated[
        str | None, Field(description="What is wrong and what to do.", examples=["The request is wrong in one place."])
    ] = None
    errors: Annotated[list[Fault], Field(description="All that is wrong, where it can be told.")] = []


class Problem(HTTPException):
    """An error to answer with. `kind` is one of `KINDS`, which sets the status; without one it is the status alone."""

    def __init__(
        self,
        kind: str | int,
        detail: str | None = None,
        *,
        headers: Mapping[str, str] | None = None,
        errors: Sequence[Fault] = (),
    ) -> None:
        self.kind = kind if isinstance(kind, str) else None
        status, meaning = KINDS[kind] if isinstance(kind, str) else (kind, None)
        super().__init__(status, detail or meaning, headers)
        self.errors = errors


def install(app: FastAPI) -> None:
    """Answer every error of the app with problem details."""
    app.add_exception_handler(HTTPException, _of_http)
    app.add_exception_handler(RequestValidationError, _of_validation)
    app.add_exception_handler(BadInput, _of_bad_input)
    app.add_exception_handler(NotLetIn, _of_not_let_in)
    app.add_exception_handler(TooManyTries, _of_too_many)
    app.add_exception_handler(QuotaSpent, _of_too_many)
    app.add_exception_handler(IntegrityError, _of_clash)
    app.add_exception_handler(Exception, _of_fault)


def answer(
    status: int,
    kind: str | None = None,
    detail: str | None = None,
    *,
    errors: Sequence[Fault] = (),
    headers: Mapping[str, str] | None = None,
) -> Response:
    """The response that tells a problem."""
    told = ProblemDetails(
        type=f"{PLACE}/{kind}" if kind else "about:blank",
        title=kind.replace("-", " ").capitalize() if kind else phrase(status),
        status=status,
        detail=detail,
        errors=list(errors),
    )
    content = told.model_dump(exclude_defaults=True)
    return JSONResponse(
        content, status, headers={"Cache-Control": "no-store", **(headers or {})}, media_type=MEDIA_TYPE
    )


def phrase(status: int) -> str:
    """What a status is called; tus has one of its own."""
    try:
        return HTTPStatus(status).phrase
    except ValueError:
        return "Checksum Mismatch"


async def _of_http(_request: Request, fault: Exception) -> Response:
    if not isinstance(fault, HTTPException):
        raise fault
    kind, errors = (fault.kind, fault.errors) if isinstance(fault, Problem) else (None, ())
    detail = fault.detail if fault.detail != phrase(fault.status_code) else None
    return answer(fault.status_code, kind, detail, errors=errors, headers=fault.headers)


async def _of_validation(_request: Request, fault: Exception) -> Response:
    if not isinstance(fault, RequestValidationError):
        raise fault
    errors = [_fault(each) for each in fault.errors()]
    return answer(422, "invalid", "; ".join(f"{each.where}: {each.message}" for each in errors[:3]), errors=errors)


async def _of_bad_input(_request: Request, fault: Exception) -> Response:
    return answer(422, "bad-input", str(fault))


async def _of_not_let_in(_request: Request, fault: Exception) -> Response:
    kind = "code-needed" if isinstance(fault, CodeNeeded) else None
    return answer(401, kind, str(fault), headers={"WWW-Authenticate": "Bearer"})


async def _of_too_many(_request: Request, fault: Exception) -> Response:
    if not isinstance(fault, TooManyTries | QuotaSpent):
        raise fault
    kind = "quota" if isinstance(fault, QuotaSpent) else None
    return answer(429, kind, str(fault), headers={"Retry-After": str(fault.wait)})


async def _of_clash(_request: Request, _fault: Exception) -> Response:
    """Two changes at the same moment, of which the database took one."""
    return answer(409, "conflict", "Somebody else changed the same thing at this moment; read it again.")


async def _of_fault(request: Request, fault: Exception) -> Response:
    """A fault of ours: the log has it, the answer does not."""
    log.error("unexpected fault", method=request.method, path=request.url.path, exc_info=fault)
    told = "Something went wrong here. It has been written down; try again later."
    return answer(500, None, told, headers=request.scope.get("security_headers"))


def _fault(error: Any) -> Fault:
    """One fault of pydantic's, without what was sent: that may be a password."""
    return Fault(where=".".join(str(part) for part in error["loc"]), message=error["msg"].removeprefix("Value error, "))
