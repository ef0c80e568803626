"""The live line."""

import collections
import queue
import threading
import time
from concurrent.futures import Future
from typing import Callable, Deque, Iterator, Optional, Tuple

import grpc

from .rpc import Connection, refusal
from .v1 import line_pb2, order_pb2

# The pause before the first attempt to reconnect, and before each later one.
_PAUSES_S = (0.1, 1.0)
_MENDS = (grpc.StatusCode.UNAVAILABLE, grpc.StatusCode.CANCELLED)

Answer = line_pb2.RunLineResponse


class Line:
    """A run of the live line over as many streams as it takes.

    Every message gets exactly one answer, as a Future. If a stream breaks, the run
    continues from the last state, and unanswered messages are sent again with their
    own numbers, so nothing is lost or counted twice. A dead connection is noticed
    after 13 s by default; its options can change that.

    connect is called with 0, 1, 2, ... at the start and after each break: return
    another replica each time, if there are several. set_up starts a run; state
    continues one from its last stored state. keep is called with every new state
    before the answer is returned: store it where it survives a crash of this
    program. Once the service has been unreachable for patience_s, waiting messages
    fail.

    A Future's result(timeout) is not a clock for a saw: a controller needs its own
    for every board, and discards an answer that comes too late.
    """

    def __init__(
        self,
        connect: Callable[[int], Connection],
        set_up: Optional[line_pb2.LineSetUp] = None,
        state: Optional[bytes] = None,
        keep: Optional[Callable[[bytes], None]] = None,
        patience_s: float = 10,
    ):
        if (set_up is None) == (state is None):
            raise TypeError("a line begins with either set_up or state")
        self._connect, self._keep, self._patience_s = connect, keep, patience_s
        self._state = state
        self._lock = threading.Lock()
        self._waiting: Deque[Tuple[line_pb2.RunLineRequest, "Future[Answer]"]] = collections.deque()
        self._sequence = 0
        self._outbox: Optional["queue.SimpleQueue[Optional[line_pb2.RunLineRequest]]"] = None
        self._call: Optional[grpc.Call] = None
        self._closing = threading.Event()
        self._failed: Optional[BaseException] = None
        self._heard = time.monotonic()
        self._tries = 0  # since the last answer
        # The first answer: the run is ready. After a state, later numbers are known
        # once it has come.
        self.ready: "Future[Answer]" = Future()
        self._taken_up = threading.Event()
        self.ready.set_running_or_notify_cancel()
        if set_up is not None:
            self._taken_up.set()
            self.ready = self._send(set_up=set_up)
        self._thread = threading.Thread(target=self._run, name="ripwright-line", daemon=True)
        self._thread.start()

    def board(self, board: line_pb2.LineBoard) -> "Future[Answer]":
        """Plans a board. The answer has plan, or refused."""
        return self._send(board=board)

    def confirm(self, confirmation: line_pb2.CutConfirmation) -> "Future[Answer]":
        """Reports the outcome of a board, by the sequence of the answer that planned it."""
        return self._send(confirmation=confirmation)

    def order(self, order: order_pb2.CutOrder) -> "Future[Answer]":
        """The order from the next board on."""
        return self._send(order_change=line_pb2.OrderChange(order=order))

    def saw(self, saw: line_pb2.SawChange) -> "Future[Answer]":
        """The saw from the next board on."""
        return self._send(saw_change=saw)

    def end(self) -> "Future[Answer]":
        """Ends the run. The answer has its summary."""
        return self._send(end=line_pb2.EndOfRun())

    def close(self) -> None:
        """Leaves the run as it is. It can be continued from its state."""
        self._closing.set()
        self.break_off()
        if threading.current_thread() is not self._thread:
            self._thread.join()

    def break_off(self) -> None:
        """Breaks the stream, to test what happens then."""
        call = self._call
        if call is not None:
            call.cancel()

    def __enter__(self) -> "Line":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def _send(self, **message) -> "Future[Answer]":
        self._taken_up.wait()
        future: "Future[Answer]" = Future()
        future.set_running_or_notify_cancel()  # a message that was sent cannot be cancelled
        with self._lock:
            if self._failed is not None or self._closing.is_set():
                future.set_exception(self._failed or RuntimeError("the line is closed"))
                return future
            self._sequence += 1
            request = line_pb2.RunLineRequest(sequence=self._sequence, **message)
            if not self._waiting:
                self._heard = time.monotonic()
            self._waiting.append((request, future))
            if self._outbox is not None:
                self._outbox.put(request)
        return future

    def _run(self) -> None:
        """Continues the run on one stream after another until it ends."""
        attempt, failure = 0, None
        while not self._closing.is_set() and failure is None:
            try:
                failure = self._stream(self._connect(attempt))
            except grpc.RpcError as err:
                with self._lock:
                    wanted = self._waiting or not self._taken_up.is_set()
                out_of_reach = wanted and time.monotonic() - self._heard > self._patience_s
                if err.code() not in _MENDS or out_of_reach:
                    failure = refusal(err)
                else:
                    self._closing.wait(_PAUSES_S[min(self._tries, 1)])
                    self._tries += 1
            except Exception as err:  # of connect: waiting callers must get it
                failure = err
            attempt += 1
        self._fail(failure or RuntimeError("the line is closed"))

    def _stream(self, connection: Connection) -> Optional[BaseException]:
        outbox: "queue.SimpleQueue[Optional[line_pb2.RunLineRequest]]" = queue.SimpleQueue()
        resuming = self._state is not None
        with self._lock:
            if resuming:
                outbox.put(line_pb2.RunLineRequest(resume=line_pb2.LineResume(state=self._state)))
            for request, _ in self._waiting:
                outbox.put(request)
            self._outbox = outbox
        try:
            self._call = connection.rip.RunLine(iter(outbox.get, None))
            if self._closing.is_set():
                self._call.cancel()
            return self._heed(self._call, resuming)
        finally:
            with self._lock:
                self._outbox = None
            outbox.put(None)
            connection.close()

    def _heed(self, answers: Iterator[Answer], resuming: bool) -> Optional[BaseException]:
        for answer in answers:
            self._heard, self._tries = time.monotonic(), 0
            if resuming:
                resuming = False
                if not self._taken_up.is_set():
                    self._sequence = answer.sequence
                    self._taken_up.set()
                    self.ready.set_result(answer)
                continue
            with self._lock:
                if not self._waiting or self._waiting[0][0].sequence != answer.sequence:
                    return RuntimeError(f"an answer to message {answer.sequence} came out of turn")
                _, future = self._waiting.popleft()
            self._state = answer.state
            if self._keep is not None:
                try:
                    self._keep(answer.state)
                except Exception as err:
                    future.set_exception(err)
                    return err
            future.set_result(answer)
            if answer.HasField("summary"):
                return RuntimeError("the run has ended")
        return RuntimeError("the stream ended before the run did")

    def _fail(self, failure: BaseException) -> None:
        with self._lock:
            self._failed = failure
            waiting = [future for _, future in self._waiting]
            self._waiting.clear()
        if not self._taken_up.is_set():
            self._taken_up.set()
            self.ready.set_exception(failure)
        for future in waiting:
            future.set_exception(failure)
