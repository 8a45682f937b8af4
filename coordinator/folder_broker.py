"""A broker of files in a folder, for one machine without Redis: kombu's own, made safe to share.

Kombu opens a message file under its final name and then writes it, so a reader that looks in
between takes away an empty message and stops. Here a file gets its name when it is complete.
"""

import time
import uuid
from pathlib import Path
from typing import Any

from kombu.transport import filesystem
from kombu.utils.encoding import str_to_bytes
from kombu.utils.json import dumps

SCHEME = "folder"


class Channel(filesystem.Channel):
    """Puts each message into the folder in one step."""

    def _put(  # type: ignore[override]  # kombu's own two bases disagree
        self, queue: str, payload: dict[str, Any], **_kwargs: Any
    ) -> None:
        folder = Path(self.data_folder_out)
        name = f"{time.time_ns() // 1_000_000}_{uuid.uuid4()}.{queue}.msg"
        unfinished = folder / f"{uuid.uuid4()}.unfinished"
        unfinished.write_bytes(str_to_bytes(dumps(payload)))
        unfinished.rename(folder / name)


class Transport(filesystem.Transport):
    """Kombu's transport with the safe channel."""

    Channel = Channel
