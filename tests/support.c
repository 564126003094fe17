/* support.c: see support.h.
   SPDX-License-Identifier: MIT */
#include "support.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void check_within(const char *file, int line, const char *what, double got, double expected,
                  double abs_tol, const char *source) {
    const bool close = fabs(got - expected) <= abs_tol;
    cr_assert(close, "%s:%d: %s is %.17g, not %.17g within %g (%s)", file, line, what, got,
              expected, abs_tol, source);
}

void check_close(const char *file, int line, const char *what, double got, double expected,
                 double rel_tol, const char *source) {
    const double scale = expected == 0.0 ? 1.0 : fabs(expected);
    check_within(file, line, what, got, expected, rel_tol * scale, source);
}

struct csv {
    char name[64];
    char *bytes;         /* the file, with each field terminated */
    const char **fields; /* rows * columns, the header first */
    size_t rows;         /* without the header */
    size_t columns;
};

static char *read_file(const char *path) {
    FILE *const file = fopen(path, "rb");
    cr_assert(file != NULL, "%s cannot be read", path);
    cr_assert_eq(fseek(file, 0, SEEK_END), 0);
    const long size = ftell(file);
    cr_assert(size > 0);
    rewind(file);
    char *const bytes = malloc((size_t)size + 1);
    cr_assert(bytes != NULL);
    cr_assert_eq(fread(bytes, 1, (size_t)size, file), (size_t)size);
    bytes[size] = 0;
    fclose(file);
    return bytes;
}

static size_t count_bytes(const char *text, char wanted, const char *ends) {
    size_t count = 0;
    for (; *text && !strchr(ends, *text); text++)
        count += *text == wanted;
    return count;
}

csv *csv_read(const char *name) {
    char path[256];
    snprintf(path, sizeof path, "tests/reference/%s.csv", name);
    csv *const table = calloc(1, sizeof *table);
    cr_assert(table != NULL);
    snprintf(table->name, sizeof table->name, "%s", name);
    table->bytes = read_file(path);
    table->columns = count_bytes(table->bytes, ',', "\n") + 1;
    const size_t lines = count_bytes(table->bytes, '\n', "");
    table->rows = lines - 1;
    table->fields = malloc(lines * table->columns * sizeof *table->fields);
    cr_assert(table->fields != NULL);
    char *at = table->bytes;
    for (size_t i = 0; i < lines * table->columns; i++) {
        const char *const end = (i + 1) % table->columns == 0 ? "\n" : ",";
        const size_t length = strcspn(at, ",\n");
        cr_assert(at[length] == *end, "%s: line %zu has other columns than the header", path,
                  i / table->columns + 1);
        table->fields[i] = at;
        at[length] = 0;
        at += length + 1;
    }
    return table;
}

void csv_free(csv *table) {
    free(table->fields);
    free(table->bytes);
    free(table);
}

size_t csv_rows(const csv *table) {
    return table->rows;
}

const char *csv_text(const csv *table, size_t row, const char *column) {
    size_t i = 0;
    while (i < table->columns && strcmp(table->fields[i], column) != 0)
        i++;
    cr_assert(i < table->columns && row < table->rows, "no column %s or row %zu", column, row);
    return table->fields[(row + 1) * table->columns + i];
}

bool csv_is(const csv *table, size_t row, const char *column, const char *text) {
    return strcmp(csv_text(table, row, column), text) == 0;
}

double csv_number(const csv *table, size_t row, const char *column) {
    const char *const field = csv_text(table, row, column);
    return *field ? strtod(field, NULL) : (double)NAN;
}

/* Below this the tables mean their tolerance to be absolute (tests/reference/README.md). */
#define SMALL_EXPECTED 1e-9

/* Tells the file that BARONET_ROWS names, if any, of a row that was compared, for
   tests/tools/outside.sh. A line is written at once, as the file is closed: tests run in several
   processes. */
static void tell_row(double got, const csv *table, size_t row) {
    const char *const path = getenv("BARONET_ROWS");
    FILE *const file = path != NULL ? fopen(path, "ab") : NULL;
    if (file == NULL)
        return;
    static const char *const columns[] = {"kind", "quantity", "unit", "rel_tol", "source"};
    fprintf(file, "%s,%s,%.6g,%.6g", table->name, csv_text(table, row, "id"),
            csv_number(table, row, "expected_si"), got);
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++)
        fprintf(file, ",%s", csv_text(table, row, columns[i]));
    fputs("\n", file);
    fclose(file);
}

void check_row(const char *file, int line, const char *what, double got, const csv *table,
               size_t row) {
    const double expected = csv_number(table, row, "expected_si");
    const double tolerance = csv_number(table, row, "rel_tol");
    char source[512];
    snprintf(source, sizeof source, "row %s, %s: %s", csv_text(table, row, "id"),
             csv_text(table, row, "quantity"), csv_text(table, row, "source"));
    if (fabs(expected) < SMALL_EXPECTED)
        check_within(file, line, what, got, expected, tolerance, source);
    else
        check_close(file, line, what, got, expected, tolerance, source);
    tell_row(got, table, row);
}

static void *failing_resize(void *context, void *block, size_t size) {
    failing *const f = context;
    if (size == 0) {
        f->live -= block != NULL;
        free(block);
        return NULL;
    }
    f->calls++;
    f->failed |= f->calls == f->fail_at;
    void *const resized = f->failed ? NULL : realloc(block, size);
    f->live += resized != NULL && block == NULL;
    return resized;
}

const baronet_allocator *failing_start(failing *f, size_t fail_at) {
    *f = (failing){.allocator = {failing_resize, f}, .fail_at = fail_at};
    return &f->allocator;
}

static void *refusing_resize(void *context, void *block, size_t size) {
    enum { SMALLEST_BLOCK = 4096 }; /* of an arena, in memory.c */
    refusal *const r = context;
    if (block == NULL && size >= SMALLEST_BLOCK)
        r->done |= --r->block == 0;
    if (size > 0)
        return r->done ? NULL : realloc(block, size);
    free(block);
    return NULL;
}

const baronet_allocator *refusal_start(refusal *r, size_t block) {
    *r = (refusal){.allocator = {refusing_resize, r}, .block = block};
    return &r->allocator;
}

/* Knuth's MMIX multiplier and increment; the top bits are the good ones. */
double random_unit(unsigned long long *state) {
    *state = *state * 6364136223846793005ULL + 1442695040888963407ULL;
    return (double)(*state >> 11) * 0x1p-53;
}
