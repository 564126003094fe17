/* SPDX-License-Identifier: MIT */
#include "netlist/edit.h"

#include <stdlib.h>
#include <string.h>

#include "netlist/reading.h"

/* Digits that give a number back to the bit. */
enum { EXACT_DIGITS = 17 };

/* Other words for one place. */
typedef struct edit {
    place place;
    int dial;
} edit;

typedef struct edits {
    const baronet_netlist *netlist;
    const baronet_allocator *allocator;
    const dial *dial;
    const double *value;
    int digits;
    size_t count;
    edit *edit; /* by place, whichever file it is in */
} edits;

static int compare(const void *first, const void *second) {
    const edit *const a = first, *const b = second;
    return (a->place.start > b->place.start) - (a->place.start < b->place.start);
}

/* Lists all places; `*stands` is a dial whose value stands in none, or -1. */
static baronet_status list_edits(edits *out, int dials, int *stands) {
    size_t most = 1;
    for (int i = 0; i < dials; i++)
        most += (size_t)out->dial[i].targets;
    *stands = -1;
    out->edit = memory_resize(out->allocator, NULL, most * sizeof *out->edit);
    if (!out->edit)
        return BARONET_OUT_OF_MEMORY;
    for (int i = 0; i < dials; i++) {
        for (int k = 0; k < out->dial[i].targets; k++) {
            const dial_target *const t = &out->dial[i].target[k];
            if (t->written)
                out->edit[out->count++] = (edit){t->address.place, i};
            else
                *stands = i;
        }
    }
    qsort(out->edit, out->count, sizeof *out->edit, compare);
    return BARONET_OK;
}

/* One file's bytes with its edits made. */
static void write_file(const edits *e, const source *file, text_buffer *out) {
    size_t at = 0;
    for (size_t i = 0; i < e->count; i++) {
        const place p = e->edit[i].place;
        if (p.source != file || p.start < at)
            continue;
        const int index = e->edit[i].dial;
        text_buffer_add_bytes(out, file->bytes + at, p.start - at);
        dial_words(&e->dial[index], e->value[index], e->digits, out);
        at = p.start + p.length;
    }
    text_buffer_add_bytes(out, file->bytes + at, file->length - at);
}

baronet_status netlist_edited(const baronet_netlist *netlist, int dials, const dial *dial_list,
                              const double *values, int digits, text_buffer *out, int *stands) {
    edits e = {.netlist = netlist,
               .allocator = out->allocator,
               .dial = dial_list,
               .value = values,
               .digits = digits};
    const baronet_status status = list_edits(&e, dials, stands);
    const source *const first = netlist->sources.first;
    for (size_t i = 0; i < e.count && *stands < 0; i++) {
        if (e.edit[i].place.source != first)
            *stands = e.edit[i].dial;
    }
    if (status == BARONET_OK && *stands < 0)
        write_file(&e, first, out);
    memory_resize(e.allocator, e.edit, 0);
    if (status != BARONET_OK || out->failed)
        return BARONET_OUT_OF_MEMORY;
    return *stands < 0 ? BARONET_OK : BARONET_NO_SUCH_NAME;
}

/* A reader of the same files from memory. */
static baronet_status read_edited(void *context, const char *path, size_t limit,
                                  const baronet_allocator *allocator, char **bytes, size_t *length,
                                  const char **reason) {
    const edits *const e = context;
    for (const source *file = e->netlist->sources.first; file; file = file->next) {
        if (strcmp(file->path, path) != 0)
            continue;
        text_buffer out = {.allocator = allocator};
        text_buffer_add(&out, "");
        write_file(e, file, &out);
        *bytes = out.bytes;
        *length = out.length;
        if (!out.failed && out.length <= limit)
            return BARONET_OK;
        text_buffer_free(&out);
        *bytes = NULL;
        return BARONET_OUT_OF_MEMORY;
    }
    *reason = "it was not part of the netlist";
    return BARONET_NO_FILE;
}

baronet_status netlist_again(const baronet_netlist *netlist, int dials, const dial *dial_list,
                             const double *values, const baronet_allocator *allocator,
                             baronet_netlist **out) {
    *out = NULL;
    edits e = {.netlist = netlist,
               .allocator = allocator,
               .dial = dial_list,
               .value = values,
               .digits = EXACT_DIGITS};
    int stands = -1;
    baronet_status status = list_edits(&e, dials, &stands);
    baronet_diagnostics *const said =
        status == BARONET_OK ? baronet_diagnostics_create(allocator, 1) : NULL;
    if (status == BARONET_OK && !said)
        status = BARONET_OUT_OF_MEMORY;
    if (status == BARONET_OK && stands >= 0)
        status = BARONET_BAD_NETLIST;
    if (status == BARONET_OK) {
        const baronet_reader reader = {read_edited, &e};
        status = baronet_netlist_read(netlist->sources.first->path, &reader, allocator, said, out);
    }
    baronet_diagnostics_destroy(said);
    memory_resize(allocator, e.edit, 0);
    return status;
}
