"""Calls Ripwright.

ripwright.web calls by JSON and needs nothing but Python; ripwright.rpc calls by
gRPC, and ripwright.line keeps a live line over broken streams: both need grpcio
and protobuf.
"""
