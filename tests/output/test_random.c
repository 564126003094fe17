/* Random netlists through every study in every format: each ends with an answer or a named reason,
   in words as well; none brings a number that is none, hangs or crashes. A few of them here;
   BARONET_RANDOM=10000 in the environment runs more, BARONET_SEED another series, BARONET_SKIP
   begins later, and BARONET_ONLY=NUMBER prints one. */
#include "random.h"

#include <criterion/criterion.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

#include "ask.h"
#include "baronet/baronet.h"
#include "flat.h"
#include "support.h"

/* Processor time after which an answer that takes long is told, and a study counts as hung, s. */
#define LONG 5.0
#define HUNG 200

typedef struct asked {
    const char *name;
    baronet_study *study;
    bool series;  /* its CSV is one of curves */
    bool changes; /* takes a change and a figure */
    int stride;   /* asked of one netlist in so many where there are few of them */
} asked;

static const asked studies[] = {
    {"check", baronet_check, false, false, 1},    {"rates", baronet_rates, false, false, 1},
    {"states", baronet_states, false, false, 1},  {"stroke", baronet_stroke, true, false, 1},
    {"times", baronet_times, false, false, 5},    {"response", baronet_response, true, false, 1},
    {"ride", baronet_ride, false, false, 5},      {"play", baronet_play, true, false, 1},
    {"faults", baronet_faults, true, false, 20},  {"parts", baronet_parts, true, false, 1},
    {"draw", baronet_draw, false, false, 5},      {"vary", baronet_vary, true, true, 1},
    {"spread", baronet_spread, true, true, 1},    {"size", baronet_size, true, true, 1},
    {"report", baronet_report, false, false, 50},
};

enum { STUDIES = sizeof studies / sizeof *studies, STATUSES = 32 };

typedef struct tally {
    bool thorough;
    int read[STATUSES], answered[STUDIES][STATUSES];
    double took[STUDIES], longest[STUDIES];
} tally;

/* What is under way, for whoever looks at a crash. */
static char under_way[128];

static void tell_crash(int number) {
    static const char words[] = " was under way when it crashed or hung\n";
    (void)!write(STDERR_FILENO, under_way, strlen(under_way));
    (void)!write(STDERR_FILENO, words, sizeof words - 1);
    signal(number, SIG_DFL);
    raise(number);
}

static void watch(void) {
    static const int numbers[] = {SIGSEGV, SIGABRT, SIGFPE, SIGILL, SIGBUS, SIGPROF};
    for (size_t k = 0; k < sizeof numbers / sizeof *numbers; k++) {
        signal(numbers[k], tell_crash);
    }
}

static void begin(const char *study, unsigned long long seed, int number) {
    snprintf(under_way, sizeof under_way, "BARONET_SEED=%llu BARONET_ONLY=%d %s", seed, number,
             study);
    const struct itimerval limit = {.it_value = {.tv_sec = HUNG}};
    setitimer(ITIMER_PROF, &limit, NULL);
}

static double processor_seconds(void) {
    return (double)clock() / CLOCKS_PER_SEC;
}

/* What a page has to say where there is no answer, by its status; any of them will do. */
static const struct {
    baronet_status status;
    const char *words;
} reasons[] = {{BARONET_NOT_MET, "not met"},
               {BARONET_NOT_MET, "NOT MET"},
               {BARONET_NOT_MET, "be met; nearest with"},
               {BARONET_NOT_CONVERGED, "no equilibrium was found"},
               {BARONET_OFF_PROFILE, "ran off its profile"},
               {BARONET_OFF_PROFILE, "is at the end of its table"},
               {BARONET_OFF_PROFILE, "is squeezed flat under pressure"},
               {BARONET_NOT_CONVERGED, "no step of the integration goes on"},
               {BARONET_OVER_BUDGET, "switches to and fro without end"},
               {BARONET_CONTRADICTION, "no mass is left"},
               {BARONET_SLACK, "slack"},
               {BARONET_WHEEL_LIFTS, "would lift"},
               {BARONET_NEUTRAL, "nothing holds"},
               {BARONET_UNSTABLE, "unstable"},
               {BARONET_FLAT, "flat"},
               {BARONET_TWO_SOURCES, "different pressures"},
               {BARONET_SINGULAR, "singular"},
               {BARONET_NOT_FINITE, "not finite"},
               {BARONET_TOO_MANY, "limit"},
               {BARONET_CONTRADICTION, "springs and coil give"},
               {BARONET_UNDETERMINED, "cannot be told"},
               {BARONET_NO_AIR, "is shut off from every spring"},
               {BARONET_OVER_BUDGET, "is used up"}};

static void check_reason(const char *what, baronet_status status, const char *page) {
    bool said = status == BARONET_OK;
    for (size_t k = 0; k < sizeof reasons / sizeof *reasons; k++) {
        said |= reasons[k].status == status && ask_says(page, reasons[k].words);
    }
    cr_expect(said, "%s: no reason for `%s` in\n%s", what, baronet_status_text(status), page);
}

/* No number of a drawing or of a page of HTML is none; their words are those of the other pages. */
static void check_drawn(const char *what, const char *bytes) {
    static const char *const none[] = {"nan", "inf"};
    for (size_t k = 0; k < 2; k++) {
        for (const char *at = bytes; (at = strstr(at, none[k])) != NULL; at++) {
            const bool within = (at > bytes && ((at[-1] | 32) >= 'a' && (at[-1] | 32) <= 'z')) ||
                                ((at[3] | 32) >= 'a' && (at[3] | 32) <= 'z');
            cr_expect(within, "%s: `%.60s`", what, at);
        }
    }
}

static void check_answer(const char *what, baronet_answer *answer, const asked *study,
                         const baronet_question *question) {
    for (size_t k = 0; k < baronet_answer_figures(answer); k++) {
        const baronet_figure *const f = baronet_answer_figure(answer, k);
        cr_expect(isfinite(f->value), "%s: %s of %s", what, f->quantity, f->subject);
    }
    const char *const page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page(what, page);
    check_reason(what, baronet_answer_status(answer), page);
    if (!study->series) {
        ask_check_figures(what, answer, question->units);
    }
    flat_check(what, answer, study->name);
    check_drawn(what, ask_render(answer, BARONET_SVG, false));
    check_drawn(what, ask_render(answer, BARONET_HTML, false));
}

typedef struct subject {
    random_netlist drawn;
    const baronet_netlist *netlist;
    unsigned long long dice, seed;
    int number;
    baronet_change change[2];
    const char *wish[2];
} subject;

static int upto(subject *s, int count) {
    return (int)(random_unit(&s->dice) * count);
}

/* A name of the list, or NULL where it is empty. */
static const char *any_name(subject *s, const char *(*name)(const baronet_netlist *, size_t)) {
    size_t count = 0;
    while (name(s->netlist, count) != NULL) {
        count++;
    }
    return count > 0 ? name(s->netlist, (size_t)upto(s, (int)count)) : NULL;
}

static baronet_question any_question(subject *s, const asked *study) {
    static const char *const motions[] = {NULL, NULL, NULL, NULL, "heave", "roll"};
    static const char *const levels[] = {NULL, "instant", "settled", "parked"};
    baronet_question q = {.workers = 1, .points = 5, .runs = 12, .seed = 7};
    q.units = (baronet_unit_system)upto(s, 3);
    q.state = upto(s, 4) == 0 ? NULL : any_name(s, baronet_netlist_state);
    q.load_case = upto(s, 3) > 0 ? NULL : any_name(s, baronet_netlist_case);
    q.motion = motions[upto(s, 6)];
    q.level = levels[upto(s, 4)];
    q.road = upto(s, 3) == 0;
    q.all = upto(s, 4) == 0;
    q.show = upto(s, 2) == 0 ? "bores,pressures" : NULL;
    if (upto(s, 4) == 0) {
        q.swing_amplitude = pow(10.0, -4.0 + 3.0 * random_unit(&s->dice));
        q.swing_frequency = pow(10.0, -2.0 + 3.0 * random_unit(&s->dice));
    }
    if (study->changes) {
        const bool size = study->study == baronet_size;
        s->change[0].said =
            study->study == baronet_spread ? s->drawn.tolerance : s->drawn.change[upto(s, 2)];
        s->wish[0] = size ? s->drawn.target : s->drawn.figure[upto(s, 2)];
        q.change = s->change;
        q.wish = s->wish;
        q.changes = q.wishes = 1;
    }
    return q;
}

static void ask_one(subject *s, int index, tally *t) {
    const asked *const study = &studies[index];
    char what[128];
    const double start = processor_seconds();
    begin(study->name, s->seed, s->number);
    snprintf(what, sizeof what, "%s", under_way);
    baronet_question question = any_question(s, study);
    question.said = baronet_diagnostics_create(NULL, 0);
    baronet_answer *answer = NULL;
    const char *of = NULL;
    const baronet_status status = study->study(s->netlist, &question, &answer, &of);
    const double took = processor_seconds() - start;
    if (status == BARONET_OK) {
        t->answered[index][baronet_answer_status(answer)]++;
        check_answer(what, answer, study, &question);
    } else {
        t->answered[index][status]++;
        const bool usage = status == BARONET_NO_SUCH_NAME || status == BARONET_BAD_USAGE ||
                           status == BARONET_TOO_MANY;
        cr_expect(usage && (of != NULL || baronet_diagnostics_count(question.said) > 0), "%s: %s",
                  what, baronet_status_text(status));
    }
    t->took[index] += took;
    t->longest[index] = fmax(t->longest[index], took);
    if (took > LONG) {
        fprintf(stderr, "%s took %.1f s\n", what, took);
    }
    baronet_diagnostics_destroy(question.said);
    baronet_answer_destroy(answer);
}

/* A netlist that is refused is so with words that have a place in it. */
static void check_refusal(const char *what, baronet_status status, baronet_diagnostics *said) {
    cr_expect_eq(status, BARONET_BAD_NETLIST, "%s: %s", what, baronet_status_text(status));
    cr_expect_gt(baronet_diagnostics_total(said, BARONET_ERROR), 0, "%s", what);
    for (size_t k = 0; k < baronet_diagnostics_count(said); k++) {
        const baronet_diagnostic *const d = baronet_diagnostics_at(said, k);
        cr_expect(d->message[0] != '\0' && d->line > 0, "%s: %s", what, d->message);
    }
}

static void ask_all(unsigned long long seed, int number, random_mood mood, tally *t) {
    subject s = {.drawn = random_draw(seed * 1000003u + (unsigned long long)number, mood),
                 .seed = seed,
                 .number = number,
                 .dice = seed + 31u * (unsigned)number};
    begin("reading", seed, number);
    if (getenv("BARONET_ONLY") != NULL) {
        fputs(s.drawn.text.bytes, stderr);
    }
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    const baronet_status status = baronet_netlist_read_text(
        "random.air", s.drawn.text.bytes, s.drawn.text.length, NULL, said, &netlist);
    t->read[status]++;
    if (status == BARONET_OK) {
        s.netlist = netlist;
        for (int k = 0; k < STUDIES; k++) {
            const bool report = studies[k].study == baronet_report; /* all the others once more */
            if (number % (t->thorough ? report ? 10 : 1 : studies[k].stride) == 0) {
                ask_one(&s, k, t);
            }
        }
    } else {
        check_refusal(under_way, status, said);
    }
    baronet_netlist_destroy(netlist);
    baronet_diagnostics_destroy(said);
    text_buffer_free(&s.drawn.text);
}

static void tell(const tally *t) {
    for (int k = 0; k < STATUSES; k++) {
        if (t->read[k] > 0) {
            fprintf(stderr, "reading %d: %s\n", t->read[k], baronet_status_text(k));
        }
    }
    for (int i = 0; i < STUDIES; i++) {
        fprintf(stderr, "%s: %.1f s, at most %.2f s;", studies[i].name, t->took[i], t->longest[i]);
        for (int k = 0; k < STATUSES; k++) {
            if (t->answered[i][k] > 0) {
                fprintf(stderr, " %d %s;", t->answered[i][k], baronet_status_text(k));
            }
        }
        fprintf(stderr, "\n");
    }
}

static unsigned long long setting(const char *name, unsigned long long usual) {
    const char *words = getenv(name);
    return words != NULL ? strtoull(words, NULL, 10) : usual;
}

Test(random, netlists_get_an_answer_or_a_reason, .timeout = 360000) {
    enum { USUAL = 200 };
    const int count = (int)setting("BARONET_RANDOM", USUAL), only = (int)setting("BARONET_ONLY", 0);
    const int first = only > 0 ? only : 1 + (int)setting("BARONET_SKIP", 0);
    const unsigned long long seed = setting("BARONET_SEED", 1);
    tally t = {.thorough = getenv("BARONET_RANDOM") != NULL || only > 0};
    watch();
    for (int k = first; k < first + (only > 0 ? 1 : count); k++) {
        ask_all(seed, k, k % 4 == 0 ? RANDOM_SENSIBLE : RANDOM_ANY, &t);
    }
    if (t.thorough) {
        tell(&t);
    }
    cr_expect(only > 0 || t.read[BARONET_OK] > count / 2, "most are netlists");
    cr_expect(only > 0 || t.answered[1][BARONET_OK] > count / 5, "many stand");
}
