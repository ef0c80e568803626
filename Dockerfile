# The service as one static binary on nothing else. See "The container" in deploy/RUNNING.md.
ARG GO_IMAGE=golang:1.26
FROM ${GO_IMAGE} AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
# The release and the revision that it is built from: a source archive cannot say.
ARG VERSION=
ARG REVISION=
RUN CGO_ENABLED=0 go build -trimpath -buildvcs=false -o /out/ripwright \
    -ldflags "-s -w -X github.com/ripwright/ripwright/proto/release.version=$VERSION -X github.com/ripwright/ripwright/proto/release.revision=$REVISION" ./server
# The licences of all that is compiled in: Ripwright's, its modules' and Go's.
RUN set -eu; mkdir -p /out/licences/go; cp LICENSE /out/licences/; cp "$(go env GOROOT)/LICENSE" /out/licences/go/; \
    go list -deps -f '{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}' ./server | sort -u | while read -r path dir; do \
      mkdir -p "/out/licences/$path"; \
      find "$dir" -maxdepth 1 \( -iname 'licen[cs]e*' -o -iname 'notice*' -o -iname 'copying*' \) -exec cp '{}' "/out/licences/$path/" ';'; \
      [ -n "$(ls "/out/licences/$path")" ] || { echo "no licence found for $path"; exit 1; }; \
    done

FROM scratch
ARG VERSION=
ARG REVISION=
LABEL org.opencontainers.image.title="Ripwright" \
      org.opencontainers.image.description="Rip planning: board profiles and cut orders in, proven rip plans out" \
      org.opencontainers.image.licenses="Apache-2.0" \
      org.opencontainers.image.source="https://github.com/ripwright/ripwright" \
      org.opencontainers.image.documentation="https://github.com/ripwright/ripwright/blob/main/deploy/RUNNING.md" \
      org.opencontainers.image.version="$VERSION" \
      org.opencontainers.image.revision="$REVISION"
COPY --from=build /out/licences /licences
COPY --from=build /out/ripwright /ripwright
# A container has a network of its own, where loopback would reach nobody.
# Health stays within: /ripwright --probe asks there.
ENV RIPWRIGHT_GRPC=0.0.0.0:7420 RIPWRIGHT_HTTP=0.0.0.0:7421 RIPWRIGHT_HEALTH=127.0.0.1:7422
EXPOSE 7420 7421
USER 65532:65532
ENTRYPOINT ["/ripwright"]
