/* build_event.c: events, from the words of a script in their order.
   SPDX-License-Identifier: MIT */
#include <assert.h>

#include "netlist/build.h"

/* What each action does with its values. `corner`, `state` and so on find its item; the number and
   the time that it takes are at these places among its values, -1 for none. */
typedef struct action_row {
    word word;
    action_kind kind;
    int (*item)(build *b, const statement *s, const value *v);
    int value, over;
} action_row;

static int find_edge(build *b, const statement *s, const value *v) {
    const entry *const what = build_reference(b, s, v);
    return what ? what->as.path.edge : -1;
}

static const action_row rows[] = {
    {WORD_LATERAL, ACTION_LATERAL, NULL, 0, 1},
    {WORD_BRAKING, ACTION_BRAKING, NULL, 0, 1},
    {WORD_BUMP, ACTION_BUMP, build_corner, 1, 2},
    {WORD_STEP, ACTION_STEP, build_motion, 1, -1},
    {WORD_LOAD, ACTION_LOAD, build_corner, 1, -1},
    {WORD_STATE, ACTION_STATE, build_state, -1, -1},
    {WORD_OPEN, ACTION_OPEN, find_edge, -1, -1},
    {WORD_SHUT, ACTION_SHUT, find_edge, -1, -1},
    {WORD_BURST, ACTION_BURST, build_node, 1, -1},
    {WORD_HOLD, ACTION_HOLD, NULL, -1, -1},
    {WORD_TEMPERATURE, ACTION_TEMPERATURE, NULL, 0, 1},
    {WORD_SUPPLY, ACTION_SUPPLY_LOST, build_node, -1, -1},
};

/* The grammar lets no other words through. */
static const action_row *find_row(word w) {
    size_t i = 0;
    while (rows[i].word != w) {
        i++;
        assert(i < sizeof rows / sizeof *rows);
    }
    return &rows[i];
}

static double number_at(const attribute *a, int place_of) {
    return place_of >= 0 && (uint32_t)place_of < a->values ? a->value[place_of].number : 0.0;
}

/* An action's own part; when it happens is the caller's. */
static void build_action(build *b, const statement *s, const attribute *a, action *to) {
    const action_row *const row = find_row(a->row->word);
    to->kind = row->kind;
    to->item = row->item ? row->item(b, s, a->value) : -1;
    to->value = number_at(a, row->value);
    to->over = number_at(a, row->over);
}

/* When what follows happens. */
static action build_trigger(build *b, const statement *s, const attribute *a) {
    if (a->row->word == WORD_AT)
        return (action){.trigger = TRIGGER_TIME, .time = a->value[0].number, .watched = -1};
    const entry *const watched = build_reference(b, s, &a->value[0]);
    return (action){.trigger = a->value[1].number > 0.0 ? TRIGGER_BELOW : TRIGGER_ABOVE,
                    .watched = watched ? watched->index : -1,
                    .height = a->value[2].number};
}

/* Complains of a trigger that nothing follows, and of one beyond the end. */
static void check_trigger(build *b, const statement *s, const attribute *a, bool followed,
                          double until) {
    const bool timed = a->row->word == WORD_AT;
    if (!followed && !s->bad)
        complain(b->r, statement_attribute_place(s, a), "such as `at 0 s lateral 4 m/s2`",
                 "nothing happens at this `%s`", grammar_word(a->row->word));
    else if (timed && until > 0.0 && a->value[0].number >= until)
        complain(b->r, statement_value_place(s, &a->value[0]), NULL,
                 "`%s` ends before this happens", statement_name(s));
}

static void build_actions(build *b, const statement *s, script *to) {
    action *const actions = READING_ARRAY(b->r, action, s->attributes);
    const attribute *trigger = NULL;
    action when = {0};
    int since = 0; /* actions since the trigger */
    to->action = actions;
    for (uint32_t i = 0; actions && i < s->attributes; i++) {
        const attribute *const a = &s->attribute[i];
        const word w = a->row->word;
        if (w == WORD_IN || w == WORD_UNTIL)
            continue;
        if (w == WORD_AT || w == WORD_WHEN) {
            if (trigger)
                check_trigger(b, s, trigger, since > 0, to->until);
            trigger = a;
            since = 0;
            when = build_trigger(b, s, a);
            continue;
        }
        if (!trigger && !s->bad)
            complain(b->r, statement_attribute_place(s, a), "say when, as in `at 0 s`",
                     "`%s` stands before any `at` or `when`", grammar_word(w));
        actions[to->actions] = when;
        build_action(b, s, a, &actions[to->actions++]);
        since++;
    }
    if (trigger)
        check_trigger(b, s, trigger, since > 0, to->until);
}

void build_events(build *b) {
    const int count = b->list[KEYWORD_EVENT].count;
    script *const scripts = READING_ARRAY(b->r, script, count);
    b->m->scripts = count;
    b->m->script = scripts;
    for (const statement *s = build_first(b, KEYWORD_EVENT); s; s = build_next(b)) {
        script *const to = &scripts[s->entry->index];
        *to = (script){.name = statement_name(s),
                       .state = build_state(b, s, statement_value(s, WORD_IN)),
                       .until = statement_number(s, WORD_UNTIL, 0.0)};
        build_actions(b, s, to);
        if (to->actions == 0 && !s->bad)
            complain(b->r, entry_name_place(s->entry), "such as `at 0 s lateral 4 m/s2`",
                     "nothing happens in `%s`", statement_name(s));
    }
}
