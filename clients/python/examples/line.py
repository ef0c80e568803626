"""The integrator's loop: scan a board, have it planned, check the plan as a
controller must, cut, confirm. After the third board the connection breaks, and the
run continues from its last state.

    python3 -m examples.line --grpc 127.0.0.1:7420

Boards, saw and order are invented. A plan is advice: guards, interlocks, the check
of every position and the permission to feed are the machine's own.
"""

import argparse
import sys
import time
from typing import Callable, Optional

from ripwright.line import Line
from ripwright.refusal import Refusal
from ripwright.rpc import Connection
from ripwright.v1 import board_pb2, line_pb2, order_pb2, plan_pb2, saw_pb2, setting_pb2

# The saw as its controller knows it, from the maker's plate and measured.
SAW = saw_pb2.Saw(
    name="dunlin",
    kerf_mm=3.2,
    step_mm=0.1,
    fence=saw_pb2.Travel(min_mm=20, max_mm=240),
    blades=[
        saw_pb2.Blade(fixed_mm=130),
        saw_pb2.Blade(moving=saw_pb2.Travel(min_mm=180, max_mm=330)),
        saw_pb2.Blade(moving=saw_pb2.Travel(min_mm=240, max_mm=480)),
    ],
    min_gap_mm=30,
    min_strip_width_mm=30,
    limits=saw_pb2.SawLimits(min_length_mm=900, max_width_mm=400),
    feed_m_per_min=24,
    positioning_mm_per_s=120,
    handling_s=2,
)

# The positions of fence and blades, as read from the axes.
STANDS = setting_pb2.Setting(fence_mm=60, blades_mm=[130, 220, 310])

ORDER = order_pb2.CutOrder(
    order_id="F-308",
    items=[
        order_pb2.Item(item_id="slat", width_mm=54, value=12, stack="1", required=order_pb2.Amount(length_m=40)),
        order_pb2.Item(item_id="apron", width_mm=76.2, value=15, stack="2", required=order_pb2.Amount(length_m=25)),
        order_pb2.Item(item_id="top", range=order_pb2.WidthRange(min_mm=40, max_mm=110), value=9, stack="3"),
    ],
)


def scan(n: int) -> board_pb2.Board:
    """Simulates the scanner."""
    width, length = 150 + n * 47 % 110, 1800 + n * 310 % 1500
    return board_pb2.Board(
        board_id=f"b{n + 1}",
        length_mm=length,
        thickness_mm=27,
        stations=[
            board_pb2.Station(x_mm=0, near_mm=0, far_mm=width),
            board_pb2.Station(x_mm=length / 2, near_mm=2, far_mm=width + 1),
            board_pb2.Station(x_mm=length, near_mm=0, far_mm=width - 6),
        ],
    )


def objection(board_id: str, fingerprint: str, plan: line_pb2.LinePlan) -> Optional[str]:
    """Gives the reason why the controller refuses a plan for a board, if it does."""
    if plan.board_id != board_id:
        return f"the plan is for board {plan.board_id}"
    if plan.arbor_fingerprint != fingerprint:
        return "the plan is for another arbor"
    if plan.HasField("do_not_feed"):
        return plan.do_not_feed.says
    fence, blades = plan.plan.setting.fence_mm, plan.plan.setting.blades_mm
    if not SAW.fence.min_mm <= fence <= SAW.fence.max_mm:
        return f"the fence cannot stand at {fence}"
    if len(blades) != len(SAW.blades):
        return f"{len(blades)} blades"
    for i, (at, blade) in enumerate(zip(blades, SAW.blades)):
        if blade.HasField("moving"):
            stands = blade.moving.min_mm <= at <= blade.moving.max_mm
        else:
            stands = at == blade.fixed_mm
        if not stands:
            return f"blade {i} cannot stand at {at}"
        if i > 0 and at - blades[i - 1] - SAW.kerf_mm < SAW.min_gap_mm - 1e-6:
            return f"blade {i} is too near to the one before it"
    return None


def outfeed(plan: plan_pb2.Plan) -> list[line_pb2.CutStrip]:
    """Simulates the gauge at the outfeed: every strip is a little narrower than planned."""
    return [
        line_pb2.CutStrip(
            item_id=p.item_id,
            pocket=i,  # identifies the blades
            width_mm=round(p.width_mm - 0.04, 2),
            stretches=[line_pb2.CutStretch(length_mm=s.to_mm - s.from_mm) for s in p.stretches],
        )
        for i, p in enumerate(plan.pockets)
        if p.item_id
    ]


def run(
    address: str,
    boards: int = 8,
    break_after: int = 3,
    within_ms: float = 500,
    patience_s: float = 10,
    say: Callable[[str], None] = lambda _: None,
    name: Optional[str] = None,
) -> line_pb2.RunSummary:
    """Rips some boards and shows the result of the run."""
    set_up = line_pb2.LineSetUp(
        run_id=name or f"example-{time.time_ns()}", saw=SAW, current_setting=STANDS, order=ORDER, boards_in_flight=4
    )
    wait_s = patience_s + 5  # the line itself gives up after its patience
    # keep=... would store the state where it survives a crash of this program.
    with Line(lambda _: Connection(address), set_up=set_up, patience_s=patience_s) as line:
        # The fingerprint is recorded at commissioning; here it is taken from the answer.
        fingerprint = line.ready.result(wait_s).started.ready.arbor_fingerprint
        for n in range(boards):
            board = scan(n)
            answer = line.board(line_pb2.LineBoard(board=board, answer_within_ms=within_ms or None)).result(wait_s)
            if answer.HasField("refused"):
                faults = "; ".join(f"{f.path} {f.says}" for f in answer.refused.faults)
                say(f"{board.board_id}: {line_pb2.LineRefusalReason.Name(answer.refused.reason)} {faults}")
                continue  # an operator decides about this board
            why = objection(board.board_id, fingerprint, answer.plan)
            outcome = line_pb2.CUT_OUTCOME_NOT_CUT if why else line_pb2.CUT_OUTCOME_AS_MEASURED
            if n + 1 == break_after:
                line.break_off()  # as a cable does
            confirmation = line_pb2.CutConfirmation(
                board_sequence=answer.sequence,
                board_id=board.board_id,
                outcome=outcome,
                strips=[] if why else outfeed(answer.plan.plan),
            )
            settled = line.confirm(confirmation).result(wait_s)
            for drift in settled.settled.drifts:
                say(drift.says)  # for the operator
            for lost in settled.released:
                say(f"{lost.board_id}: taken as not cut")
            for doubt in settled.settled.doubts:
                say(f"{board.board_id}: {doubt.path} {doubt.says}")
            plan = answer.plan.plan
            strips = " + ".join(f"{p.item_id} {p.width_mm:g}" for p in plan.pockets if p.item_id)
            say(f"{board.board_id}: refused, {why}" if why else f"{board.board_id}: fence {plan.setting.fence_mm:g}, {strips}")
        return line.end().result(wait_s).summary


def main() -> int:
    args = argparse.ArgumentParser(description="Runs an invented line against the service.")
    args.add_argument("--grpc", default="127.0.0.1:7420", help="the service, HOST:PORT")
    try:
        summary = run(args.parse_args().grpc, say=print)
    except Refusal as err:
        print(err, *(f"  {f.field} {f.description}" for f in err.faults), sep="\n", file=sys.stderr)
        return 1
    print(f"{summary.planned} boards planned, {summary.unconfirmed} without confirmation")
    for i in summary.items:
        print(f"  {i.item_id}: {i.strips} strips, {i.length_m:.3f} m")
    return 0


if __name__ == "__main__":
    sys.exit(main())
