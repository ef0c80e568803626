# The service as one static binary on nothing else. See "Container" in README.md.
ARG GO_IMAGE=golang:1.26
FROM ${GO_IMAGE} AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY . .
RUN CGO_ENABLED=0 go build -trimpath -ldflags "-s -w" -o /out/ripwright ./server
# The licences of all that is compiled in: Ripwright's, its modules' and Go's.
RUN set -eu; mkdir -p /out/licences/go; cp LICENSE /out/licences/; cp "$(go env GOROOT)/LICENSE" /out/licences/go/; \
    go list -deps -f '{{with .Module}}{{if not .Main}}{{.Path}} {{.Dir}}{{end}}{{end}}' ./server | sort -u | while read -r path dir; do \
      mkdir -p "/out/licences/$path"; \
      find "$dir" -maxdepth 1 \( -iname 'licen[cs]e*' -o -iname 'notice*' -o -iname 'copying*' \) -exec cp '{}' "/out/licences/$path/" ';'; \
      [ -n "$(ls "/out/licences/$path")" ] || { echo "no licence found for $path"; exit 1; }; \
    done

FROM scratch
COPY --from=build /out/licences /licences
COPY --from=build /out/ripwright /ripwright
# A container has a network of its own, where loopback would reach nobody.
# Health stays within: /ripwright --probe asks there.
ENV RIPWRIGHT_GRPC=0.0.0.0:7420 RIPWRIGHT_HTTP=0.0.0.0:7421 RIPWRIGHT_HEALTH=127.0.0.1:7422
EXPOSE 7420 7421
USER 65532:65532
ENTRYPOINT ["/ripwright"]
