# DEVELOPERS.md describes the targets.
GO ?= go

FUZZTIME ?= 20m

# The number of packages tested at once: more than there are cores, since some tests wait
# for processes, connections and deadlines.
PACKAGES ?= $(shell echo $$((2 * $$(getconf _NPROCESSORS_ONLN))))

# The packages with the longest tests start first, so that none of them runs alone at the
# end. `make lint` vets.
LONGEST = ./clients/hostile ./server/planning ./server/app
LONGPLAIN = ./server/trial ./clients/ripctl/command ./solver/rip

# Programs that tests build.
BUILT = ./server ./clients/ripctl ./clients/linesim ./clients/stacker

# Everything is compiled without what debuggers need, and all but the solver and the
# standard library, whose calls searches make, without inlining, also what tests build.
BARE = -dwarf=false
SOLVER = github.com/ripwright/ripwright/solver
COMPILED = -trimpath '-gcflags=all=$(BARE) -l' -gcflags=std=$(BARE) -gcflags=$(SOLVER)/...=$(BARE)
test: export GOFLAGS += $(COMPILED)

# The race detector does not cover the solver, which starts no goroutines and which it makes
# eight to eighteen times as slow, except for the two packages whose values the searches of
# one call share, in tests of those calls. Tests of the solver run without it; `make raced`
# runs searches under it. Processes under it end without sleeping for a second, and do not
# check conversions of unsafe pointers, of which the project has none. What it covers is
# compiled without inlining, which takes a fifth less time; tests take hardly longer.
WATCHED = $(BARE) -l -d=checkptr=0
RACE = -race -gcflags="all=$(WATCHED)" -gcflags="$(SOLVER)/...=$(BARE) -race=false" \
	-gcflags="$(SOLVER)/planning/values=$(WATCHED)" -gcflags="$(SOLVER)/planning/quote=$(WATCHED)"
test raced: export GORACE = atexit_sleep_ms=50

# Nor does it cover what starts no goroutines and tests that make one call after the other:
# of guides, schemas, wrong requests, the command line. `make raced` does.
PLAIN = ./clients ./clients/files/... ./clients/ripctl/... ./clients/tallycsv ./proto/... ./server/caller \
	./server/config ./server/explain ./server/refuse ./server/textfile ./server/trial ./server/wire ./server/withhold
RACED = $$($(GO) list ./... | grep -Ev "^($(SOLVER)(/.*)?|$$($(GO) list $(PLAIN) | paste -sd'|'))$$")

.PHONY: demo test raced compiled verify soak fuzz corpus bench bench-planning generate lint

demo:
	$(GO) run ./clients/demo

# Two concurrent builds compile shared packages twice, and side by side they take more time
# in all, so all are compiled beforehand, one after the other, with garbage collection from
# a GiB on, which takes a fifth less time. Programs that tests build are compiled without
# the race detector: with it, tests took longer than compiling once saved.
test: COMPILE = GOGC=off GOMEMLIMIT=1GiB $(GO) list -export -deps
test:
	@$(COMPILE) -test $(RACE) $(RACED) >/dev/null
	@$(COMPILE) $(BUILT) >/dev/null
	@$(COMPILE) -test ./solver/... $(PLAIN) >/dev/null
	@cd clients/wherry && $(COMPILE) -test $(RACE) ./... >/dev/null
	(cd clients/wherry && $(GO) test $(RACE) -vet=off -timeout 30m ./...) & wherry=$$!; \
	$(GO) test -short -vet=off -p 2 -timeout 30m $(LONGPLAIN) ./solver/... $(PLAIN) & plain=$$!; \
	$(GO) test $(RACE) -short -vet=off -p $(PACKAGES) -timeout 30m $(LONGEST) $(RACED); all=$$?; \
	wait $$plain || all=1; wait $$wherry || all=1; exit $$all

# What the race detector does not cover in make test: concurrent searches, and tests that
# make one call after the other. The solver's code is compiled with inlining, since its
# tests take a fifth longer without it. The packages that it needs are found as make test
# has compiled them.
raced:
	$(GO) test -count=1 -short $(RACE) -timeout 20m $(PLAIN)
	$(GO) test -count=1 -race -gcflags="all=$(WATCHED)" -gcflags="$(SOLVER)/...=$(BARE) -d=checkptr=0" \
		-timeout 20m ./solver/rip ./server/planning ./clients/linesim/sim

# For .ci/parts.sh, which compiles alike.
compiled:
	@echo "$(COMPILED)"

lint:
	golangci-lint run ./...
	cd clients/wherry && golangci-lint run ./...
	cd deploy/check && golangci-lint run ./...

verify:
	.ci/verify

soak: fuzz corpus
	RIPWRIGHT_KILLS=1000 $(GO) test -count=1 -timeout 360m -run TestKilled ./clients/linesim/sim
	$(GO) run ./clients/linesim orders --seeds 20
	$(GO) run ./clients/linesim orders --tags --seeds 30 --boards 450 --at-worst 2
	$(GO) run ./clients/linesim quotes --cuts 20
	RIPWRIGHT_FAULTS=1000 $(GO) test -count=1 -timeout 600m -v ./clients/linesim/faults
	cd clients/wherry && WHERRY_MODULES=$${RIPWRIGHT_TOOLS:-$$HOME/.cache/ripwright-tools} WHERRY_BOARDS=1000 WHERRY_SEEDS=5 $(GO) test -count=1 -timeout 600m -tags verify -v -run TestFaults ./internal/e2e
	$(GO) run ./clients/load --for 30m --callers 3 --lines 2 --runners-up 1 --sample 30s
	$(GO) run ./clients/worst memory --for 60m
	$(GO) run ./clients/worst others --for 60m
	$(GO) run ./clients/worst limits --requests 10000
	$(GO) run ./server/internal/beyond --requests 10000 --slack 2
	RIPWRIGHT_SOAK=10m $(GO) test -count=1 -timeout 30m -v -run TestSoak ./clients/linesim/sim
	$(GO) run ./solver/internal/bench -seeds 10000 limits
	RIPWRIGHT_BRUTE=3000000 RIPWRIGHT_SEED=$${RIPWRIGHT_SEED:-1000000000} $(GO) test -count=1 -timeout 12h -v -run 'TestBruteForce' ./solver/rip
	RIPWRIGHT_BRUTE=200000 RIPWRIGHT_SEED=$${RIPWRIGHT_SEED:-1000000000} $(GO) test -count=1 -timeout 12h -v -run 'TestBruteForce|TestStopped' ./solver/paced
	RIPWRIGHT_BRUTE=20000 RIPWRIGHT_SEED=$${RIPWRIGHT_SEED:-1000000000} $(GO) test -count=1 -timeout 12h -v ./solver/turned
	$(GO) run ./solver/planning/sequence/trial -seeds 50
	$(GO) run ./solver/planning/arbor/trial -seeds 100
	$(GO) run ./solver/planning/values/trial -seeds 100
	RIPWRIGHT_BRUTE=500000 $(GO) test -count=1 -timeout 60m -run 'TestNoDifference' ./solver/audit
	RIPWRIGHT_VARIATIONS=200000 $(GO) test -count=1 -timeout 120m -v -run TestVariations ./solver/rip
	RIPWRIGHT_BOUNDS=30000 $(GO) test -count=1 -timeout 120m -v -run 'TestBounds|TestNetwork|TestSettlingBounds' ./solver/rip

# One target after another, each for FUZZTIME.
fuzz:
	FUZZTIME=$(FUZZTIME) .ci/fuzz

# Adds interesting inputs of fuzzing to the corpora that make test runs.
corpus:
	.ci/corpus

# COMPARE=revision: compares the search of this tree with that of another revision.
bench:
ifdef COMPARE
	.ci/compare $(COMPARE)
else
	$(GO) run ./solver/internal/bench
	$(GO) run ./solver/internal/bench/broad/run -boards 10
	$(GO) run ./solver/internal/bench/broad/run -boards 4 -curve 2s -by all
	$(GO) run ./server/internal/bench
endif

bench-planning:
	$(GO) run ./clients/linesim orders --seeds 20

generate:
	proto/generate.sh
