# See DEVELOPERS.md for what each of these does.
GO ?= go

.PHONY: demo test verify soak bench bench-planning generate lint

demo:
	$(GO) run ./clients/demo

test:
	$(GO) test -race ./...

lint:
	golangci-lint run ./...

verify:
	.ci/verify

soak:
	RIPWRIGHT_BRUTE=500000 $(GO) test -count=1 -timeout 60m -run 'TestBruteForce' ./solver/rip

bench:
	$(GO) run ./solver/internal/bench

bench-planning:
	$(GO) run ./solver/internal/planbench

generate:
	proto/generate.sh
