#!/bin/sh
# Writes the Python code of the schema. It needs buf, from $BUF or the PATH, and
# Debian's protobuf-compiler (3.21) and protobuf-compiler-grpc (1.51): code of an
# old generator runs with newer runtimes, not the other way round.
set -eu
cd "$(dirname "$0")"
BUF=${BUF:-buf}
rm -rf ripwright/v1 ripwright/details_pb2.py*
"$BUF" generate
for f in ripwright/v1/*_pb2_grpc.py; do
  grep -q '^class' "$f" || rm "$f" # a file without a service has nothing to call
done
protoc -I . --python_out=. --pyi_out=. ripwright/details.proto
