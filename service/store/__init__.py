"""Where clips and what was drawn from them are kept: a local folder, or an S3-speaking store.

Keys are `clips/<clip id>/<name>`; nothing there is named after a person.
"""

from service.store.keys import ClipFiles
from service.store.opening import open_store
from service.store.store import Exists, Missing, Store, StoreError

__all__ = ["ClipFiles", "Exists", "Missing", "Store", "StoreError", "open_store"]
