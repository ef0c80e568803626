"""The ERP's question: what lumber does this order take, what does it cost, and what must be bought?

    python3 -m examples.quote --http http://127.0.0.1:7421

By JSON, with nothing but Python. Saw, order and lumber are invented.
"""

import argparse
import sys
from typing import List, Optional

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
            },
            {
                "lot_id": "narrow",
                "price_per_mbf": 3700,
                "tagged": {
                    "thickness_mm": 27,
                    "rows": [
                        {"width_mm": 140, "length_mm": 2400, "count": 60},
                        {"width_mm": 155, "length_mm": 3000, "count": 40},
                    ],
                },
            },
        ],
    },
    "objective": "PLAN_OBJECTIVE_COST",
    # There is one pack of the narrow lot; what would another save?
    "buy_list": {"lots": [{"lot_id": "narrow", "max_boards": 100, "pack_boards": 100}]},
    "currency": "CAD",  # a label for amounts; nothing is converted
    "simulations": 19,
    # The answer comes within this time, from the simulations that have ended.
    "time_limit_ms": 20_000,
}


def spread(estimate: Optional[dict], digits: int) -> str:
    """Shows the expected value and its interval."""
    if estimate is None:
        return "not known"
    return f"{estimate['mean']:.{digits}f} ({estimate['lower']:.{digits}f} to {estimate['upper']:.{digits}f})"


def quote(base: str, request: dict = REQUEST, timeout_s: float = 25) -> List[str]:
    """Requests a quote and gives it in words."""
    # The timeout is for a network or a server that hangs; the time limit comes first.
    answer = post(base, "QuoteOrder", request, timeout_s=timeout_s)
    lines = [f"{i['item_id']} cannot be made: {i['says']}" for i in answer["impossible"]]
    q = answer.get("quote")
    if q is None or "boards" not in q:
        return [*lines, f"no quote ({answer['result']})"]
    currency = answer.get("currency", "")

    def money(amount: float) -> str:
        return f"{amount:.2f} {currency}".rstrip()

    for label, field, digits, unit in (
        ("boards", "boards", 0, ""), ("board feet", "board_feet", 0, ""), ("cost", "cost", 2, currency), ("yield", "yield_ratio", 3, "")
    ):  # fmt: skip
        lines.append(f"{label:12}{spread(q.get(field), digits)} {unit}".rstrip())
    uses = {u["lot_id"]: u for u in answer["lots"]}
    for lot in q.get("lots", []):
        parts = [f"buy {lot['lot_id']}: {spread(lot.get('boards'), 0)} boards, {spread(lot.get('cost'), 2)} {currency}".rstrip()]
        use = uses[lot["lot_id"]]
        if use.get("leave"):
            parts.append("leave it")
        elif "leaving_costs" in use:
            parts.append(f"without it {money(use['leaving_costs'])} more")
        if "pack_saves" in use:
            parts.append(f"one more pack saves {money(use['pack_saves'])}")
        lines.append("; ".join(parts))
    return [*lines, f"from {q['simulations']} simulations"]


def main() -> int:
    args = argparse.ArgumentParser(description="Asks the service for a quote.")
    args.add_argument("--http", default="http://127.0.0.1:7421", help="the service, http://HOST:PORT")
    try:
        print("\n".join(quote(args.parse_args().http)))
    except Refusal as err:
        print(err, *(f"  {f.field} {f.description}" for f in err.faults), sep="\n", file=sys.stderr)
        return 1
    except (OSError, ValueError) as err:  # unreachable, or not a valid address
        print(err, file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
