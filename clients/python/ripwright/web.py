"""Calls by JSON, with Python alone."""

import json
import ssl
import urllib.error
import urllib.parse
import urllib.request
from typing import Any, Dict, Optional

from .refusal import NAMES, Fault, Refusal

# The path of each call that only reads; its request goes into the address.
ASKED = {"GetServerInfo": "/v1/serverInfo", "ListSaws": "/v1/saws"}

# The path of each call.
PATHS = {
    "SolveBoard": "/v1/boards:solve",
    "CheckPlan": "/v1/boards:check",
    "DrawPlan": "/v1/boards:draw",
    "ConfirmCut": "/v1/cuts:confirm",
    "QuoteOrder": "/v1/orders:quote",
    "PlanValues": "/v1/orders:planValues",
    "SequenceOrders": "/v1/orders:sequence",
    "ShareOrder": "/v1/orders:share",
    "PlanArbor": "/v1/arbors:plan",
    "TallyPack": "/v1/packs:tally",
    **ASKED,
}


def post(
    base: str,
    name: str,
    request: Dict[str, Any],
    *,
    timeout_s: float = 60,
    token: Optional[str] = None,
    tls: Optional[ssl.SSLContext] = None,
) -> Dict[str, Any]:
    """Calls the service at http://HOST:PORT and gives its answer, which leaves out absent fields.

    If the service refuses the call, a Refusal is raised; if it cannot be reached, or
    not in time, an OSError of urllib. timeout_s is how long it may be silent: for a
    long call set the request's time_limit_ms below it.

        post("http://127.0.0.1:7421", "QuoteOrder", request)["quote"]["boards"]
    """
    headers = {"content-type": "application/json"}
    if token is not None:
        headers["authorization"] = "Bearer " + token
    url = base.rstrip("/") + PATHS[name]
    if name in ASKED:
        ask = urllib.request.Request(url + "?" + urllib.parse.urlencode(request), headers=headers)
    else:
        ask = urllib.request.Request(url, json.dumps(request, allow_nan=False).encode(), headers, method="POST")
    try:
        with urllib.request.urlopen(ask, timeout=timeout_s, context=tls) as answer:
            return json.load(answer)
    except urllib.error.HTTPError as err:
        with err:
            raise refusal(err.code, err.read()) from None


def refusal(http_status: int, body: bytes) -> Refusal:
    """Converts an error's body to a Refusal."""
    try:
        said = json.loads(body)
        code, message, details = said["code"], said["message"], said.get("details", ())
        faults, retry_after_s, reason = [], None, ""
        for d in details:
            if d.get("@type", "").endswith("/google.rpc.BadRequest"):
                faults = [Fault(v["field"], v["description"], v.get("reason", "")) for v in d.get("field_violations", ())]
            elif d.get("@type", "").endswith("/google.rpc.ErrorInfo"):
                reason = d["reason"]
            elif d.get("@type", "").endswith("/google.rpc.RetryInfo"):
                retry_after_s = float(d["retry_delay"].rstrip("s"))
        return Refusal(NAMES[code], message, faults, retry_after_s, reason)
    except (ValueError, KeyError, IndexError, TypeError, AttributeError):
        # A proxy in between may answer in a form of its own.
        return Refusal(f"HTTP {http_status}", body[:200].decode(errors="replace") or "no reason given")
