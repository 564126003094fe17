/* Tests of solver/netlist/outline.c. The messages are in tests/golden.
   SPDX-License-Identifier: MIT */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "sample.h"

static char *said;

static baronet_netlist *read_files(const sample_file *files, baronet_status *status) {
    const baronet_reader reader = sample_reader(files);
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    *status = baronet_netlist_read(files[0].path, &reader, NULL, d, &n);
    free(said);
    said = strdup(baronet_diagnostics_text(d, false));
    baronet_diagnostics_destroy(d);
    return n;
}

Test(outline, includes_stand_in_their_place) {
    static const sample_file files[] = {
        {"vans/van.air", "include \"../parts/sizes.air\"\ntank a volume v\ninclude \"more.air\"\n"},
        {"vans/../parts/sizes.air", "let v 4 L"},
        {"vans/more.air", "tank b volume v\nrestrictor c from a to b bore 2 mm\n"},
        {NULL, NULL}};
    baronet_status status;
    baronet_netlist *const n = read_files(files, &status);
    cr_assert_eq(status, BARONET_OK, "%s", said);
    cr_expect_eq(netlist_model(n)->network.nodes, 3);
    baronet_netlist_destroy(n);
}

/* Each file is read once, so that shared parts are safe and no small set of files can grow large.
 */
Test(outline, a_file_is_read_once) {
    static const sample_file files[] = {
        {"top", "include \"a\"\ninclude \"b\"\ninclude \"c\"\ntee t\n"},
        {"a", "include \"b\"\ninclude \"c\"\ninclude \"b\"\ntank ta volume 1 L\n"},
        {"b", "include \"c\"\ninclude \"./c\"\ntank tb volume 1 L\n"},
        {"c", "tank tc volume 1 L\n"},
        {NULL, NULL}};
    baronet_status status;
    baronet_netlist *const n = read_files(files, &status);
    cr_assert_eq(status, BARONET_OK, "%s", said);
    cr_expect_eq(netlist_model(n)->network.nodes, 5);
    baronet_netlist_destroy(n);
}

/* File `i` of a chain includes file `i` + 1, without end. */
static baronet_status read_chain(void *context, const char *path, size_t limit,
                                 const baronet_allocator *allocator, char **bytes, size_t *length,
                                 const char **reason) {
    (void)limit, (void)allocator, (void)reason;
    const int last = *(const int *)context;
    const int i = atoi(path);
    *bytes = malloc(100);
    *length = (size_t)(i < last ? snprintf(*bytes, 100, "include \"%d\"\n", i + 1)
                                : snprintf(*bytes, 100, "tank t volume 1 L\n"));
    return BARONET_OK;
}

static baronet_status chain_status(int last) {
    const baronet_reader reader = {read_chain, &last};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    const baronet_status status = baronet_netlist_read("0", &reader, NULL, d, &n);
    free(said);
    said = strdup(baronet_diagnostics_text(d, false));
    baronet_netlist_destroy(n);
    baronet_diagnostics_destroy(d);
    return status;
}

Test(outline, includes_are_64_deep_at_most) {
    cr_expect_eq(chain_status(BARONET_INCLUDE_DEPTH), BARONET_OK, "%s", said);
    cr_expect_eq(chain_status(BARONET_INCLUDE_DEPTH + 1), BARONET_BAD_NETLIST);
    cr_expect_not_null(strstr(said, "64:1:10: error: includes are more than 64 deep"), "%s", said);
    cr_expect_eq(chain_status(10000), BARONET_BAD_NETLIST);
}

/* The first file includes the second; what it leaves of the limit is the second one's. */
static baronet_status read_limited(void *context, const char *path, size_t limit,
                                   const baronet_allocator *allocator, char **bytes, size_t *length,
                                   const char **reason) {
    (void)allocator;
    *(size_t *)context = limit;
    *reason = "it is beyond the limit";
    if (strcmp(path, "second") == 0)
        return BARONET_NO_FILE;
    *bytes = strdup("include \"second\"\n");
    *length = strlen(*bytes);
    return BARONET_OK;
}

Test(outline, files_share_one_limit) {
    size_t limit = 0;
    const baronet_reader reader = {read_limited, &limit};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    cr_expect_eq(baronet_netlist_read("first", &reader, NULL, d, &n), BARONET_BAD_NETLIST);
    cr_expect_eq(limit, BARONET_FILE_LIMIT - strlen("include \"second\"\n"));
    cr_expect_not_null(strstr(baronet_diagnostics_text(d, false), "it is beyond the limit"));
    baronet_diagnostics_destroy(d);
}

/* A statement after the second file, which has three statements more than may be. */
static baronet_status read_many(void *context, const char *path, size_t limit,
                                const baronet_allocator *allocator, char **bytes, size_t *length,
                                const char **reason) {
    (void)context;
    (void)limit;
    (void)allocator;
    (void)reason;
    const char row[] = "require x\n";
    const size_t each = strlen(row);
    if (strcmp(path, "second") != 0) {
        *bytes = strdup("include \"second\"\nrequire x\n");
        *length = strlen(*bytes);
        return BARONET_OK;
    }
    *length = each * (BARONET_STATEMENT_LIMIT + 2);
    *bytes = malloc(*length);
    for (size_t k = 0; k < *length; k++)
        (*bytes)[k] = row[k % each];
    return BARONET_OK;
}

Test(outline, statements_are_so_many_at_most) {
    const baronet_reader reader = {read_many, NULL};
    baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *n = NULL;
    cr_expect_eq(baronet_netlist_read("first", &reader, NULL, d, &n), BARONET_BAD_NETLIST);
    cr_expect_eq(baronet_diagnostics_total(d, BARONET_ERROR), 1);
    const char *const first = "second:5000000:1: error: a netlist has at most 5000000 statements\n";
    cr_expect_eq(strncmp(baronet_diagnostics_text(d, false), first, strlen(first)), 0, "%s",
                 baronet_diagnostics_text(d, false));
    baronet_diagnostics_destroy(d);
}

/* What a file that is missing would have named is not complained of. */
Test(outline, a_missing_file_is_the_only_error) {
    baronet_status status;
    char *const text = sample_said("include \"gone.air\"\nspring s on RL profile p height 1 mm\n"
                                   "state a open v\n",
                                   &status);
    cr_expect_eq(status, BARONET_BAD_NETLIST);
    cr_expect_not_null(strstr(text, "`gone.air` cannot be included"));
    cr_expect_null(strstr(strstr(text, "error:") + 1, "error:"), "%s", text);
    free(text);
}

Test(outline, a_wrong_definition_still_defines) {
    char *const text = sample_said("tnak a volume 1 L\ntank b volume 1 kg\ntank c\n"
                                   "restrictor d from a to b bore 1 mm\n"
                                   "restrictor e from b to c bore 1 mm\n",
                                   NULL);
    int errors = 0;
    for (const char *at = text; (at = strstr(at, "error:")) != NULL; at++)
        errors++;
    cr_expect_eq(errors, 3, "%s", text);
    free(text);
}

/* A long circle is told without its middle. */
Test(outline, a_long_circle_is_cut) {
    static char paths[4][300], texts[4][320];
    static sample_file files[5];
    for (int i = 0; i < 4; i++) {
        snprintf(paths[i], sizeof paths[i], "%c%0200d.air", 'a' + i, 0);
        snprintf(texts[i], sizeof texts[i], "include \"%c%0200d.air\"\n", 'a' + (i + 1) % 4, 0);
        files[i] = (sample_file){paths[i], texts[i]};
    }
    baronet_status status;
    cr_expect_null(read_files(files, &status));
    cr_expect_eq(status, BARONET_BAD_NETLIST);
    cr_expect_not_null(strstr(said, "this include is circular: `a000"), "%s", said);
    cr_expect_not_null(strstr(said, "included by `d000"), "%s", said);
    cr_expect_null(strstr(said, "included by `b000"), "%s", said);
}

/* A motion or a hose that a file may have held is not missed. */
Test(outline, what_a_missing_file_may_hold_is_not_missed) {
    char *const text = sample_said("include \"gone.air\"\ntank a volume 1 L\nmotion m FL 0\n"
                                   "require wheel_rate of FL above 3 N/mm\n",
                                   NULL);
    cr_expect_not_null(strstr(text, "`gone.air` cannot be included"));
    cr_expect_null(strstr(strstr(text, "error:") + 1, "error:"), "%s", text);
    free(text);
}

Test(outline, marks_of_other_encodings) {
    static const struct {
        const char *bytes;
        size_t length;
        const char *said;
    } cases[] = {{"\xFE\xFF\0t\0a", 6, "x: error: the file is UTF-16"},
                 {"\xFF", 1, "x:1:1: error: a byte that is not UTF-8"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        baronet_diagnostics *const d = baronet_diagnostics_create(NULL, 0);
        baronet_netlist *n;
        cr_expect_eq(baronet_netlist_read_text("x", cases[i].bytes, cases[i].length, NULL, d, &n),
                     BARONET_BAD_NETLIST);
        const char *const text = baronet_diagnostics_text(d, false);
        cr_expect_eq(strncmp(text, cases[i].said, strlen(cases[i].said)), 0, "%s", text);
        baronet_diagnostics_destroy(d);
    }
}

static int count_errors(const char *text) {
    int errors = 0;
    for (const char *at = text; (at = strstr(at, "error:")) != NULL; at++)
        errors++;
    return errors;
}

/* A word that stands for nothing because its statement was wrong is wrong once. */
Test(outline, a_name_that_was_refused_is_not_missed) {
    static const struct {
        const char *text;
        int errors;
    } cases[] = {
        {"tnak a volume 1 L\ntank a volume 2 L\n", 1},
        {"tank b volume 1 L\ntank atmosphere volume 2 L\nrestrictor r from b to atmosphere bore 1 "
         "mm\n",
         1},
        {"tank b volume 1 L\nstate rest\ncharge in rest\n", 1},
        {"tank b volume 1 L\ntnak a volume 1 L\nrequire pressure of a above 1 bar\n", 1},
        {"tank b volume 1 L\nmotion m FL 1\n", 1},
        {"tank b volume 1 L\nevent e lateral 3 m/s2 lateral\n", 1},
        {"tank b volume 1 L\nevent e at 0 s open gate until 3 s\n", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        char *const text = sample_said(cases[i].text, NULL);
        cr_expect_eq(count_errors(text), cases[i].errors, "%s", text);
        free(text);
    }
}

/* Something that no path can end at, and is no path either. */
Test(outline, a_path_ends_at_air) {
    sample_refused("tank a volume 1 L\nprofile p area 9 cm2 volume 1 L at 15 cm\n"
                   "restrictor r from a to p bore 3 mm\n",
                   "`p` is a profile; a spring, tank, tee or supply is wanted here");
}

/* Lines that carry on a statement where none stands before them. */
Test(outline, a_first_line_with_an_indent) {
    static const struct {
        const char *text, *said;
    } cases[] = {{" tank a volume 1 L\n", "x.air:1:2: error: this line carries on a statement"},
                 {"\n\n  tank a volume 1 L\n", "x.air:3:3: error: this line carries on"},
                 {"   tank a volume 1 L\n", "x.air:1:4: error: this line carries on"},
                 {"# so\n\ttank a volume 1 L\n", "x.air:2:2: error: this line carries on"},
                 {"\xEF\xBB\xBF tank a volume 1 L\n", "x.air:1:2: error: this line carries on"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++)
        sample_refused(cases[i].text, cases[i].said);
    baronet_netlist_destroy(sample("\xEF\xBB\xBFtank a volume 1 L\n"));
    baronet_netlist_destroy(sample("\n# so\ntank a volume 1 L\n"));
}
