#include "cli/command.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/sink.h"

static bool colour_for(int descriptor) {
    const char *no_colour = getenv("NO_COLOR");
    const char *terminal = getenv("TERM");
    return isatty(descriptor) && (no_colour == NULL || no_colour[0] == '\0') &&
           (terminal == NULL || strcmp(terminal, "dumb") != 0);
}

static int fail(baronet_status status, const char *what) {
    fprintf(stderr, "baronet: %s%s%s%s\n", baronet_status_text(status), what != NULL ? ": `" : "",
            what != NULL ? what : "", what != NULL ? "`" : "");
    return baronet_status_exit_code(status);
}

static baronet_netlist *read_netlist(const char *file, int *code) {
    baronet_diagnostics *diagnostics = baronet_diagnostics_create(NULL, 0);
    if (diagnostics == NULL) {
        *code = fail(BARONET_OUT_OF_MEMORY, NULL);
        return NULL;
    }
    baronet_netlist *netlist = NULL;
    const baronet_status status = baronet_netlist_read(file, NULL, NULL, diagnostics, &netlist);
    const char *said = baronet_diagnostics_text(diagnostics, colour_for(STDERR_FILENO));
    fputs(said != NULL ? said : "", stderr);
    baronet_diagnostics_destroy(diagnostics);
    *code = baronet_status_exit_code(status);
    if (status == BARONET_OUT_OF_MEMORY) {
        *code = fail(status, NULL);
    }
    return netlist;
}

/* What there is instead of a name that is not there. */
static void list_names(const baronet_netlist *netlist, const settings *s, const char *what) {
    const bool is_state = s->question.state != NULL && strcmp(what, s->question.state) == 0;
    const bool is_case = s->question.load_case != NULL && strcmp(what, s->question.load_case) == 0;
    if (!is_state && !is_case) {
        return;
    }
    fprintf(stderr, "%s of this netlist:", is_state ? "states" : "cases");
    for (size_t k = 0;; k++) {
        const char *name =
            is_state ? baronet_netlist_state(netlist, k) : baronet_netlist_case(netlist, k);
        if (name == NULL) {
            fprintf(stderr, "%s\n", k == 0 ? " none" : "");
            return;
        }
        fprintf(stderr, " %s", name);
    }
}

static int answer_question(const command *c, const settings *s, const baronet_netlist *netlist) {
    baronet_answer *answer = NULL;
    const char *what = NULL;
    baronet_status status = c->study(netlist, &s->question, &answer, &what);
    if (status != BARONET_OK) {
        const int code = fail(status, what);
        if (status == BARONET_NO_SUCH_NAME && what != NULL) {
            list_names(netlist, s, what);
        }
        return code;
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
        fprintf(stderr, "baronet: %s\n", baronet_status_text(baronet_answer_status(answer)));
    }
    baronet_answer_destroy(answer);
    return code;
}

int command_run(const command *c, const settings *s) {
    int code = 0;
    baronet_netlist *netlist = read_netlist(s->file, &code);
    if (netlist != NULL) {
        code = answer_question(c, s, netlist);
    }
    baronet_netlist_destroy(netlist);
    return code;
}

void command_help(const command *c) {
    printf("  %s\n\n%s\n\nusage: baronet %s FILE [options]    (FILE may be - for standard "
           "input)\n\n",
           c->example, c->about, c->name);
    for (int k = 0; k < OPTIONS; k++) {
        if ((c->options & OPTION_BIT(k)) != 0) {
            const option *o = option_at((option_index)k);
            char head[64];
            snprintf(head, sizeof head, "%s %s", o->name, o->argument != NULL ? o->argument : "");
            printf("  %-30s %s\n", head, o->help);
        }
    }
}
