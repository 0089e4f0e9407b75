"""What a page answers to somebody who shows a password or a code: a new session, or how long to wait."""

from fastapi.responses import RedirectResponse
from starlette.responses import Response

from service.access.browser import cookie
from service.access.errors import TooManyTries
from service.access.sessions import Entered
from service.api.state import Parts


def let_in(entered: Entered, parts: Parts, to: str) -> Response:
    """Go on to a page of our own, with the session that was just begun."""
    response = RedirectResponse(to, 303, headers={"Cache-Control": "no-store"})
    response.set_cookie(value=entered.token, expires=entered.expires, **cookie(parts.settings))
    return response


def let_wait(page: Response, fault: Exception) -> Response:
    """The page that says what is wrong; where that is too many tries, with the status and the seconds to wait."""
    if isinstance(fault, TooManyTries):
        page.status_code = 429
        page.headers["Retry-After"] = str(fault.wait)
    return page
