"""`plumbrep work`: a worker of its own, on this machine or another."""

from service.commands.service_settings import reaching, read_settings, require_folder


def work() -> None:
    """Measure clips from the queue until told to stop."""
    settings = read_settings()
    require_folder(settings)
    from service.records.migrate import require_current
    from service.running.work import work as run

    with reaching():
        require_current(settings.database_url)
        run(settings)
