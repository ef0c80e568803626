import copy
import pathlib
import re
import ssl
import subprocess
import sys
import time
import unittest

import grpc
from google.protobuf import json_format

from examples.quote import REQUEST, quote
from ripwright import details_pb2
from ripwright.refusal import NAMES, Fault, Refusal
from ripwright.rpc import Connection, refusal
from ripwright.v1 import info_service_pb2, planning_service_pb2, quote_pb2, rip_service_pb2, tally_service_pb2
from ripwright.web import PATHS, post
from ripwright.web import refusal as web_refusal

from .service import ServiceTest

SOLVE = {
    "saw_name": "heron",
    "board": {"board_id": "b1", "length_mm": 2400, "stations": [{"far_mm": 240}]},
    "order": {"items": [{"item_id": "slat", "width_mm": 50, "value": 10}]},
}
# Without a time limit, which would make answers differ, and quick.
SMALL = {**copy.deepcopy(REQUEST), "simulations": 3}
del SMALL["time_limit_ms"]
SMALL["lumber"]["sample_boards"] = 10
SMALL["order"]["items"][0]["required"] = {"length_m": 40}
SMALL["order"]["items"][1]["required"] = {"pieces": 60}
SOON = 300  # seconds; much more than anything takes
# Long enough to be stopped.
LONG = {
    **SMALL,
    "simulations": 1000,
    "max_boards": 1_000_000,
    "order": {"items": [{"item_id": "a", "width_mm": 50, "required": {"length_m": 1e6}}]},
}


def solve_request():
    return json_format.ParseDict(SOLVE, rip_service_pb2.SolveBoardRequest())


class CallsTest(ServiceTest):
    @property
    def web(self):
        return "http://" + self.service.http

    def refused(self, request, **how):
        with self.assertRaises(Refusal) as caught:
            post(self.web, "SolveBoard", request, **how)
        return caught.exception

    def test_a_quote_is_the_same_by_json_and_by_grpc(self):
        answer = post(self.web, "QuoteOrder", SMALL, timeout_s=SOON)
        by_json = json_format.ParseDict(answer, quote_pb2.QuoteOrderResponse())
        with Connection(self.service.grpc) as to:
            by_grpc = to.planning.QuoteOrder(json_format.ParseDict(SMALL, quote_pb2.QuoteOrderRequest()), timeout=SOON)
        boards = by_json.quote.boards
        self.assertTrue(0 < boards.lower <= boards.mean <= boards.upper)
        by_json.solve_time_us = by_grpc.solve_time_us = 0
        self.assertEqual(by_json, by_grpc)

    def test_the_example_shows_a_quote_and_what_cannot_be_had(self):
        text = "\n".join(quote(self.web, SMALL, SOON))
        self.assertRegex(text, r"boards +\d+ \(\d+ to \d+\)\n")
        self.assertRegex(text, r"cost +[\d.]+ \([\d.]+ to [\d.]+\) CAD\n")
        self.assertRegex(text, r"buy random width: \d+ \(.*\) boards, .* CAD")
        self.assertRegex(text, r"buy narrow: .* CAD; .*one more pack saves [\d.]+ CAD")
        wide = copy.deepcopy(SMALL)
        wide["order"]["items"].append({"item_id": "tabletop", "width_mm": 900, "required": {"length_m": 2}})
        self.assertRegex(quote(self.web, wide, SOON)[0], "^tabletop cannot be made: ")
        wide["order"]["items"] = wide["order"]["items"][-1:]
        self.assertEqual(quote(self.web, wide, SOON)[1], "no quote (PLANNING_RESULT_IMPOSSIBLE)")

    def test_what_is_wrong_is_named_by_field_alike_by_json_and_by_grpc(self):
        wrong = copy.deepcopy(SOLVE)
        wrong["board"].update(length_mm=-1, thickness_mm=1e9)
        by_json = self.refused(wrong)
        with Connection(self.service.grpc) as to, self.assertRaises(grpc.RpcError) as caught:
            to.rip.SolveBoard(json_format.ParseDict(wrong, rip_service_pb2.SolveBoardRequest()), timeout=SOON)
        by_grpc = refusal(caught.exception)
        self.assertEqual(by_json.code, "INVALID_ARGUMENT")
        self.assertEqual([f.field for f in by_json.faults], ["board.length_mm", "board.thickness_mm"])
        self.assertEqual((by_grpc.code, by_grpc.faults, str(by_grpc)), (by_json.code, by_json.faults, str(by_json)))
        self.assertEqual((by_grpc.reason, by_json.reason), ("WRONG_FIELDS", "WRONG_FIELDS"))
        self.assertEqual(by_grpc.faults[0].reason, "OUT_OF_RANGE")

    def test_the_service_says_what_it_is_and_which_saws_it_has(self):
        first = post(self.web, "ListSaws", {"page_size": 1})
        rest = post(self.web, "ListSaws", {"page_token": first["next_page_token"]})
        self.assertEqual([s["saw"]["name"] for s in first["saws"] + rest["saws"]], ["heron", "plover"])
        with Connection(self.service.grpc) as to:
            said = to.info.GetServerInfo(info_service_pb2.GetServerInfoRequest(), timeout=SOON)
        self.assertEqual(said.release, post(self.web, "GetServerInfo", {})["release"])
        self.assertTrue(said.release)

    def test_an_unknown_saw_and_a_misspelt_field_have_errors_of_their_own(self):
        self.assertEqual(self.refused({**SOLVE, "saw_name": "curlew"}).code, "NOT_FOUND")
        self.assertEqual(self.refused({**SOLVE, "bord": 1}).faults[0].field, "bord")
        with self.assertRaises(ValueError):  # JSON cannot represent it
            post(self.web, "SolveBoard", {**SOLVE, "options": {"time_limit_ms": float("nan")}})

    def test_a_quote_that_takes_too_long_is_given_up_or_cancelled(self):
        with self.assertRaises(OSError):
            post(self.web, "QuoteOrder", LONG, timeout_s=0.5)
        with Connection(self.service.grpc) as to:
            call = to.planning.QuoteOrder.future(json_format.ParseDict(LONG, quote_pb2.QuoteOrderRequest()))
            time.sleep(0.2)
            call.cancel()
            with self.assertRaises(grpc.FutureCancelledError):
                call.result()

    def test_callers_with_a_certificate_authority_and_a_token_are_let_in_others_not(self):
        cert, key, tokens = (self.dir / name for name in ("cert.pem", "key.pem", "tokens.yaml"))
        subprocess.run(
            ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes"]
            + ["-days", "2", "-subj", "/CN=test", "-addext", "subjectAltName=IP:127.0.0.1,DNS:localhost"]
            + ["-keyout", key, "-out", cert],
            check=True,
            stderr=subprocess.DEVNULL,
        )
        token = "an-invented-token-of-the-test"
        tokens.write_text(f"- {{name: test, token: {token}, scopes: [line, office]}}\n")
        tokens.chmod(0o600)
        guarded = self.start("--tls-cert", str(cert), "--tls-key", str(key), "--tokens", str(tokens))
        at = guarded.grpc.replace("127.0.0.1", "localhost")
        ca = cert.read_bytes()
        with Connection(at, ca=ca, token=token) as to:
            self.assertEqual(to.rip.SolveBoard(solve_request(), timeout=SOON).board_id, "b1")
            streamed = list(to.planning.WatchQuote(planning_watch(), timeout=SOON))
            self.assertEqual(streamed[-1].WhichOneof("event"), "quote")
        for access, code in (({"ca": ca}, "UNAUTHENTICATED"), ({"ca": ca, "token": "wrong"}, "UNAUTHENTICATED"), ({}, "UNAVAILABLE")):
            with Connection(at, **access) as to, self.assertRaises(grpc.RpcError) as caught:
                to.rip.SolveBoard(solve_request(), timeout=SOON)
            self.assertEqual(refusal(caught.exception).code, code)
        tls = ssl.create_default_context(cafile=str(cert))
        web = "https://" + guarded.http
        self.assertEqual(post(web, "SolveBoard", SOLVE, token=token, tls=tls)["board_id"], "b1")
        with self.assertRaises(Refusal) as caught:
            post(web, "SolveBoard", SOLVE, tls=tls)
        self.assertEqual(caught.exception.code, "UNAUTHENTICATED")
        with self.assertRaises(OSError):
            post(web, "SolveBoard", SOLVE, token=token)  # its certificate is not trusted


def planning_watch():
    return quote_pb2.WatchQuoteRequest(
        quote=json_format.ParseDict(SMALL, quote_pb2.QuoteOrderRequest())
    )


class NoServiceTest(unittest.TestCase):
    def test_every_call_of_the_schema_but_the_streams_has_the_path_that_the_schema_says(self):
        services = (rip_service_pb2, planning_service_pb2, tally_service_pb2, info_service_pb2)
        methods = [m for pb in services for s in pb.DESCRIPTOR.services_by_name.values() for m in s.methods]
        openapi = (pathlib.Path(__file__).parents[3] / "proto" / "openapi.yaml").read_text()
        said = dict(re.findall(r'\n  "(/v1/[^"]+)":\n    (?:post|get):\n      operationId: "(\w+)"', openapi))
        streams = {"RunLine", "WatchQuote"}
        self.assertEqual(set(PATHS), {m.name for m in methods} - streams)
        self.assertEqual({name: path for path, name in said.items() if name not in streams}, PATHS)

    def test_json_needs_nothing_but_python(self):
        source = "import sys; import ripwright.web; sys.exit(any(m in sys.modules for m in ('grpc', 'google.protobuf')))"
        subprocess.run([sys.executable, "-c", source], cwd=pathlib.Path(__file__).parents[1], check=True)

    def test_names_are_those_of_grpc(self):
        self.assertEqual({name: i for i, name in enumerate(NAMES)}, {c.name: c.value[0] for c in grpc.StatusCode})

    def test_when_to_try_again_is_read_from_both(self):
        body = b'{"code":8,"message":"busy","details":[{"@type":"type.googleapis.com/google.rpc.RetryInfo","retry_delay":"1.500s"}]}'
        self.assertEqual(web_refusal(429, body).retry_after_s, 1.5)
        delay = details_pb2.RetryInfo(retry_delay=details_pb2.Duration(seconds=1, nanos=500_000_000))
        detail = details_pb2.Any(type_url="type.googleapis.com/google.rpc.RetryInfo", value=delay.SerializeToString())

        class Busy(grpc.RpcError):
            def code(self):
                return grpc.StatusCode.RESOURCE_EXHAUSTED

            def details(self):
                return "busy"

            def trailing_metadata(self):
                return (("grpc-status-details-bin", details_pb2.Status(details=[detail]).SerializeToString()),)

        self.assertEqual((refusal(Busy()).code, refusal(Busy()).retry_after_s), ("RESOURCE_EXHAUSTED", 1.5))

    def test_what_a_proxy_says_in_words_of_its_own_is_an_error_too(self):
        for body in (b"<html>bad gateway</html>", b"", b"[]", b'{"code": 99, "message": "?"}', b'{"code": 3, "message": "x", "details": [1]}'):
            self.assertEqual(web_refusal(502, body).code, "HTTP 502")
        said = web_refusal(400, b'{"code":3,"message":"m","details":[{"@type":"x/google.rpc.BadRequest","field_violations":[{"field":"a","description":"b"}]}]}')
        self.assertEqual(said.faults, [Fault("a", "b")])


if __name__ == "__main__":
    unittest.main()
