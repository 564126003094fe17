/* SPDX-License-Identifier: MIT */
#include "netlist/netlist.h"

#include <string.h>

#include "netlist/build.h"
#include "netlist/outline.h"

/* An empty netlist in an arena of its own; NULL for want of memory. */
static baronet_netlist *create(const baronet_reader *reader, const baronet_allocator *allocator) {
    arena *a;
    baronet_netlist *const n = ARENA_OWNER(baronet_netlist, allocator, &a);
    if (!n)
        return NULL;
    n->arena = a;
    n->names = names_create(a);
    if (sources_make(&n->sources, a, reader) != BARONET_OK || !n->names) {
        baronet_netlist_destroy(n);
        return NULL;
    }
    return n;
}

void baronet_netlist_destroy(baronet_netlist *netlist) {
    if (!netlist)
        return;
    sources_free(&netlist->sources);
    names_destroy(netlist->names);
    arena_destroy(netlist->arena);
}

static void check_content(reading *r, source *first) {
    const entries *const list = r->netlist->list;
    if (r->errors == 0 && list[KEYWORD_SPRING].count == 0 && list[KEYWORD_TANK].count == 0)
        complain(r, (place){first, PLACE_WHOLE, 0}, "a netlist has a spring or a tank at least",
                 "there is nothing to solve");
}

static void build_model(reading *r) {
    build b = {.r = r, .m = &r->netlist->model, .list = r->netlist->list};
    static void (*const steps[])(build *) = {build_setting,      build_profiles, build_vehicle,
                                             build_network,      build_plan,     build_events,
                                             build_requirements, build_cautions};
    for (size_t i = 0; i < sizeof steps / sizeof *steps && !r->failed; i++)
        steps[i](&b);
    scratch_free(r, &b.scratch);
}

/* Reads from the first source on; takes over the netlist. */
static baronet_status finish(baronet_netlist *n, source *first, baronet_diagnostics *diagnostics,
                             baronet_netlist **netlist) {
    reading r = {
        .netlist = n, .arena = n->arena, .diagnostics = diagnostics, .patience = READING_PATIENCE};
    outline_read(&r, first);
    const bool whole = r.order <= BARONET_STATEMENT_LIMIT;
    if (!r.failed && whole)
        build_model(&r);
    if (!r.failed && whole)
        check_content(&r, first);
    const baronet_status status = r.failed       ? BARONET_OUT_OF_MEMORY
                                  : r.errors > 0 ? BARONET_BAD_NETLIST
                                                 : BARONET_OK;
    if (status == BARONET_OK)
        *netlist = n;
    else
        baronet_netlist_destroy(n);
    return status;
}

/* Says why there is nothing to read, unless that is for want of memory; gives the netlist up. */
static baronet_status refuse(baronet_netlist *n, const char *path, baronet_status status,
                             const char *reason, baronet_diagnostics *diagnostics) {
    reading r = {.netlist = n, .arena = n->arena, .diagnostics = diagnostics};
    if (status != BARONET_OUT_OF_MEMORY)
        complain(&r, (place){0}, NULL, "`%s` cannot be read: %s", shown(&r, text_of(path)), reason);
    baronet_netlist_destroy(n);
    return r.failed ? BARONET_OUT_OF_MEMORY : status;
}

baronet_status baronet_netlist_read(const char *path, const baronet_reader *reader,
                                    const baronet_allocator *allocator,
                                    baronet_diagnostics *diagnostics, baronet_netlist **netlist) {
    *netlist = NULL;
    baronet_netlist *const n = create(reader, allocator);
    if (!n)
        return BARONET_OUT_OF_MEMORY;
    source *first = NULL;
    bool fresh;
    const char *reason = "";
    const baronet_status status = sources_load(&n->sources, path, NULL, &first, &fresh, &reason);
    return status == BARONET_OK ? finish(n, first, diagnostics, netlist)
                                : refuse(n, path, status, reason, diagnostics);
}

baronet_status baronet_netlist_read_text(const char *called, const char *bytes, size_t length,
                                         const baronet_allocator *allocator,
                                         baronet_diagnostics *diagnostics,
                                         baronet_netlist **netlist) {
    *netlist = NULL;
    baronet_netlist *const n = create(NULL, allocator);
    if (!n)
        return BARONET_OUT_OF_MEMORY;
    source *first = NULL;
    const char *reason = "";
    const baronet_status status =
        sources_add_text(&n->sources, called, (text){bytes, length}, &first, &reason);
    return status == BARONET_OK ? finish(n, first, diagnostics, netlist)
                                : refuse(n, called, status, reason, diagnostics);
}

const char *baronet_netlist_about(const baronet_netlist *netlist) {
    return netlist->model.about;
}

const char *baronet_netlist_state(const baronet_netlist *netlist, size_t index) {
    const model *const m = &netlist->model;
    return index < (size_t)m->states ? m->state[index].name : NULL;
}

const char *baronet_netlist_case(const baronet_netlist *netlist, size_t index) {
    const model *const m = &netlist->model;
    return index < (size_t)m->cases ? m->load_case[index].name : NULL;
}

const model *netlist_model(const baronet_netlist *netlist) {
    return &netlist->model;
}

netlist_file netlist_file_at(const baronet_netlist *netlist, int index) {
    const source *s = netlist->sources.first;
    while (s != NULL && index-- > 0) {
        s = s->next;
    }
    return s != NULL ? (netlist_file){s->path, s->bytes, s->length} : (netlist_file){0};
}

const baronet_allocator *netlist_allocator(const baronet_netlist *netlist) {
    return arena_allocator(netlist->arena);
}
