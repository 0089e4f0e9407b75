"""What pages tell the browser about itself: our own files and nothing else (ASVS 5.0, 3.4.3, 3.4.5, 3.4.6).

The other headers are those of every answer: see `service.api.headers`.
"""

from typing import Final

CONTENT: Final = {
    "default-src": "'none'",
    "object-src": "'none'",
    "script-src": "'self'",
    "style-src": "'self'",
    "img-src": "'self' blob: data:",
    "media-src": "'self' blob:",
    "connect-src": "'self'",
    "worker-src": "'self'",
    "form-action": "'self'",
    "base-uri": "'none'",
    "frame-ancestors": "'none'",
}
PAGE: Final = {
    "Content-Security-Policy": "; ".join(f"{name} {value}" for name, value in CONTENT.items()),
    # With "no-referrer" a form would not tell the origin that it is sent from, and `forged` asks for it.
    "Referrer-Policy": "same-origin",
}
NOTHING: Final = (
    "accelerometer=(), camera=(), geolocation=(), gyroscope=(), magnetometer=(), microphone=(), payment=(), usb=()"
)
FILMING: Final = "accelerometer=(self), camera=(self), geolocation=(), gyroscope=(self), magnetometer=(), microphone=(), payment=(), usb=()"
"""For the athlete's pages: a picture and how the phone is held, no sound."""


def headers(*, filming: bool = False) -> dict[str, str]:
    """The headers of a page. No cache keeps it, for it shows people's results; the athlete's own phone does: see `sw.ts`."""
    return {**PAGE, "Permissions-Policy": FILMING if filming else NOTHING, "Cache-Control": "private, no-store"}
