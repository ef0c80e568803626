from google.protobuf.internal import enum_type_wrapper as _enum_type_wrapper
from google.protobuf import descriptor as _descriptor
from google.protobuf import message as _message
from typing import ClassVar as _ClassVar, Optional as _Optional, Union as _Union

DESCRIPTOR: _descriptor.FileDescriptor
ERROR_REASON_BOARD_OUTSIDE_SAW_LIMITS: ErrorReason
ERROR_REASON_BUSY: ErrorReason
ERROR_REASON_CALLER_LIMIT: ErrorReason
ERROR_REASON_CALL_ENDED: ErrorReason
ERROR_REASON_CONFIRMATION_ID_USED: ErrorReason
ERROR_REASON_DEADLINE_OVER: ErrorReason
ERROR_REASON_MALFORMED_REQUEST: ErrorReason
ERROR_REASON_OTHER_SITE: ErrorReason
ERROR_REASON_PLAN_WITHHELD: ErrorReason
ERROR_REASON_REQUEST_TOO_LARGE: ErrorReason
ERROR_REASON_SCOPE_MISSING: ErrorReason
ERROR_REASON_SERVICE_FAULT: ErrorReason
ERROR_REASON_STOPPING: ErrorReason
ERROR_REASON_TOKEN_MISSING: ErrorReason
ERROR_REASON_TOKEN_UNKNOWN: ErrorReason
ERROR_REASON_TRANSPORT: ErrorReason
ERROR_REASON_UNKNOWN_CALL: ErrorReason
ERROR_REASON_UNKNOWN_COMPRESSION: ErrorReason
ERROR_REASON_UNKNOWN_HOST: ErrorReason
ERROR_REASON_UNKNOWN_PATH: ErrorReason
ERROR_REASON_UNKNOWN_SAW: ErrorReason
ERROR_REASON_UNREADABLE_STATE: ErrorReason
ERROR_REASON_UNSPECIFIED: ErrorReason
ERROR_REASON_WRONG_CONTENT_TYPE: ErrorReason
ERROR_REASON_WRONG_FIELDS: ErrorReason
ERROR_REASON_WRONG_METHOD: ErrorReason
ERROR_REASON_WRONG_SEQUENCE: ErrorReason
FAULT_REASON_CONTRADICTION: FaultReason
FAULT_REASON_DUPLICATE: FaultReason
FAULT_REASON_MISSING: FaultReason
FAULT_REASON_NOT_UTF8: FaultReason
FAULT_REASON_OUTSIDE_SAW_LIMITS: FaultReason
FAULT_REASON_OUT_OF_RANGE: FaultReason
FAULT_REASON_UNKNOWN_FIELD: FaultReason
FAULT_REASON_UNKNOWN_NAME: FaultReason
FAULT_REASON_UNKNOWN_WORD: FaultReason
FAULT_REASON_UNSPECIFIED: FaultReason
FAULT_REASON_WRONG_COUNT: FaultReason
FAULT_REASON_WRONG_LENGTH: FaultReason
FAULT_REASON_WRONG_TURN: FaultReason
FAULT_REASON_WRONG_TYPE: FaultReason

class FieldFault(_message.Message):
    __slots__ = ["path", "reason", "says"]
    PATH_FIELD_NUMBER: _ClassVar[int]
    REASON_FIELD_NUMBER: _ClassVar[int]
    SAYS_FIELD_NUMBER: _ClassVar[int]
    path: str
    reason: FaultReason
    says: str
    def __init__(self, path: _Optional[str] = ..., reason: _Optional[_Union[FaultReason, str]] = ..., says: _Optional[str] = ...) -> None: ...

class ErrorReason(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []

class FaultReason(int, metaclass=_enum_type_wrapper.EnumTypeWrapper):
    __slots__ = []
