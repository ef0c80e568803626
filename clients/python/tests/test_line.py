import socket
import threading
import unittest

from examples.line import ORDER, SAW, objection, run
from ripwright.line import Line
from ripwright.refusal import Refusal
from ripwright.rpc import Connection
from ripwright.v1 import board_pb2, line_pb2, plan_pb2, setting_pb2

from .service import ServiceTest

SOON = 120  # seconds within which each answer must come; much more than it takes


def set_up(name, **more):
    return line_pb2.LineSetUp(run_id=name, saw=SAW, order=ORDER, **more)


def board(name, length=2000):
    one = board_pb2.Board(board_id=name, length_mm=length, stations=[board_pb2.Station(far_mm=210)])
    return line_pb2.LineBoard(board=one)


def cut(answer):
    return line_pb2.CutConfirmation(board_sequence=answer.sequence, outcome=line_pb2.CUT_OUTCOME_AS_PLANNED)


class Cable:
    """Passes a connection on to an address until it is pulled."""

    def __init__(self, to):
        host, port = to.rsplit(":", 1)
        self._to, self.pulled, self._open = (host, int(port)), False, []
        self._listener = socket.create_server(("127.0.0.1", 0))
        self.address = "127.0.0.1:%d" % self._listener.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    def _accept(self):
        try:
            while True:
                near, far = self._listener.accept()[0], socket.create_connection(self._to)
                self._open += [near, far]
                for a, b in ((near, far), (far, near)):
                    threading.Thread(target=self._copy, args=(a, b), daemon=True).start()
        except OSError:
            pass  # closed

    def _copy(self, a, b):
        try:
            while data := a.recv(1 << 16):
                if not self.pulled:
                    b.sendall(data)
        except OSError:
            pass  # closed

    def __enter__(self):
        return self

    def __exit__(self, *_):
        for s in (self._listener, *self._open):
            s.close()


class LineTest(ServiceTest):
    def test_a_run_that_breaks_comes_to_the_same_as_one_that_does_not(self):
        said = []
        broken = run(self.service.grpc, break_after=3, within_ms=0, patience_s=SOON, say=said.append, name="run")
        self.assertEqual(broken.planned, 8)
        self.assertEqual(len(said), 8)
        self.assertNotIn("refused", "".join(said))
        self.assertTrue(broken.items and all(i.length_m > 0 for i in broken.items))
        self.assertEqual(broken, run(self.service.grpc, break_after=0, within_ms=0, patience_s=SOON, name="run"))

    def test_a_run_goes_on_by_another_replica_when_its_own_is_killed(self):
        first, second = self.start(), self.start()
        at = [first.grpc, second.grpc]
        with Line(lambda attempt: Connection(at[min(attempt, 1)]), set_up=set_up("killed"), patience_s=SOON) as line:
            planned = line.board(board("b1")).result(SOON)
            first.kill()
            line.confirm(cut(planned)).result(SOON)
            line.confirm(cut(line.board(board("b2")).result(SOON))).result(SOON)
            summary = line.end().result(SOON).summary
        self.assertEqual((summary.planned, summary.unconfirmed), (2, 0))
        strips = sum(1 for p in planned.plan.plan.pockets if p.item_id)
        self.assertEqual(sum(i.strips for i in summary.items), 2 * strips)

    def test_a_run_goes_on_from_its_state_when_the_program_was_started_anew(self):
        kept = []
        with Line(lambda _: Connection(self.service.grpc), set_up=set_up("anew"), keep=kept.append) as line:
            planned = line.board(board("b1")).result(SOON)
        with self.assertRaisesRegex(RuntimeError, "closed"):
            line.confirm(cut(planned)).result(SOON)

        with Line(lambda _: Connection(self.service.grpc), state=kept[-1]) as again:
            settled = again.confirm(cut(planned))
            self.assertEqual([(u.board_sequence, u.board_id) for u in again.ready.result(SOON).resumed.ready.unconfirmed], [(planned.sequence, "b1")])
            self.assertEqual(settled.result(SOON).settled.result, plan_pb2.CONFIRMATION_RESULT_COUNTED)
            self.assertEqual(again.confirm(cut(planned)).result(SOON).settled.result, plan_pb2.CONFIRMATION_RESULT_COUNTED_BEFORE)
            self.assertEqual(again.end().result(SOON).summary.outcomes[0].boards, 1)

    def test_a_run_goes_on_when_its_network_is_gone_without_a_word(self):
        options = (("grpc.keepalive_time_ms", 1000), ("grpc.keepalive_timeout_ms", 500))
        with Cable(self.service.grpc) as cable:

            def connect(attempt):
                return Connection(self.service.grpc if attempt else cable.address, options=options)

            with Line(connect, set_up=set_up("pulled"), patience_s=SOON) as line:
                planned = line.board(board("b1")).result(SOON)
                cable.pulled = True
                self.assertEqual(line.confirm(cut(planned)).result(SOON).settled.result, plan_pb2.CONFIRMATION_RESULT_COUNTED)
                self.assertEqual(line.end().result(SOON).summary.planned, 1)

    def test_what_cannot_be_followed_is_refused_in_its_place(self):
        with Line(lambda _: Connection(self.service.grpc), set_up=set_up("refused")) as line:
            wrong, right = line.board(board("b1", length=-1)), line.board(board("b2"))
            refused = wrong.result(SOON).refused
            self.assertEqual(refused.reason, line_pb2.LINE_REFUSAL_REASON_INVALID)
            self.assertIn("length_mm", refused.faults[0].path)
            self.assertTrue(right.result(SOON).HasField("plan"))

    def test_a_set_up_that_is_wrong_ends_the_line_and_says_by_field_why(self):
        line = Line(lambda _: Connection(self.service.grpc), set_up=set_up("wrong", boards_in_flight=65))
        with self.assertRaises(Refusal) as caught:
            line.ready.result(SOON)
        self.assertEqual(caught.exception.code, "INVALID_ARGUMENT")
        self.assertIn("boards_in_flight", caught.exception.faults[0].field)
        with self.assertRaises(Refusal):
            line.board(board("b1")).result(SOON)
        line.close()

    def test_a_service_that_stays_away_is_given_up_after_the_patience(self):
        away = self.start()
        away.kill()
        with Line(lambda _: Connection(away.grpc), set_up=set_up("away"), patience_s=0.3) as line:
            with self.assertRaises(Refusal) as caught:
                line.ready.result(SOON)
        self.assertEqual(caught.exception.code, "UNAVAILABLE")

    def test_a_state_that_cannot_be_kept_is_told(self):
        def full(_):
            raise OSError("the disk is full")

        with Line(lambda _: Connection(self.service.grpc), set_up=set_up("full"), keep=full) as line:
            with self.assertRaisesRegex(OSError, "full"):
                line.ready.result(SOON)


class ControllerTest(unittest.TestCase):
    def check(self, board_id="b", fingerprint="f", fence_mm=60, blades_mm=(130, 220, 310)):
        plan = plan_pb2.Plan(setting=setting_pb2.Setting(fence_mm=fence_mm, blades_mm=blades_mm))
        return objection("b", "f", line_pb2.LinePlan(board_id=board_id, arbor_fingerprint=fingerprint, plan=plan))

    def test_a_controller_refuses_what_it_must(self):
        self.assertIsNone(self.check())
        self.assertIn("board c", self.check(board_id="c"))
        self.assertIn("arbor", self.check(fingerprint="g"))
        self.assertIn("fence", self.check(fence_mm=241))
        self.assertIn("blade 0", self.check(blades_mm=(131, 220, 310)))
        self.assertIn("blade 1", self.check(blades_mm=(130, 340, 390)))
        self.assertIn("too near", self.check(blades_mm=(130, 220, 250)))
        self.assertIn("2 blades", self.check(blades_mm=(130, 220)))


if __name__ == "__main__":
    unittest.main()
