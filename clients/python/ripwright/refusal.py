"""Calls that the service refuses."""

from typing import NamedTuple, Optional, Sequence

# The names of gRPC's statuses by their numbers.
NAMES = (
    "OK", "CANCELLED", "UNKNOWN", "INVALID_ARGUMENT", "DEADLINE_EXCEEDED", "NOT_FOUND", "ALREADY_EXISTS",
    "PERMISSION_DENIED", "RESOURCE_EXHAUSTED", "FAILED_PRECONDITION", "ABORTED", "OUT_OF_RANGE", "UNIMPLEMENTED",
    "INTERNAL", "UNAVAILABLE", "DATA_LOSS", "UNAUTHENTICATED",
)  # fmt: skip


class Fault(NamedTuple):
    """A field that is wrong."""

    field: str  # its path in the request: order.items[0].width_mm
    description: str  # what is wrong and what would be right
    reason: str = ""  # the kind of fault, a value of the schema's FaultReason: OUT_OF_RANGE


class Refusal(Exception):
    """A call that the service refused, by gRPC or JSON."""

    def __init__(
        self,
        code: str,
        message: str,
        faults: Sequence[Fault] = (),
        retry_after_s: Optional[float] = None,
        reason: str = "",
    ):
        super().__init__(f"{code}: {message}")
        self.code = code  # the status by its name: INVALID_ARGUMENT
        self.faults = list(faults)  # the wrong fields, up to a limit
        self.retry_after_s = retry_after_s  # when to try again, if the service says so
        # The reason, a value of the schema's ErrorReason: WRONG_FIELDS. Accept unknown values.
        self.reason = reason
