#include "cli/command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/ration.h"
#include "cli/hint.h"
#include "cli/lines.h"
#include "cli/progress.h"
#include "cli/sink.h"
#include "netlist/netlist.h"

static bool colour_for(int descriptor) {
    const char *no_colour = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");
    return isatty(descriptor) && (no_colour == NULL || no_colour[0] == '\0') &&
           (terminal == NULL || strcmp(terminal, "dumb") != 0);
}

/* `what` is a sentence of its own, or NULL. */
static int fail(baronet_status status, const char *what) {
    fprintf(stderr, "baronet: %s%s%s\n", baronet_status_text(status), what != NULL ? ": " : "",
            what != NULL ? what : "");
    return baronet_status_exit_code(status);
}

static baronet_netlist *read_netlist(const char *file, const baronet_allocator *allocator,
                                     int *code) {
    baronet_diagnostics *diagnostics = baronet_diagnostics_create(NULL, 0);
    if (diagnostics == NULL) {
        *code = fail(BARONET_OUT_OF_MEMORY, NULL);
        return NULL;
    }
    baronet_netlist *netlist = NULL;
    const baronet_status status =
        baronet_netlist_read(file, NULL, allocator, diagnostics, &netlist);
    const char *said = baronet_diagnostics_text(diagnostics, colour_for(STDERR_FILENO));
    fputs(said != NULL ? said : "", stderr);
    baronet_diagnostics_destroy(diagnostics);
    *code = baronet_status_exit_code(status);
    if (status == BARONET_OUT_OF_MEMORY) {
        *code = fail(status, NULL);
    }
    return netlist;
}

static void offer_states(hint *h, const baronet_netlist *netlist) {
    for (size_t k = 0; baronet_netlist_state(netlist, k) != NULL; k++) {
        hint_offer(h, baronet_netlist_state(netlist, k));
    }
}

static void offer_cases(hint *h, const baronet_netlist *netlist) {
    for (size_t k = 0; baronet_netlist_case(netlist, k) != NULL; k++) {
        hint_offer(h, baronet_netlist_case(netlist, k));
    }
}

static void offer_events(hint *h, const baronet_netlist *netlist) {
    const model *m = netlist_model(netlist);
    for (int k = 0; k < m->scripts; k++) {
        hint_offer(h, m->script[k].name);
    }
}

/* The motions that the vehicle can make, as studies/course.h names them. */
static void offer_motions(hint *h, const baronet_netlist *netlist) {
    const model *m = netlist_model(netlist);
    const body_freedom freedom = vehicle_freedom(&m->vehicle);
    const bool has[] = {freedom.heave, freedom.roll, freedom.pitch};
    static const char *const words[] = {"heave", "roll", "pitch"};
    for (size_t k = 0; k < sizeof words / sizeof words[0]; k++) {
        if (has[k]) {
            hint_offer(h, words[k]);
        }
    }
    const int warps = m->vehicle.wheels - freedom.count;
    for (int k = 1; k <= warps; k++) {
        char word[32];
        snprintf(word, sizeof word, "warp:%d", k);
        hint_offer(h, warps == 1 ? "warp" : word);
    }
    for (int c = 0; c < m->vehicle.corners; c++) {
        text_buffer word = {0};
        text_buffer_format(&word, "one-wheel:%s", m->vehicle.corner[c].name);
        hint_offer(h, word.failed ? "" : word.bytes);
        text_buffer_free(&word);
    }
    for (int k = 0; k < m->motions; k++) {
        hint_offer(h, m->motion[k].name);
    }
}

/* What a command can draw is all told by the first line of its csv. */
static int no_such_plot(const command *c, const char *what) {
    fprintf(stderr, "baronet: there is no quantity `%s`\n", what);
    hint h = hint_begin(what, "the first line of --as csv names them all, as in");
    for (const char *at = c->plots; at != NULL && *at != '\0';) {
        char word[64];
        const size_t length = strcspn(at, " ");
        snprintf(word, sizeof word, "%.*s", (int)length, at);
        hint_offer(&h, word);
        at += length + (at[length] == ' ');
    }
    hint_say(&h);
    return baronet_status_exit_code(BARONET_NO_SUCH_NAME);
}

/* A name that the netlist does not have, and what it has instead. The name is that of the question
   itself, so the same word in another place is not taken for it. */
static int no_such_name(const command *c, const baronet_netlist *netlist, const settings *s,
                        const char *what) {
    const struct {
        const char *asked, *kind, *title;
        void (*offer)(hint *h, const baronet_netlist *netlist);
    } kinds[] = {
        {s->question.state, "state", "states of this netlist:", offer_states},
        {s->question.load_case, "case", "cases of this netlist:", offer_cases},
        {s->question.motion, "motion", "motions of this netlist:", offer_motions},
        {s->question.event, "event", "events of this netlist:", offer_events},
    };
    for (size_t k = 0; k < sizeof kinds / sizeof kinds[0]; k++) {
        if (what != NULL && what == kinds[k].asked) {
            fprintf(stderr, "baronet: there is no %s `%s`\n", kinds[k].kind, what);
            hint h = hint_begin(what, kinds[k].title);
            kinds[k].offer(&h, netlist);
            hint_say(&h);
            return baronet_status_exit_code(BARONET_NO_SUCH_NAME);
        }
    }
    if (what != NULL && what == s->question.plot) {
        return no_such_plot(c, what);
    }
    return fail(BARONET_NO_SUCH_NAME, what);
}

/* The day that a reproducible build says it is; 0 where it says none. */
static long long source_date(void) {
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    char *end = NULL;
    const long long seconds = epoch != NULL ? strtoll(epoch, &end, 10) : 0;
    return epoch != NULL && *end == '\0' && seconds > 0 ? seconds : 0;
}

/* Asks the study. What takes long tells how far it is and may be ended; what is wrong with the
   words of the question is said with its place. */
static baronet_status ask(const command *c, const settings *s, const baronet_netlist *netlist,
                          baronet_answer **answer, const char **what) {
    baronet_question question = s->question;
    progress told;
    question.date = source_date();
    if ((c->options & OPTION_BIT(OPTION_CHANGE)) == 0) {
        progress_watch(&told);
        question.progress = progress_part;
        question.progress_context = &told;
        const baronet_status status = c->study(netlist, &question, answer, what);
        progress_clear(&told);
        return status;
    }
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    if (said == NULL) {
        return BARONET_OUT_OF_MEMORY;
    }
    question.said = said;
    progress_begin(&told);
    question.go_on = progress_tell;
    question.go_on_context = &told;
    const baronet_status status = c->study(netlist, &question, answer, what);
    progress_end(&told);
    const char *words = baronet_diagnostics_text(said, colour_for(STDERR_FILENO));
    fputs(words != NULL ? words : "", stderr);
    baronet_diagnostics_destroy(said);
    return status;
}

static bool is_same_file(const char *a, const char *b) {
    struct stat first, second;
    return stat(a, &first) == 0 && stat(b, &second) == 0 && first.st_dev == second.st_dev &&
           first.st_ino == second.st_ino;
}

/* The changed netlist, where it is asked for; the exit code. */
static int write_netlist(const settings *s, const baronet_answer *answer) {
    const char *bytes = baronet_answer_netlist(answer);
    if (bytes == NULL) {
        fputs("baronet: there is no changed netlist to write\n", stderr);
        return baronet_status_exit_code(BARONET_NO_FILE);
    }
    return sink_write(s->write, bytes, strlen(bytes)) ? 0
                                                      : baronet_status_exit_code(BARONET_NO_FILE);
}

static int answer_question(const command *c, const settings *s, const baronet_netlist *netlist) {
    baronet_answer *answer = NULL;
    const char *what = NULL;
    baronet_status status = ask(c, s, netlist, &answer, &what);
    if (status == BARONET_BAD_USAGE && what == NULL) {
        return baronet_status_exit_code(status); /* it has been said */
    }
    if (status != BARONET_OK) {
        return status == BARONET_NO_SUCH_NAME ? no_such_name(c, netlist, s, what)
                                              : fail(status, what);
    }
    const char *bytes = NULL;
    size_t length = 0;
    int code = baronet_status_exit_code(baronet_answer_status(answer));
    const bool colour = s->out == NULL && colour_for(STDOUT_FILENO);
    status = baronet_answer_render(answer, s->format, colour, &bytes, &length);
    if (status != BARONET_OK) {
        code = fail(status, NULL);
    } else if (!sink_write(s->out, bytes, length)) {
        code = baronet_status_exit_code(BARONET_NO_FILE);
    } else if (code != 0 && s->format != BARONET_TEXT) {
        /* Figures alone do not say that some are missing. */
        fprintf(stderr, "baronet: %s; `--as text` says more\n",
                baronet_status_text(baronet_answer_status(answer)));
    }
    if (s->write != NULL && code < 2) {
        const int written = write_netlist(s, answer);
        code = written != 0 ? written : code;
    }
    baronet_answer_destroy(answer);
    return code;
}

int command_run(const command *c, const settings *s) {
    int code = 0;
    if (s->write != NULL && !s->replace && is_same_file(s->write, s->file)) {
        fprintf(stderr, "baronet: `%s` is the netlist itself; --replace lets it be written over\n",
                s->write);
        return 2;
    }
    ration memory;
    ration_start(&memory, COMMAND_MEMORY);
    baronet_netlist *netlist = read_netlist(s->file, &memory.allocator, &code);
    if (netlist != NULL) {
        code = answer_question(c, s, netlist);
    }
    baronet_netlist_destroy(netlist);
    if (memory.refused) {
        fprintf(stderr, "baronet: %zu MiB of memory would not do\n", COMMAND_MEMORY >> 20);
    }
    return code;
}

void command_help(const command *c) {
    printf("%s\n\n", c->example);
    lines_print(stdout, 0, c->about);
    printf("\nusage: baronet %s FILE [options]    (FILE may be - for standard input)\n\n", c->name);
    for (int k = 0; k < OPTIONS; k++) {
        if ((c->options & OPTION_BIT(k)) != 0) {
            option_print(stdout, (option_index)k);
        }
    }
}
