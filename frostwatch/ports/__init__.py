"""What the service asks of the outside world: a ledger, an outbox, forecasts, channels.

Each port is as small as its user needs. Adapters live in ``storage``, ``weather`` and
``messages``; ``frostwatch.wiring`` builds them; tests hand in fakes or an in-memory ledger.
"""

from frostwatch.ports.basis import BasisStore, FrameBasis, PassBasis
from frostwatch.ports.ledger import (
    Book,
    KeptDecision,
    KeptState,
    Ledger,
    SitePass,
)
from frostwatch.ports.lessons import (
    AirReading,
    Intake,
    KeptGuess,
    Lesson,
    LessonStore,
    SeenNight,
)
from frostwatch.ports.links import AnswerLink, Heard, LinkStore
from frostwatch.ports.outbox import (
    Channels,
    Message,
    MessageStatus,
    OutboxRow,
    OutboxStore,
    Refused,
    Sent,
)
from frostwatch.ports.weather import Forecasts, Heights, Reply, ReplyStore, TerrainStore

__all__ = [
    "AirReading",
    "AnswerLink",
    "BasisStore",
    "Book",
    "Channels",
    "Forecasts",
    "FrameBasis",
    "Heard",
    "Heights",
    "Intake",
    "KeptDecision",
    "KeptGuess",
    "KeptState",
    "Ledger",
    "Lesson",
    "LessonStore",
    "LinkStore",
    "Message",
    "MessageStatus",
    "OutboxRow",
    "OutboxStore",
    "PassBasis",
    "Refused",
    "Reply",
    "ReplyStore",
    "SeenNight",
    "Sent",
    "SitePass",
    "TerrainStore",
]
