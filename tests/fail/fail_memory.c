/* Every request for memory is refused, once alone and once with all that follow: each question on
   each demonstration, in each format, and a command with the files that it writes. Nothing crashes
   or is kept, the status tells, what is asked again is answered as before, and a file is whole.
   SPDX-License-Identifier: MIT */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "baronet/baronet.h"
#include "cli/commands.h"
#include "netlist/netlist.h"
#include "refusal.h"

typedef struct asked {
    const char *name;
    baronet_study *study;
    baronet_question question;
} asked;

/* What a design study is asked of any netlist. */
static const baronet_change warmth = {"ambient.temperature=5C..35C", NULL},
                            chance = {"ambient.temperature=+-10C", NULL};

static const asked questions[] = {
    {"check", baronet_check, {0}},
    {"rates", baronet_rates, {0}},
    {"stroke", baronet_stroke, {.points = 5}},
    {"times", baronet_times, {0}},
    {"response", baronet_response, {.points = 5}},
    {"response --road", baronet_response, {.points = 5, .road = true}},
    {"play", baronet_play, {0}},
    {"faults", baronet_faults, {0}},
    {"parts", baronet_parts, {0}},
    {"ride", baronet_ride, {0}},
    {"vary", baronet_vary, {.change = &warmth, .changes = 1, .points = 3, .workers = 1}},
    {"size", baronet_size, {.change = &warmth, .changes = 1, .workers = 1}},
    {"spread", baronet_spread, {.change = &chance, .changes = 1, .runs = 20, .workers = 1}},
    {"states", baronet_states, {0}},
    {"states --all", baronet_states, {.all = true}},
    {"draw", baronet_draw, {.show = "bores,pressures"}},
    {"report", baronet_report, {0}},
};

typedef struct plan {
    unsigned long long seed;
    long most;   /* requests of each piece of work that are tried, about; 0: every one; or negative:
                    see refusal.h */
    refusal all; /* what has been tried so far */
} plan;

/* Blocks of this allocator are no blocks of malloc: one that is given back to the wrong one shows.
 */
enum { HEAD = 16, MARK = 0x5A };

static void *resize(void *context, void *block, size_t size) {
    (void)context;
    unsigned char *const old = block != NULL ? (unsigned char *)block - HEAD : NULL;
    if (old != NULL && old[0] != MARK) {
        abort();
    }
    if (size == 0) {
        memset(old, 0, HEAD);
        free(old);
        return NULL;
    }
    unsigned char *const moved = realloc(old, size + HEAD);
    if (moved != NULL) {
        memset(moved, MARK, HEAD);
    }
    return moved != NULL ? moved + HEAD : NULL;
}

static const baronet_allocator marking = {resize, NULL};

/* Begins a piece of work that has been done before, with so many requests. */
static void begin(const plan *p, refusal *r, long expected, const char *what) {
    *r = (refusal){.seed = p->seed, .stride = 1};
    if (p->most != 0) {
        r->stride = p->most > 0 ? expected / p->most + 1 : p->most;
    }
    refusal_begin(r, what);
}

/* And one that is to be counted only. */
static void begin_counting(refusal *r, const char *what) {
    *r = (refusal){0};
    refusal_begin(r, what);
}

static void end(plan *p, const refusal *r, const char *path, const char *what) {
    refusal_end();
    p->all.requests += r->requests;
    p->all.let_be += r->let_be;
    p->all.tried += r->tried;
    p->all.wrong += r->wrong;
    if (r->wrong > 0) {
        printf("%s: %s: %ld of %ld refusals go wrong\n", path, what, r->wrong, r->tried);
    }
}

/* A rendering that has to succeed. */
static const char *render(baronet_answer *answer, baronet_format format) {
    const char *bytes = NULL;
    size_t length = 0;
    if (baronet_answer_render(answer, format, false, &bytes, &length) != BARONET_OK) {
        abort();
    }
    return bytes;
}

/* All that an answer says, to people and to machines; to be freed. */
static char *say(baronet_answer *answer) {
    const char *const words = render(answer, BARONET_TEXT);
    const size_t length = strlen(words);
    char *all = malloc(length + 1);
    memcpy(all, words, length + 1);
    const char *const table = render(answer, BARONET_CSV);
    all = realloc(all, length + strlen(table) + 1);
    memcpy(all + length, table, strlen(table) + 1);
    return all;
}

static bool says(baronet_answer *answer, const char *expected) {
    char *const said = say(answer);
    const bool same = strcmp(said, expected) == 0;
    free(said);
    return same;
}

static baronet_status read_netlist(const char *path, baronet_netlist **netlist) {
    *netlist = NULL;
    baronet_diagnostics *said = baronet_diagnostics_create(&marking, 0);
    const baronet_status status = said != NULL
                                      ? baronet_netlist_read(path, NULL, &marking, said, netlist)
                                      : BARONET_OUT_OF_MEMORY;
    baronet_diagnostics_destroy(said);
    return status;
}

static const char *kept(long live) {
    return refusal_live() != live ? "blocks are kept, or given back twice" : NULL;
}

static void try_reading(plan *p, const char *path) {
    baronet_netlist *netlist = NULL;
    refusal r;
    begin_counting(&r, "read");
    if (read_netlist(path, &netlist) != BARONET_OK) {
        abort();
    }
    refusal_end();
    baronet_netlist_destroy(netlist);
    const long live = refusal_live();
    begin(&(plan){.most = 0}, &r, r.requests, "read"); /* all of the few */
    const baronet_status status = read_netlist(path, &netlist);
    if (refusal_met()) {
        refusal_end();
        if (status != BARONET_OUT_OF_MEMORY && status != BARONET_OK) {
            refusal_judge(baronet_status_text(status));
        }
        if ((status == BARONET_OK) != (netlist != NULL)) {
            refusal_judge("out of memory, and a netlist");
        }
        baronet_netlist_destroy(netlist);
        refusal_judge(kept(live));
    }
    end(p, &r, path, "read");
    baronet_netlist_destroy(netlist);
}

static void try_format(plan *p, const char *path, const char *name, baronet_answer *answer,
                       baronet_format format) {
    char what[80];
    refusal r;
    snprintf(what, sizeof what, "%s --as %s", name, baronet_format_name(format));
    begin_counting(&r, what);
    const char *bytes = render(answer, format);
    size_t length = 0;
    refusal_end();
    char *const expected = strdup(bytes);
    const long live = refusal_live();
    begin(p, &r, r.requests, what);
    const baronet_status status = baronet_answer_render(answer, format, false, &bytes, &length);
    if (refusal_met()) {
        refusal_end();
        if (status != BARONET_OK && status != BARONET_OUT_OF_MEMORY) {
            refusal_judge(baronet_status_text(status));
        }
        if (status == BARONET_OK && strcmp(bytes, expected) != 0) {
            refusal_judge("other bytes");
        }
        refusal_judge(strcmp(render(answer, format), expected) != 0 ? "no second rendering"
                                                                    : kept(live));
    }
    end(p, &r, path, what);
    free(expected);
}

/* What came of a question in the child; asking again takes long, so that few do. */
static void judge_answer(baronet_status status, baronet_answer *answer, const char *expected,
                         long live) {
    refusal_end();
    if (status != BARONET_OK && status != BARONET_OUT_OF_MEMORY) {
        refusal_judge(baronet_status_text(status));
    }
    if ((status == BARONET_OK) != (answer != NULL)) {
        refusal_judge("out of memory, and an answer");
    }
    if (answer != NULL && !says(answer, expected)) {
        refusal_judge("another answer");
    }
    baronet_answer_destroy(answer);
    if (kept(live) != NULL) {
        refusal_judge(kept(live));
    }
}

/* One of so many children asks again. */
enum { ASK_AGAIN = 32 };

static void try_question(plan *p, const char *path, const baronet_netlist *netlist, const asked *a,
                         const baronet_question *question) {
    baronet_answer *answer = NULL;
    refusal r;
    begin_counting(&r, a->name);
    if (a->study(netlist, question, &answer, NULL) != BARONET_OK) {
        abort();
    }
    refusal_end();
    char *const expected = say(answer);
    for (int format = 0; format < BARONET_FORMATS; format++) {
        try_format(p, path, a->name, answer, (baronet_format)format);
    }
    baronet_answer_destroy(answer);
    answer = NULL;
    const long live = refusal_live();
    begin(p, &r, r.requests, a->name);
    const baronet_status status = a->study(netlist, question, &answer, NULL);
    if (refusal_met()) {
        judge_answer(status, answer, expected, live);
        answer = NULL;
        const bool again = r.tried % ASK_AGAIN == 0;
        refusal_judge(!again || (a->study(netlist, question, &answer, NULL) == BARONET_OK &&
                                 says(answer, expected))
                          ? NULL
                          : "no second answer");
    }
    end(p, &r, path, a->name);
    baronet_answer_destroy(answer);
    free(expected);
}

/* Where a command writes: an answer, and a changed netlist. */
enum { WRITTEN = 2 };
typedef struct place {
    char folder[32], file[WRITTEN][48];
    char *expected[WRITTEN]; /* what an undisturbed run writes */
} place;

static const char before[] = "what was there before\n";

static char *file_bytes(const char *path) {
    FILE *const file = fopen(path, "r");
    size_t room = 1 << 22;
    char *const bytes = malloc(room);
    bytes[file != NULL ? fread(bytes, 1, room - 1, file) : 0] = '\0';
    if (file != NULL) {
        fclose(file);
    }
    return bytes;
}

static void lay_out(const place *w) {
    for (int k = 0; k < WRITTEN; k++) {
        FILE *const file = fopen(w->file[k], "w");
        fputs(before, file);
        fclose(file);
    }
}

static int entries(const char *folder) {
    int count = 0;
    DIR *const d = opendir(folder);
    for (const struct dirent *e; (e = readdir(d)) != NULL;) {
        count += e->d_name[0] != '.';
    }
    closedir(d);
    return count;
}

/* In the child: a file is as it was or new and whole, and new where the command ended well. */
static void judge_command(const place *w, int code, long live) {
    refusal_end();
    const bool well = code < 2;
    if (!well && code != baronet_status_exit_code(BARONET_OUT_OF_MEMORY) &&
        code != baronet_status_exit_code(BARONET_NO_FILE)) {
        refusal_judge("another exit code");
    }
    const char *wrong = kept(live);
    for (int k = 0; k < WRITTEN; k++) {
        char *const bytes = file_bytes(w->file[k]);
        const bool new = strcmp(bytes, w->expected[k]) == 0;
        wrong = new || (!well && strcmp(bytes, before) == 0) ? wrong : "a file that is not whole";
        free(bytes);
    }
    refusal_judge(entries(w->folder) != WRITTEN ? "a file too many or too few" : wrong);
}

/* A command of the program, with all that it writes. */
static void try_command(plan *p, const char *path, const char *wish) {
    place w = {.folder = "/tmp/baronet-XXXXXX"};
    if (mkdtemp(w.folder) == NULL) {
        abort();
    }
    snprintf(w.file[0], sizeof w.file[0], "%s/answer", w.folder);
    snprintf(w.file[1], sizeof w.file[1], "%s/netlist", w.folder);
    const char *const words[] = {path,     "--change", "ambient.temperature=5C..35C",
                                 "--want", wish,       "--workers",
                                 "1",      "--out",    w.file[0],
                                 "--as",   "json",     "--write",
                                 w.file[1]};
    enum { WORDS = sizeof words / sizeof words[0] };
    settings s = {.format = BARONET_TEXT};
    refusal r;
    if (!options_read(&s, "size", command_size.options, WORDS, (char **)words)) {
        abort();
    }
    begin_counting(&r, "size --write");
    const int code = command_run(&command_size, &s);
    refusal_end();
    for (int k = 0; k < WRITTEN; k++) {
        w.expected[k] = file_bytes(w.file[k]);
    }
    lay_out(&w);
    const long live = refusal_live();
    begin(p, &r, r.requests, "size --write");
    r.speaks = true;
    const int again = command_run(&command_size, &s);
    if (refusal_met()) {
        judge_command(&w, again, live);
    }
    end(p, &r, path, "size --write");
    if (again != code) {
        abort();
    }
    for (int k = 0; k < WRITTEN; k++) {
        free(w.expected[k]);
        unlink(w.file[k]);
    }
    rmdir(w.folder);
}

static void try_netlist(plan *p, const char *path) {
    baronet_netlist *netlist = NULL;
    try_reading(p, path);
    if (read_netlist(path, &netlist) != BARONET_OK) {
        abort();
    }
    char words[120];
    const char *const wish = words;
    snprintf(words, sizeof words, "pressure of %s above 1.5 bara",
             netlist_model(netlist)->vehicle.spring[0].name);
    for (size_t k = 0; k < sizeof questions / sizeof questions[0]; k++) {
        baronet_question question = questions[k].question;
        question.wish = &wish;
        question.wishes = question.changes;
        try_question(p, path, netlist, &questions[k], &question);
    }
    try_command(p, path, wish);
    baronet_netlist_destroy(netlist);
}

static long read_most(const char *word) {
    return strcmp(word, "ways") == 0     ? REFUSAL_WAYS
           : strcmp(word, "places") == 0 ? REFUSAL_PLACES
                                         : atol(word);
}

int main(int count, char **argument) {
    if (count < 4) {
        fputs("usage: fail-memory MOST|ways|places SEED NETLIST...\n", stderr);
        return 2;
    }
    plan p = {.most = read_most(argument[1]), .seed = strtoull(argument[2], NULL, 10)};
    static char line[BUFSIZ]; /* no block of malloc's, for those are counted */
    setvbuf(stdout, line, _IOLBF, sizeof line);
    for (int k = 3; k < count; k++) {
        try_netlist(&p, argument[k]);
    }
    printf("memory: %ld requests, %ld refusals (%ld left alone), %ld go wrong\n", p.all.requests,
           p.all.tried, p.all.let_be, p.all.wrong);
    return p.all.wrong != 0;
}
