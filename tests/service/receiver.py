"""A mail server on loopback that keeps what it accepts, octet by octet."""

import asyncio
import threading
from dataclasses import dataclass, field
from email import message_from_bytes, policy
from email.message import EmailMessage

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session

from tests.service.servers import LOOPBACK, free_port

ACCEPTED = "250 OK"


@dataclass
class Delivery:
    """One message that the receiver has taken on; ``answered`` when the sender heard so."""

    to: list[str]
    octets: bytes
    session: Session
    answered: bool = False

    @property
    def message(self) -> EmailMessage:
        """Return the message parsed."""
        return message_from_bytes(self.octets, policy=policy.default)

    @property
    def message_id(self) -> str:
        """Return its Message-ID."""
        return str(self.message["Message-ID"])


@dataclass
class Receiver:
    """Takes mail slowly; can stop in the middle of one message, taken on and not yet answered."""

    pause_seconds: float = 0.0
    stop_at: int | None = None
    taken: list[Delivery] = field(default_factory=list)
    reached: threading.Event = field(default_factory=threading.Event)
    go_on: threading.Event = field(default_factory=threading.Event)

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802  # aiosmtpd's name
        """Take one message on."""
        await asyncio.sleep(self.pause_seconds)
        if self.reached.is_set():
            await self._held()  # cut off here when the sender is killed: not taken on
        octets = envelope.content if isinstance(envelope.content, bytes) else b""
        self.taken.append(Delivery(list(envelope.rcpt_tos), octets, session))
        if len(self.taken) == self.stop_at:
            self.reached.set()
            await self._held()
        return ACCEPTED

    async def handle_QUIT(self, server: SMTP, session: Session, envelope: Envelope) -> str:  # noqa: N802  # aiosmtpd's name
        """Note that the sender heard the answers of this session."""
        for delivery in self.taken:
            if delivery.session is session:
                delivery.answered = True
        return "221 Bye"

    async def _held(self) -> None:
        while not self.go_on.is_set():
            await asyncio.sleep(0.05)

    def ids(self) -> list[str]:
        """Return the Message-IDs in the order of their taking."""
        return [delivery.message_id for delivery in self.taken]

    def to(self, mailbox: str) -> list[EmailMessage]:
        """Return the messages for one mailbox, oldest first."""
        return [d.message for d in self.taken if mailbox in d.to]


def serve(receiver: Receiver) -> Controller:
    """Start a receiver on a free port; ``controller.port`` says which."""
    controller = Controller(receiver, hostname=LOOPBACK, port=free_port())
    controller.start()
    return controller
