"""Calls by gRPC."""

from typing import Any, Optional, Sequence, Tuple

import grpc

from . import details_pb2
from .refusal import Fault, Refusal
from .v1 import info_service_pb2_grpc, planning_service_pb2_grpc, rip_service_pb2_grpc, tally_service_pb2_grpc

_OPTIONS = (
    # An answer with a picture or a run's state may be larger than gRPC's default of 4 MiB.
    ("grpc.max_receive_message_length", 64 << 20),
    # A dead network gives no sign, so ping it. The service allows a ping every 5 s.
    ("grpc.keepalive_time_ms", 10_000),
    ("grpc.keepalive_timeout_ms", 3_000),
    ("grpc.keepalive_permit_without_calls", 1),
    ("grpc.http2.max_pings_without_data", 0),
)


class Connection:
    """The services at HOST:PORT. Keep it open; do not make one for every call.

    ca is the PEM of the authorities that sign the service's certificate; if set, TLS is
    used. cert and key are the caller's, if the service requires them.
    options are grpcio's channel options.
    It returns at once; a call waits until the service is reached or its timeout
    is over.
    """

    def __init__(
        self,
        address: str,
        *,
        ca: Optional[bytes] = None,
        cert: Optional[bytes] = None,
        key: Optional[bytes] = None,
        token: Optional[str] = None,
        options: Sequence[Tuple[str, Any]] = (),
    ):
        options = tuple({**dict(_OPTIONS), **dict(options)}.items())
        if ca is None:
            channel = grpc.insecure_channel(address, options)
        else:
            channel = grpc.secure_channel(address, grpc.ssl_channel_credentials(ca, key, cert), options)
        self._channel = channel
        if token is not None:
            channel = grpc.intercept_channel(channel, _Bearer(token))
        self.rip = rip_service_pb2_grpc.RipServiceStub(channel)
        self.planning = planning_service_pb2_grpc.PlanningServiceStub(channel)
        self.info = info_service_pb2_grpc.InfoServiceStub(channel)
        self.tally = tally_service_pb2_grpc.TallyServiceStub(channel)

    def close(self) -> None:
        self._channel.close()

    def __enter__(self) -> "Connection":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def refusal(err: grpc.RpcError) -> Refusal:
    """Converts the error of a failed call to a Refusal.

        try:
            plan = to.rip.SolveBoard(request, timeout=0.2).plan
        except grpc.RpcError as err:
            raise refusal(err)
    """
    faults, retry_after_s, reason = [], None, ""
    for key, value in err.trailing_metadata() or ():
        if key != "grpc-status-details-bin":
            continue
        for d in details_pb2.Status.FromString(value).details:
            if d.type_url.endswith("/google.rpc.BadRequest"):
                violations = details_pb2.BadRequest.FromString(d.value).field_violations
                faults = [Fault(v.field, v.description, v.reason) for v in violations]
            elif d.type_url.endswith("/google.rpc.ErrorInfo"):
                reason = details_pb2.ErrorInfo.FromString(d.value).reason
            elif d.type_url.endswith("/google.rpc.RetryInfo"):
                delay = details_pb2.RetryInfo.FromString(d.value).retry_delay
                retry_after_s = delay.seconds + delay.nanos / 1e9
    return Refusal(err.code().name, err.details() or "no reason given", faults, retry_after_s, reason)


class _Bearer(
    grpc.UnaryUnaryClientInterceptor, grpc.UnaryStreamClientInterceptor, grpc.StreamStreamClientInterceptor
):
    """Sends a token with every call."""

    def __init__(self, token: str):
        self._header = ("authorization", "Bearer " + token)

    def _with(self, call):
        return call._replace(metadata=[*(call.metadata or ()), self._header])

    def intercept_unary_unary(self, go_on, call, request):
        return go_on(self._with(call), request)

    def intercept_unary_stream(self, go_on, call, request):
        return go_on(self._with(call), request)

    def intercept_stream_stream(self, go_on, call, requests):
        return go_on(self._with(call), requests)
