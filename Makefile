# baronet: `make` builds it, `make help` lists what else can be asked for.

# Settings; give others on the command line, as in  make CC=clang CFLAGS="-O3 -march=native"
ifeq ($(origin CC),default)
CC := gcc
endif
ifeq ($(origin CXX),default)
CXX := g++
endif
CFLAGS  ?= -O2 -g
LDFLAGS ?=
VARIANT ?= release
PREFIX  ?= /usr/local
DESTDIR ?=
LAYERS  ?= base numeric model netlist studies output# of the library, lowest first
SECONDS ?= 60# for the fuzz targets, side by side

# Debian packages that building, testing and checking need.
PACKAGES := gcc g++ libc6-dev pkg-config libsuitesparse-dev liblapacke-dev libxml2-dev \
            libcriterion-dev libsundials-dev libarpack2-dev libjansson-dev libnlopt-dev \
            gfortran libmd-dev locales

# What reports are looked at in a browser with, and not needed for anything else. Whoever has npm has
# node, from wherever it came: Debian's packages of them may not stand beside others.
BROWSER_PACKAGES = chromium ca-certificates $(if $(shell command -v npm),,nodejs npm)

# What compiles the fuzz targets, and the run time that it needs for them.
FUZZ_PACKAGES := clang libclang-rt-14-dev
# What `make analyse` reads the sources with.
ANALYSE_PACKAGES := clang-tidy cppcheck

# What `make bench` compares with and counts by, and not needed for anything else.
BENCH_PACKAGES = python3 python3-scipy valgrind

VERSION := $(shell sed -n 's/^.define BARONET_VERSION "\(.*\)"/\1/p' include/baronet/api.h)
SONAME  := libbaronet.so.$(firstword $(subst ., ,$(VERSION)))
BUILD   := build/$(VARIANT)-$(notdir $(lastword $(CC)))

WARNINGS := -Wall -Wextra -Wshadow -Wconversion -Wdouble-promotion -Wmissing-prototypes \
            -Wstrict-prototypes -Wwrite-strings
# Asked for at the first use, not while this file is read: `make setup demo` installs pkg-config
# first.
XML_CFLAGS = $(eval XML_CFLAGS := $$(shell pkg-config --cflags libxml-2.0))$(XML_CFLAGS)
XML_LIBS   = $(eval XML_LIBS := $$(shell pkg-config --libs libxml-2.0))$(XML_LIBS)
CPPFLAGS_ALL = -Iinclude -Isolver -isystem /usr/include/suitesparse -D_POSIX_C_SOURCE=200809L \
               $(XML_CFLAGS) $(CPPFLAGS)
CFLAGS_ALL   = -std=c11 $(WARNINGS) -fPIC -fvisibility=hidden $(CFLAGS)
NUMERIC_LIBS = -lsundials_cvode -lsundials_sunlinsolklu -lsundials_sunmatrixsparse \
               -lsundials_nvecserial -larpack -lklu -lamd -lcolamd -lbtf \
               -lsuitesparseconfig -llapacke -llapack -lblas
OTHER_LIBS   = -lnlopt -ljansson $(XML_LIBS) -lmd -lm
LIBS         = $(NUMERIC_LIBS) $(OTHER_LIBS)
# Variants are worked out by several processors at once; `make OPENMP=` does without.
OPENMP       = -fopenmp
# The program holds the numeric libraries itself where their archives can be linked: loading them
# took longer than all that it computes for a vehicle.
FORTRAN      = $(filter /%,$(shell $(CC) -print-file-name=libgfortran.a))
PROGRAM_LIBS = $(if $(FORTRAN),$(LINK_STATIC) $(NUMERIC_LIBS) -lgfortran -lquadmath $(LINK_SHARED) \
               $(OTHER_LIBS),$(LIBS))
LINK_STATIC  = -Wl,-Bstatic
LINK_SHARED  = -Wl,-Bdynamic

LIBRARY_SOURCES := $(foreach layer,$(LAYERS),$(wildcard solver/$(layer)/*.c))
# Files that become lines of text in the library.
TEXT_SOURCES    := $(foreach layer,$(LAYERS),$(wildcard solver/$(layer)/*.css solver/$(layer)/*.js))
TEXT_C          := $(TEXT_SOURCES:%=build/text/%.c)
PROGRAM_SOURCES := $(if $(filter output,$(LAYERS)),$(wildcard solver/cli/*.c))
TEST_SOURCES    := $(wildcard tests/*.c $(foreach layer,$(LAYERS),tests/$(layer)/*.c)) \
                   $(if $(PROGRAM_SOURCES),$(wildcard tests/cli/*.c))
BENCH_SOURCES   := $(wildcard tests/bench/*.c)
# What writes the files that are made from the program's tables.
PAGES_SOURCES   := $(if $(PROGRAM_SOURCES),$(wildcard tests/pages/*.c))
FUZZ_SOURCES    := $(wildcard tests/fuzz/*.c)
FUZZ_TARGETS    := $(if $(PROGRAM_SOURCES),$(wildcard tests/fuzz/fuzz_*.c))
ALL_C           := $(wildcard include/baronet/*.h solver/*/*.[ch] tests/*.[ch] tests/*/*.[ch] docs/*.c)

LIBRARY_OBJECTS := $(LIBRARY_SOURCES:%.c=$(BUILD)/%.o) $(TEXT_SOURCES:%=$(BUILD)/%.o)
PROGRAM_OBJECTS := $(PROGRAM_SOURCES:%.c=$(BUILD)/%.o)
TEST_OBJECTS    := $(TEST_SOURCES:%.c=$(BUILD)/%.o)
BENCH_OBJECTS   := $(BENCH_SOURCES:%.c=$(BUILD)/%.o)
FAIL_OBJECTS    := $(patsubst %,$(BUILD)/tests/fail/%.o,fail_memory refusal memory)
PAGES_OBJECTS   := $(PAGES_SOURCES:%.c=$(BUILD)/%.o)
FUZZ_OBJECTS    := $(FUZZ_SOURCES:%.c=$(BUILD)/%.o)
OBJECTS         := $(LIBRARY_OBJECTS) $(PROGRAM_OBJECTS) $(TEST_OBJECTS) $(BENCH_OBJECTS) \
                   $(PAGES_OBJECTS) $(FUZZ_OBJECTS) $(FAIL_OBJECTS) $(BUILD)/tests/fail/calls.o

ARCHIVE := $(BUILD)/libbaronet.a
SHARED  := $(BUILD)/libbaronet.so
PROGRAM := $(if $(PROGRAM_SOURCES),$(BUILD)/baronet)
RUNNER  := $(BUILD)/run-tests
PAGES   := $(if $(PAGES_SOURCES),$(BUILD)/pages)
BENCHES := $(BENCH_SOURCES:tests/bench/%.c=$(BUILD)/bench-%)
FUZZERS := $(FUZZ_TARGETS:tests/fuzz/fuzz_%.c=$(BUILD)/fuzz-%)
REPLAYS := $(FUZZ_TARGETS:tests/fuzz/fuzz_%.c=$(BUILD)/replay-%)

# One short line a step; `make V=1` shows the whole commands.
Q   := $(if $(V),,@)
say = $(if $(V),,@echo "  $(1)")

.PHONY: all lib demo setup setup-browser setup-fuzz test test-browser run-tests check asan random fail cover \
        bench setup-bench count count-write setup-analyse analyse fuzz run-fuzz fuzz-keep run-fuzz-keep replay run-replay format docs install clean help
.DELETE_ON_ERROR:

all: lib $(PROGRAM) ## build the library and the program (the default)

lib: $(ARCHIVE) $(SHARED) ## build the library alone, static and shared

# Nothing is compiled before what is to be installed has been.
ifneq ($(filter setup,$(MAKECMDGOALS)),)
$(OBJECTS): | setup
endif

$(BUILD)/%.o: %.c Makefile
	@mkdir -p $(@D)
	$(call say,compile $<)
	$(Q)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) -MMD -MP -c -o $@ $<

# solver/output/report.css becomes `const char *const report_css[]`, a string a line, NULL at the end.
build/text/%.c: % Makefile
	@mkdir -p $(@D)
	$(Q){ echo 'extern const char *const $(subst .,_,$(*F))[];'; \
	  echo 'const char *const $(subst .,_,$(*F))[] = {'; \
	  sed 's/[\\"]/\\&/g; s/.*/"&\\n",/' $<; echo '0};'; } > $@

$(BUILD)/%.css.o: build/text/%.css.c
	@mkdir -p $(@D)
	$(Q)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) -c -o $@ $<

$(BUILD)/%.js.o: build/text/%.js.c
	@mkdir -p $(@D)
	$(Q)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) -c -o $@ $<

$(LIBRARY_OBJECTS) $(PROGRAM_OBJECTS): WARNINGS += -Wpedantic
$(TEST_OBJECTS) $(BENCH_OBJECTS) $(PAGES_OBJECTS) $(FUZZ_OBJECTS): CPPFLAGS_ALL += -Itests
$(BUILD)/solver/numeric/crew.o: CFLAGS_ALL += $(OPENMP)

$(ARCHIVE): $(LIBRARY_OBJECTS)
	@rm -f $@
	$(call say,archive $@)
	$(Q)ar rcs $@ $^

$(SHARED): $(LIBRARY_OBJECTS)
	$(call say,link $@)
	$(Q)$(CC) -shared $(OPENMP) -Wl,-soname,$(SONAME) -Wl,--no-undefined $(CFLAGS) $(LDFLAGS) \
	  -o $(BUILD)/$(SONAME) $^ $(LIBS)
	@ln -sf $(SONAME) $@

$(BUILD)/baronet: $(PROGRAM_OBJECTS) $(ARCHIVE)
	$(call say,link $@)
	$(Q)$(CC) $(OPENMP) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(PROGRAM_LIBS)

# Each request for memory of the library's answers, refused.
FAIL_MEMORY := $(BUILD)/fail-memory
$(BUILD)/tests/fail/refusal.o: CFLAGS_ALL += -fno-sanitize=all# it is called before they are ready
$(BUILD)/tests/fail/memory.o: CFLAGS_ALL += -DFIRST_BLOCK=1 -DLARGEST_BLOCK=1# a block for each request of an arena
$(BUILD)/tests/fail/memory.o: solver/base/memory.c
	$(call say,compile $< anew)
	@mkdir -p $(@D)
	$(Q)$(CC) $(CPPFLAGS_ALL) $(CFLAGS_ALL) -MMD -MP -c -o $@ $<
$(FAIL_MEMORY): $(FAIL_OBJECTS) $(filter-out %/main.o,$(PROGRAM_OBJECTS)) $(ARCHIVE)
	$(call say,link $@)
	$(Q)$(CC) $(OPENMP) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS) -ldl

# The program, any of whose calls for files can be made to fail.
CALLS = stat fstat readlink access mkstemp open fchown fchmod fsync rename unlink close write
$(BUILD)/baronet-calls: $(PROGRAM_OBJECTS) $(BUILD)/tests/fail/calls.o $(ARCHIVE)
	$(call say,link $@)
	$(Q)$(CC) $(OPENMP) $(CFLAGS) $(LDFLAGS) $(CALLS:%=-Wl,--wrap=%) -o $@ $^ $(LIBS)

$(RUNNER): $(TEST_OBJECTS) $(ARCHIVE)
	$(call say,link $@)
	$(Q)$(CC) $(OPENMP) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS) -lcriterion

$(BUILD)/bench-%: $(BUILD)/tests/bench/%.o $(ARCHIVE)
	$(call say,link $@)
	$(Q)$(CC) $(OPENMP) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS)

$(BUILD)/pages: $(PAGES_OBJECTS) $(filter-out %/main.o,$(PROGRAM_OBJECTS)) $(ARCHIVE)
	$(call say,link $@)
	$(Q)$(CC) $(OPENMP) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS)

# A fuzz target with a fuzzer round it, and with a plain program that reads files.
FUZZ_REST := $(BUILD)/tests/fuzz/input.o $(filter-out %/main.o,$(PROGRAM_OBJECTS)) $(ARCHIVE)
$(BUILD)/fuzz-%: $(BUILD)/tests/fuzz/fuzz_%.o $(BUILD)/tests/fuzz/mutate.o $(FUZZ_REST)
	$(call say,link $@)
	$(Q)$(CC) -fsanitize=fuzzer $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS)

$(BUILD)/replay-%: $(BUILD)/tests/fuzz/fuzz_%.o $(BUILD)/tests/fuzz/replay.o $(FUZZ_REST)
	$(call say,link $@)
	$(Q)$(CC) $(OPENMP) $(CFLAGS) $(LDFLAGS) -o $@ $^ $(LIBS)

demo: $(BUILD)/baronet ## solve a demonstration netlist and print its valve states
	$(BUILD)/baronet check netlists/camper.air
	$(BUILD)/baronet states netlists/camper.air

setup: ## install the Debian packages that are missing, with apt
	@sh tests/tools/setup.sh $(PACKAGES)

test: run-tests check ## run all tests, then the checks

# The tests read tests/reference and, by its path, the program.
run-tests: $(RUNNER) $(PROGRAM) $(PROGRAM:%=%-calls) $(FAIL_MEMORY)
	@sh tests/tools/run-tests.sh $(RUNNER) $(TEST_SOURCES)
	@$(FAIL_MEMORY) places 1 netlists/bench.air netlists/hoses.air netlists/rear.air

FAIL_MOST    ?= ways# which requests are refused: the first of each chain of calls in a question; places: of the
#                    innermost calls of a chain, once in all questions; 100: so many a question; 0: every one
FAIL_SEED    ?= 1
FAIL_NETLISTS ?= $(wildcard netlists/*.air)
fail: $(FAIL_MEMORY) ## refuse memory wherever it is asked for, in each question (hours; FAIL_MOST=100 a few)
	@$(FAIL_MEMORY) $(FAIL_MOST) $(FAIL_SEED) $(FAIL_NETLISTS)

setup-browser: ## install the Debian packages that test-browser needs
	@sh tests/tools/setup.sh $(BROWSER_PACKAGES)

# What drives the browser, in the version that tests/browser/package.json names.
build/browser/node_modules: tests/browser/package.json
	@mkdir -p $(@D) && cp $< $(@D)
	$(call say,fetch what tests/browser/package.json names)
	$(Q)cd $(@D) && npm install --no-package-lock --ignore-scripts --no-audit --no-fund --silent
	@touch $@

REPORTS ?=# such as bench.air; all demonstrations where none is named
test-browser: $(PROGRAM) build/browser/node_modules ## look at the reports of all demonstrations in a browser
	@node tests/browser/look.mjs $(PROGRAM) build/browser $(REPORTS)

check: lib $(PROGRAM) $(PAGES) ## prove the layers, the headers, the map, the layout, the manual and the pages
	@sh tests/tools/check.sh $(ARCHIVE) "$(CC)" "$(CXX)" $(PROGRAM) $(PAGES)

SANITIZE := -fsanitize=address,undefined -fno-sanitize-recover=all -fno-omit-frame-pointer
asan: ## run all tests under the address and undefined-behaviour sanitizers
	@$(MAKE) --no-print-directory VARIANT=asan CFLAGS="-O1 -g $(SANITIZE)" run-tests

COUNT ?= 10000# netlists that `make random` draws,
SEED  ?= 1# from this seed,
SKIP  ?= 0# the first ones left out
random: $(RUNNER) ## put COUNT random netlists drawn from SEED through every command
	BARONET_RANDOM=$(COUNT) BARONET_SEED=$(SEED) BARONET_SKIP=$(SKIP) \
	  $(RUNNER) --filter 'random/*'

# Without optimising, so that a branch of the source is one of the program's; with atomic counts, as
# several processors count at once.
COUNTED := -O0 -g --coverage -fprofile-update=atomic
cover: ## run all tests and tell which lines and branches of the sources they reach
	@find build/cover-$(notdir $(lastword $(CC))) -name '*.gcda' -delete 2>/dev/null || true
	@TEST_SECONDS=1500 $(MAKE) --no-print-directory VARIANT=cover CFLAGS="$(COUNTED)" LDFLAGS=-Wl,-u,__gcov_dump run-tests; code=$$?; \
	  sh tests/tools/cover.sh build/cover-$(notdir $(lastword $(CC))) && exit $$code

setup-analyse: ## install the Debian packages that analyse needs
	@sh tests/tools/setup.sh $(ANALYSE_PACKAGES)

analyse: $(TEXT_C) ## read the sources with cppcheck, clang-tidy and gcc -fanalyzer
	@sh tests/tools/analyse.sh gcc $(CPPFLAGS_ALL) -std=c11

setup-bench: ## install the Debian packages that bench and count need
	@sh tests/tools/setup.sh $(BENCH_PACKAGES)

PARTS ?=# such as speed count; all where none is named
bench: $(BENCHES) $(PROGRAM) ## measure speed and write docs/performance.md (BENCH_LONG=1: more sizes)
	@CC="$(CC)" sh tests/bench/performance.sh $(BUILD) $(PARTS)

count: $(PROGRAM) ## count the instructions of the camper's studies against tests/bench/counts.csv
	@sh tests/bench/count.sh $(PROGRAM)

count-write: $(PROGRAM) ## count them, and keep these counts
	@sh tests/bench/count.sh $(PROGRAM) --write

FUZZ_SANITIZE := -O1 -g -fsanitize=fuzzer-no-link $(SANITIZE)
fuzz fuzz-keep: # with clang, which has a fuzzer
	@$(MAKE) --no-print-directory VARIANT=fuzz CC=clang OPENMP= CFLAGS="$(FUZZ_SANITIZE)" run-$@

fuzz: ## feed each reader random input for SECONDS, side by side (see setup-fuzz)
fuzz-keep: ## renew tests/fuzz/corpus with what `make fuzz` found
setup-fuzz: ## install the Debian packages that fuzz needs
	@sh tests/tools/setup.sh $(FUZZ_PACKAGES)

run-fuzz: $(FUZZERS)
	@sh tests/tools/fuzz.sh $(SECONDS) $^

run-fuzz-keep: $(FUZZERS)
	@sh tests/tools/fuzz.sh keep $^

replay: ## feed each reader what tests/fuzz/corpus holds, under the sanitizers
	@$(MAKE) --no-print-directory VARIANT=asan CFLAGS="-O1 -g $(SANITIZE)" run-replay

run-replay: $(REPLAYS)
	@sh tests/tools/fuzz.sh replay $^

format: ## lay out all C sources with clang-format
	clang-format -i $(ALL_C)

docs: $(PROGRAM) $(PAGES) ## write the manual, completions and examples anew from the program
	@sh tests/tools/pages.sh $(PAGES) --write
	@sh tests/tools/book.sh $(PROGRAM) --write
	@sh tests/tools/example.sh "$(CC)"
	@sh tests/tools/readme.sh $(PROGRAM) --write
	@sh tests/tools/pictures.sh $(PROGRAM) --write

COMPLETIONS     := bash-completion/completions zsh/site-functions fish/vendor_completions.d
VIM_FILES       := share/vim/vimfiles
INSTALL_FOLDERS := bin lib/pkgconfig include/baronet share/man/man1 share/man/man5 \
                   share/baronet/schema $(COMPLETIONS:%=share/%) $(VIM_FILES)/syntax \
                   $(VIM_FILES)/ftdetect
install: all ## install under PREFIX (/usr/local), below DESTDIR if given
	install -d $(INSTALL_FOLDERS:%=$(DESTDIR)$(PREFIX)/%)
	install -m 755 $(PROGRAM) $(DESTDIR)$(PREFIX)/bin
	install -m 644 $(ARCHIVE) $(BUILD)/$(SONAME) $(DESTDIR)$(PREFIX)/lib
	ln -sf $(SONAME) $(DESTDIR)$(PREFIX)/lib/libbaronet.so
	install -m 644 $(wildcard include/baronet/*.h) $(DESTDIR)$(PREFIX)/include/baronet
	printf '%s\n' 'prefix=$(PREFIX)' 'includedir=$${prefix}/include' 'libdir=$${prefix}/lib' '' \
	  'Name: baronet' 'Description: compressed-air networks under a vehicle' \
	  'Version: $(VERSION)' 'Requires.private: libxml-2.0' 'Cflags: -I$${includedir}' \
	  'Libs: -L$${libdir} -lbaronet' 'Libs.private: $(filter-out $(XML_LIBS),$(LIBS)) $(OPENMP)' \
	  > $(DESTDIR)$(PREFIX)/lib/pkgconfig/baronet.pc
	cp -R netlists $(DESTDIR)$(PREFIX)/share/baronet
	install -m 644 $(wildcard docs/schema/*.rng) $(DESTDIR)$(PREFIX)/share/baronet/schema
	install -m 644 docs/baronet.1 $(DESTDIR)$(PREFIX)/share/man/man1
	install -m 644 docs/baronet.5 $(DESTDIR)$(PREFIX)/share/man/man5
	install -m 644 docs/shell/baronet.bash \
	  $(DESTDIR)$(PREFIX)/share/bash-completion/completions/baronet
	install -m 644 docs/shell/_baronet $(DESTDIR)$(PREFIX)/share/zsh/site-functions
	install -m 644 docs/shell/baronet.fish $(DESTDIR)$(PREFIX)/share/fish/vendor_completions.d
	for part in syntax ftdetect; do \
	  install -m 644 docs/vim/$$part/baronet.vim $(DESTDIR)$(PREFIX)/$(VIM_FILES)/$$part; done

clean: ## remove all that was built
	rm -rf build

help: ## list these targets
	@sed -n 's/^\([a-z-]*\):.*## \(.*\)/\1\t\2/p' Makefile | expand -t 10

-include $(OBJECTS:.o=.d)
