# What a newcomer would guess: make demo, make test, make build.

GO ?= go
CLIENTS := .ci/clients/node_modules/.package-lock.json

.PHONY: build demo test check soak bench bench-servers clients golden clean

build: ## the program, into ./limekeep
	$(GO) build -trimpath -o limekeep ./cmd/limekeep

demo: ## the main job on invented records; ARGS=--once stops after writing
	$(GO) run ./cmd/limekeep demo $(ARGS)

test: clients check ## everything that must hold, with the race detector
	$(GO) test -race -timeout 14m ./...

check: ## formatting and vet
	@test -z "$$(gofmt -l .)" || { gofmt -l .; echo "run gofmt on these"; exit 1; }
	$(GO) vet ./...

clients: $(CLIENTS) ## independent libraries that the tests read our output with

$(CLIENTS): .ci/clients/package-lock.json
	bash .ci/install
	cd .ci/clients && npm ci --silent

FUZZTIME ?= 60s
soak: clients ## long forms: 500 households that live on, every fuzz target for FUZZTIME
	LIMEKEEP_SOAK=1 $(GO) test -timeout 60m -count 1 -run '^TestWindowsHoldTheTruth$$' -v ./schedule/wear
	@set -e; for package in $$($(GO) list ./...); do \
		for target in $$($(GO) test -list '^Fuzz' $$package | grep '^Fuzz' || true); do \
			echo "$$package $$target"; \
			$(GO) test -run '^$$' -fuzz "^$$target\$$" -fuzztime $(FUZZTIME) $$package; \
		done; \
	done

bench: ## speed
	$(GO) test -run '^$$' -bench . -benchmem ./...

bench-servers: ## beside nginx, Radicale and Xandikos, which it installs from Debian
	bash .ci/bench-servers

golden: ## write the golden files anew; look at the difference before you commit it
	$(GO) test ./schedule/ical ./schedule/care ./cmd/limekeep/web -update

clean:
	rm -rf limekeep limekeep-demo.ics .ci/clients/node_modules
