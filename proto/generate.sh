#!/bin/sh
# Checks the schema and writes what is generated from it: the Go code, the OpenAPI
# description, the reference, the JSON Schemas of people's files and, where Debian's
# generators are, the Python code. buf comes from $BUF or from the PATH; the Go
# plugins are built from tools.mod. Nothing else is fetched.
set -eu
cd "$(dirname "$0")/.."
BUF=${BUF:-buf}
export BUF
"$BUF" format --write proto
"$BUF" lint
"$BUF" generate --path proto/ripwright
(cd proto && go run ./document)
(cd clients/files && go run ./generate)
if command -v protoc >/dev/null && command -v grpc_python_plugin >/dev/null; then
  clients/python/generate.sh
else
  echo "SKIPPED: the Python code, without protobuf-compiler and protobuf-compiler-grpc"
fi
go test -count=1 -run Documented ./server/config -update >/dev/null # the pages of settings
