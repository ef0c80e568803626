"""Calls Ripwright.

ripwright.web calls by JSON and needs only Python; ripwright.rpc calls by gRPC, and
ripwright.line keeps a live line going over broken streams: both need grpcio and
protobuf.
"""
