#!/bin/sh
# Checks the schema and writes the Go code and the OpenAPI description that are
# generated from it. buf comes from $BUF or from the PATH; the plugins are built
# from tools.mod. Nothing else is fetched.
set -eu
cd "$(dirname "$0")/.."
BUF=${BUF:-buf}
"$BUF" format --write proto
"$BUF" lint
"$BUF" generate --path proto/ripwright
go run ./proto/openapi proto/ripwright/v1/*.openapi.json >proto/openapi.yaml.new
mv proto/openapi.yaml.new proto/openapi.yaml
rm proto/ripwright/v1/*.openapi.json
(cd clients/files && go run ./generate) # the JSON Schemas of people's files
go test -count=1 -run Documented ./server/config -update >/dev/null # the pages of settings
