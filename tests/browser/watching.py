"""Notes what a page must not do: write errors to the console, fail, or ask another host for anything."""

from urllib.parse import urlsplit

from playwright.sync_api import BrowserContext, ConsoleMessage, Request, WebError


class Watch:
    """What went wrong in a browser's context."""

    def __init__(self, context: BrowserContext, url: str) -> None:
        self._host = urlsplit(url).netloc
        self._expected = ["Service Worker registration blocked by Playwright"]
        self._seen: list[str] = []
        context.on("console", self._console)
        context.on("weberror", self._failed)
        context.on("request", self._asked)

    def expect(self, text: str) -> None:
        """Let a message pass that holds this text: `404` where a test asks for what is not there."""
        self._expected.append(text)

    @property
    def wrong(self) -> list[str]:
        """All that went wrong and was not expected."""
        return [each for each in self._seen if not any(text in each for text in self._expected)]

    def _console(self, message: ConsoleMessage) -> None:
        if message.type in ("error", "warning"):
            self._seen.append(f"console: {message.text} ({message.location.get('url')})")

    def _failed(self, error: WebError) -> None:
        self._seen.append(f"fault: {error.error}")

    def _asked(self, request: Request) -> None:
        address = urlsplit(request.url)
        if address.scheme in ("http", "https", "ws", "wss") and address.netloc != self._host:
            self._seen.append(f"another host: {request.url}")
