"""The ERP's question: what lumber does this order take, and what does it cost?

    python3 -m examples.quote --http http://127.0.0.1:7421

By JSON, with nothing but Python. Saw, order and lumber are invented.
"""

import argparse
import sys
from typing import List

from ripwright.refusal import Refusal
from ripwright.web import post

REQUEST = {
    "saw_name": "heron",
    "order": {
        "order_id": "Q-1104",
        "items": [
            {"item_id": "stile", "width_mm": 66.6, "required": {"length_m": 300}},
            {"item_id": "rail", "width_mm": 50, "required": {"pieces": 400}, "piece_length_mm": 550},
        ],
    },
    "lumber": {
        "seed": 7,
        "lots": [
            {
                "lot_id": "random width",
                "price_per_mbf": 4200,
                "spread": {
                    "mean_width_mm": 185,
                    "width_sd_mm": 35,
                    "min_width_mm": 120,
                    "max_width_mm": 300,
                    "thickness_mm": 27,
                    "crook_mm": 3,
                    "lengths": [{"length_mm": 2400, "share": 2}, {"length_mm": 3000, "share": 1}],
                },
            }
        ],
    },
    "objective": "PLAN_OBJECTIVE_COST",
    "simulations": 19,
    # Within this time an answer comes, from as many simulations as ended.
    "time_limit_ms": 20_000,
}


def quote(base: str, request: dict = REQUEST, timeout_s: float = 25) -> List[str]:
    """Asks and gives what a person would want to see."""
    # The timeout is for a network or a server that hangs; the time limit comes first.
    answer = post(base, "QuoteOrder", request, timeout_s=timeout_s)
    lines = [f"{i['item_id']} cannot be had: {i['says']}" for i in answer["impossible"]]
    q = answer.get("quote")
    if q is None or "boards" not in q:
        return [*lines, f"no quote ({answer['result']})"]
    for label, field, digits in (
        ("boards", "boards", 0), ("board feet", "board_feet", 0), ("cost", "cost", 2), ("yield", "yield_ratio", 3)
    ):  # fmt: skip
        e = q.get(field)
        if e is None:
            lines.append(f"{label:12}not known")
            continue
        lines.append(f"{label:12}{e['mean']:.{digits}f} ({e['lower']:.{digits}f} to {e['upper']:.{digits}f})")
    return [*lines, f"from {q['simulations']} simulations"]


def main() -> int:
    args = argparse.ArgumentParser(description="Asks the service for a quote.")
    args.add_argument("--http", default="http://127.0.0.1:7421", help="the service, http://HOST:PORT")
    try:
        print("\n".join(quote(args.parse_args().http)))
    except Refusal as err:
        print(err, *(f"  {f.field} {f.description}" for f in err.faults), sep="\n", file=sys.stderr)
        return 1
    except (OSError, ValueError) as err:  # not reached, or no such address
        print(err, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
