/* view_csv.c: the renderer of CSV: the series, or where an answer has none its figures, a row each.
   SPDX-License-Identifier: MIT */
#include <math.h>

#include "output/view.h"

/* Names hold no comma, quote or line end, but a netlist's free text might. */
static void add_field(text_buffer *out, const char *field) {
    bool plain = true;
    for (const char *c = field; *c != '\0' && plain; c++) {
        plain = *c != ',' && *c != '"' && *c != '\n' && *c != '\r';
    }
    if (plain) {
        text_buffer_add(out, field);
        return;
    }
    text_buffer_add(out, "\"");
    for (const char *c = field; *c != '\0'; c++) {
        text_buffer_add_bytes(out, c, 1);
        if (*c == '"') {
            text_buffer_add(out, "\"");
        }
    }
    text_buffer_add(out, "\"");
}

/* In the unit that is shown; blank where there is no number. */
static void add_value(text_buffer *out, double value, const baronet_unit *unit) {
    if (isfinite(value)) {
        text_buffer_number(out, view_value(value, unit), VIEW_DIGITS);
    }
}

static void add_figures(const page *p, text_buffer *out) {
    text_buffer_add(out, "study,state,case,level,quantity,subject,value,unit\n");
    for (size_t i = 0; i < p->figures; i++) {
        const baronet_figure *f = &p->figure[i];
        const char *const words[] = {f->study, f->state,    f->load_case,
                                     f->level, f->quantity, f->subject};
        for (size_t k = 0; k < sizeof words / sizeof words[0]; k++) {
            add_field(out, words[k]);
            text_buffer_add(out, ",");
        }
        const baronet_unit *unit = baronet_unit_shown(p->units, f->dimension);
        add_value(out, f->value, unit);
        text_buffer_add(out, ",");
        add_field(out, unit->name);
        text_buffer_add(out, "\n");
    }
}

static void add_header(const page *p, text_buffer *out) {
    const series *s = p->series;
    for (int i = 0; i < s->labels; i++) {
        text_buffer_add(out, i > 0 ? "," : "");
        add_field(out, s->label[i]);
    }
    for (int i = 0; i < s->columns; i++) {
        const baronet_unit *unit = baronet_unit_shown(p->units, s->column[i].dimension);
        text_buffer_add(out, i + s->labels > 0 ? "," : "");
        add_field(out, s->column[i].name);
        if (unit->name[0] != '\0') {
            text_buffer_format(out, " [%s]", unit->name);
        }
    }
    text_buffer_add(out, "\n");
}

static void add_series(const page *p, text_buffer *out) {
    const series *s = p->series;
    if (!s->headless) {
        add_header(p, out);
    }
    for (const series_row *row = s->first; row != NULL; row = row->next) {
        for (int i = 0; i < s->labels; i++) {
            text_buffer_add(out, i > 0 ? "," : "");
            add_field(out, row->label[i]);
        }
        for (int i = 0; i < s->columns; i++) {
            const baronet_unit *unit = baronet_unit_shown(p->units, s->column[i].dimension);
            text_buffer_add(out, i + s->labels > 0 ? "," : "");
            add_value(out, row->value[i], unit);
        }
        text_buffer_add(out, "\n");
    }
}

void view_csv(const page *p, text_buffer *out) {
    if (p->series != NULL) {
        add_series(p, out);
    } else {
        add_figures(p, out);
    }
}
