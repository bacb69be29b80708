# make help lists the targets. Each is one line of real work; CI calls the same ones.

GO    := deploy/go
NEED  := deploy/need
LIMIT := 20m
TOOL  := deploy/go tool -modfile=tools.mod

VERSION := $(shell git describe --always --dirty 2>/dev/null)
LDFLAGS := -X main.version=$(VERSION)

.DEFAULT_GOAL := help
.PHONY: help build run test bench soak pictures check clean

help: ## list the targets
	@sed -n 's/^\([a-z]*\):.*## /\1\t/p' $(MAKEFILE_LIST) | expand -t 10

build: ## build bin/gaugerod
	$(GO) build -trimpath -ldflags '$(LDFLAGS)' -o bin/gaugerod ./cmd/gaugerod

run: postgres build ## start it with a database of its own and the demo job, and print the link
	bin/gaugerod serve --first testdata/demo.job.yaml

test: postgres programs axe calendars ## all tests, with the race detector left to make soak
	$(GO) vet ./...
	$(GO) test -timeout $(LIMIT) ./...

# Each open instance gets BENCH_LIMIT; of every family each BENCH_EVERY-th is taken. The
# load on the service lasts BENCH_LOAD.
bench: export BENCH_LIMIT ?= 10s
bench: export BENCH_EVERY ?= 37
bench: export BENCH_LOAD ?= 60s
bench: postgres general ## the figures: solver, calendars, database, the service under load; ours beside a general solver
	$(GO) test -run '^$$' -bench . -benchmem -timeout 0 ./...

# The fault run over three instances: how long, and with GAUGEROD_SEED the same again.
soak: export GAUGEROD_SOAK ?= 10m
soak: postgres programs axe calendars ## longer random tests, with the race detector, and the fault run
	$(GO) test -timeout 0 -count 1 -v -run Faults ./deploy/fleet
	GAUGEROD_SOAK= GAUGEROD_ROLES=all RAPID_CHECKS=2000 GAUGEROD_HOSTILE=10000 $(GO) test -race -timeout 90m -count 1 ./...

pictures: export GAUGEROD_SHOTS := $(CURDIR)/build/pictures
pictures: programs ## pictures of every page by day and night, on a phone and printed, and of the sheets, in build/pictures
	mkdir -p $(GAUGEROD_SHOTS)
	$(GO) test -timeout $(LIMIT) -count 1 -run 'Pictures|Sheets|Readme|WithALink' ./web

check: ## linters, format, known vulnerabilities; builds them first, which takes minutes
	$(TOOL) gofumpt -l $$(git ls-files '*.go') | (! grep .)
	$(TOOL) golangci-lint run ./...
	deploy/vulnerable

.PHONY: postgres programs general axe calendars
postgres:
	@$(NEED) postgres=postgresql

# What the tests hold the program against: a linear-program solver, the shells
# that complete its command line, a browser, the proxy of deploy.
programs: general
	@$(NEED) glpsol=glpk-utils bash=bash zsh=zsh fish=fish chromium=chromium haproxy=haproxy

# What looks pages over for people who see or hear otherwise, where npm is to be had.
axe:
	@$(NEED) npm axe-core@4.14.1 || echo 'Without it no page is held against axe-core.' >&2

# What reads the calendars as another program does, where npm is to be had.
calendars:
	@$(NEED) npm ical.js@2.2.1 || echo 'Without it no calendar is read by another program.' >&2

# A general solver, where it is to be had.
general:
	@$(NEED) minizinc=minizinc || echo 'Without it nothing is held against a general solver.' >&2

clean: ## remove what was built
	rm -rf bin build
