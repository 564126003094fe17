/* build_setting.c: what a netlist has once: its line about itself, the air, the body.
   SPDX-License-Identifier: MIT */
#include "model/atmosphere.h"
#include "netlist/build.h"
#include "netlist/plain.h"

#define USUAL_TEMPERATURE 293.15 /* K, 20 C */

static void build_about(build *b) {
    const statement *const s = build_first(b, KEYWORD_ABOUT);
    const value *const v = s ? statement_value(s, WORD_NONE) : NULL;
    b->m->about = "";
    if (!v)
        return;
    text_buffer plain = {.allocator = arena_allocator(b->r->arena)};
    text_buffer_add(&plain, "");
    plain_add(&plain, place_text(statement_value_place(s, v)), SIZE_MAX);
    const char *const about =
        plain.failed ? NULL : arena_copy_text(b->r->arena, plain.bytes, plain.length);
    text_buffer_free(&plain);
    b->r->failed |= !about;
    b->m->about = about;
}

static void build_ambient(build *b) {
    const statement *const s = build_first(b, KEYWORD_AMBIENT);
    ambient *const a = &b->m->ambient;
    *a = (ambient){ATMOSPHERE_PRESSURE, USUAL_TEMPERATURE, true};
    if (!s)
        return;
    const value *const altitude = statement_value(s, WORD_ALTITUDE);
    const value *const pressure = statement_value(s, WORD_PRESSURE);
    const value *const temperature = statement_value(s, WORD_TEMPERATURE);
    if (altitude && pressure)
        complain(b->r, statement_value_place(s, altitude), NULL,
                 "`altitude` and `pressure` both give the ambient pressure; one is enough");
    else if (altitude)
        atmosphere_at(altitude->number, &a->pressure, &a->temperature);
    else if (pressure)
        a->pressure = pressure->number;
    if (temperature)
        a->temperature = temperature->number;
    a->assumed = !altitude && !pressure && !temperature;
}

static void build_gas(build *b) {
    static const struct {
        word word;
        gas_kind kind;
    } kinds[] = {{WORD_ADIABATIC, GAS_ADIABATIC},
                 {WORD_ISOTHERMAL, GAS_ISOTHERMAL},
                 {WORD_EXPONENT, GAS_EXPONENT},
                 {WORD_THERMAL, GAS_THERMAL}};
    const statement *const s = build_first(b, KEYWORD_GAS);
    b->m->gas = (gas){.kind = GAS_ADIABATIC};
    b->m->gas_assumed = !s;
    if (!s)
        return;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (statement_find(s, kinds[i].word))
            b->m->gas.kind = kinds[i].kind;
    }
    b->m->gas.exponent = statement_number(s, WORD_EXPONENT, 0.0);
    b->m->gas.tau = statement_number(s, WORD_THERMAL, 0.0);
    const char *const hint = "one of: adiabatic, isothermal, exponent, thermal";
    if (s->attributes > 1)
        complain(b->r, statement_attribute_place(s, &s->attribute[1]), hint,
                 "`%s` and `%s` exclude one another", grammar_word(s->attribute[0].row->word),
                 grammar_word(s->attribute[1].row->word));
    else if (s->attributes == 0 && !s->bad)
        complain(b->r, entry_place(s->entry), hint, "`gas` does not say how the air behaves");
}

static void build_body(build *b) {
    const statement *const s = build_first(b, KEYWORD_VEHICLE);
    if (!s)
        return;
    body *const to = &b->m->vehicle.body;
    to->cg_height = statement_number(s, WORD_CG_HEIGHT, 0.0);
    to->cg_height_given = statement_find(s, WORD_CG_HEIGHT) != NULL;
    to->roll_axis = statement_number(s, WORD_ROLL_AXIS, 0.0);
    to->roll_axis_given = statement_find(s, WORD_ROLL_AXIS) != NULL;
    to->roll_inertia = statement_number(s, WORD_ROLL_INERTIA, 0.0);
    to->pitch_inertia = statement_number(s, WORD_PITCH_INERTIA, 0.0);
    const value *const seat = statement_value(s, WORD_SEAT);
    if (seat) {
        to->seat_given = true;
        to->seat_x = seat[0].number;
        to->seat_y = seat[1].number;
    }
    const value *const road = statement_value(s, WORD_ROAD_CLASS);
    to->road_given = road != NULL;
    to->road_class = road ? (int)road->number : 0;
    to->speed = statement_number(s, WORD_SPEED, 0.0);
}

void build_setting(build *b) {
    build_about(b);
    build_ambient(b);
    build_gas(b);
    build_body(b);
}
