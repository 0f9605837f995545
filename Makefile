# What a newcomer would guess: make demo, make test, make build.

GO ?= go
# Enough for a machine ten times slower; a test that hangs is still told of.
TEST := $(GO) test -vet=off -timeout 2h
# Packages with properties draw the same cases at every run, so that a submission
# fails for what it changed; make soak draws new ones.
IMPORTS := {{range .TestImports}}{{.}} {{end}}{{range .XTestImports}}{{.}} {{end}}
DRAWING = $(GO) list -f '$(IMPORTS){{.ImportPath}}' ./... | grep 'pgregory.net/rapid' | sed 's/.* //'
OTHERS = $(GO) list -f '$(IMPORTS){{.ImportPath}}' ./... | grep -v 'pgregory.net/rapid' | sed 's/.* //'

.PHONY: build release demo test quick check vet race house soak bench growth bench-all bench-servers clients looks golden clean

build: ## the program, into ./limekeep
	$(GO) build -trimpath -o limekeep ./cmd/limekeep

release: ## archives, Debian packages and checksums into dist/; VERSION names them
	GO="$(GO)" bash .ci/release
	bash .ci/releasecheck

demo: ## the main job on invented records; ARGS=--once stops after writing
	$(GO) run ./cmd/limekeep demo $(ARGS)

test: clients vet race ## everything that must hold
	@failed=0; $(TEST) $$($(OTHERS)) || failed=1; \
	$(TEST) $$($(DRAWING)) -rapid.seed=1 || failed=1; exit $$failed

quick: ## unit tests, without the programs of others that make test needs
	@failed=0; $(TEST) -short $$($(OTHERS)) || failed=1; \
	$(TEST) -short $$($(DRAWING)) -rapid.seed=1 || failed=1; exit $$failed

race: ## what happens side by side, under the race detector
	GO="$(GO)" bash .ci/race

check: vet ## formatting, vet, lint, dead code, known vulnerabilities
	"$$($(GO) -C .ci/tools tool -n golangci-lint)" run -c .ci/golangci.yml ./...
	GO="$(GO)" bash .ci/deadcode
	GO="$(GO)" bash .ci/vulnerabilities

vet:
	@test -z "$$(gofmt -l .)" || { gofmt -l .; echo "run gofmt on these"; exit 1; }
	$(GO) vet ./...

house: ## how the house stands, in tables; ARGS=all counts what has to be run as well
	@GO="$(GO)" bash .ci/house $(ARGS)

clients: ## what the tests read our output with; installs what is missing
	@bash .ci/install

FUZZTIME ?= 2m
soak: clients ## long forms: 500 households that live on, every fuzz target for FUZZTIME
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^(TestWindowsHoldTheTruth|TestErrorOfChanceByWorlds)$$' -v ./schedule/wear
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^(TestMixedLoad|TestKilledCommandsLoseNothing|TestKilledServerLosesNothing|TestKilledOnASmallFullDisk|TestReplicas|TestScripts)$$' -v ./cmd/limekeep
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^(TestBackupsUnderWriting|TestKilledWhileMigrating|TestPowerLoss|TestKilledJobIsResumed)$$' -v ./store
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^(TestGeneratedCalendarsAreSound|TestClientsReadTheSame|TestClockChanges|TestKhalShowsTheSame|TestTodomanShowsTheSame|TestStrictReader)$$' -v ./schedule/ical
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^(TestPromise|TestUsedMachinesOfUnknownPast)$$' -v ./schedule/day
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^TestAgainstRoundsByHand$$' -v ./schedule/round
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^(TestPlanHoldsStill|TestCalendarFromDayToDay)$$' -v ./cmd/limekeep
	GO="$(GO)" bash .ci/release
	bash .ci/releasecheck
	bash .ci/install soak
	LIMEKEEP_SOAK=1 $(GO) test -timeout 24h -count 1 -run '^(TestEvolutionDataServer|TestSyncEvolution|TestBrowser|TestBrowserEveryPage|TestBrowserJourneys|TestBrowserSetsUp)$$' -v ./cmd/limekeep
	$(TEST) -count 1 $$($(DRAWING)) -rapid.checks=1000
	@set -e; for package in $$($(GO) list ./...); do \
		for target in $$($(GO) test -list '^Fuzz' $$package | grep '^Fuzz' || true); do \
			echo "$$package $$target"; \
			$(GO) test -run '^$$' -fuzz "^$$target\$$" -fuzztime $(FUZZTIME) $$package; \
		done; \
	done

bench: ## speed, as one table of ratios; ARGS=--keep notes them for the next one
	GO="$(GO)" bash .ci/bench $(ARGS)

growth: ## how time and memory grow with 1, 10 and 100 times the records
	GO="$(GO)" bash .ci/growth

bench-all: ## every benchmark there is, with what it allocates
	$(GO) test -run '^$$' -bench . -benchmem ./...

bench-servers: ## beside nginx, Radicale and Xandikos, which it installs from Debian, and PHREEQC where it is
	bash .ci/bench-servers

looks: clients ## every page in both themes and three widths, pictured on sheets in DIR
	@test -n "$(DIR)" || { echo "say where: make looks DIR=folder"; exit 1; }
	mkdir -p "$(DIR)"
	LIMEKEEP_LOOKS="$$(realpath "$(DIR)")" $(GO) test -vet=off -timeout 2h -count 1 -run '^TestBrowserEveryPage$$' -v ./cmd/limekeep

golden: ## write the golden files anew; look at the difference before you commit it
	$(GO) test ./schedule/ical ./schedule/care ./cmd/limekeep/web -update

clean:
	rm -rf limekeep dist limekeep-demo.ics .ci/clients/node_modules
