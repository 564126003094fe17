/* Tests of solver/output/picture.c.
   SPDX-License-Identifier: MIT */
#include "output/picture.h"

#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "support.h"

static const picture_axis time_axis = {"time", BARONET_TIME, false};
static const picture_axis height_axis = {"height", BARONET_LENGTH, false};

static int pictures_of(const page *p) {
    int count = 0;
    for (const block *b = p->first; b != NULL; b = b->next) {
        count += b->kind == BLOCK_PICTURE;
    }
    return count;
}

Test(picture, axes_are_in_the_readers_units) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.3, 1.7, 4.2}, y[] = {0.161, (double)NAN, 0.187};
    picture *c = page_picture(p, "bend", time_axis, height_axis);
    picture_add(c, "left-air", 3, x, y);
    const ticks across = picture_across(c, 4), up = picture_up(c, 4);
    CHECK_REL(across.low, 0.3, 1e-12, "s are s");
    CHECK_REL(across.high, 4.2, 1e-12, "as long as the curve");
    cr_expect(up.low <= 161.0 && up.low > 140.0 && up.high >= 187.0 && up.high < 200.0,
              "mm, widened: %g to %g", up.low, up.high);
    text_buffer words = {0};
    picture_axis_words(p, &c->y, &words);
    cr_expect_str_eq(words.bytes, "height, mm");
    text_buffer_free(&words);
    baronet_answer_destroy(p);
}

Test(picture, curves_that_coincide_are_one_with_both_names) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0}, other_x[] = {0.0, 1.1}, y[] = {0.1, 0.3};
    const double close[] = {0.1005, 0.2995}, away[] = {0.11, 0.3};
    picture *c = page_picture(p, "bend", time_axis, height_axis);
    picture_add(c, "RL", 2, x, y);
    picture_add(c, "RR", 2, x, close);
    cr_expect_eq(c->curves, 1);
    cr_expect_str_eq(c->first->name, "RL, RR");
    picture_add(c, "FL", 2, x, away);
    picture_add(c, "FR", 2, other_x, y);
    cr_expect_eq(c->curves, 3);
    /* One that is longer, or has its gap elsewhere, is another. */
    const double nan = (double)NAN;
    picture_add(c, "long", 3, (const double[]){0.0, 1.0, 2.0}, (const double[]){0.1, 0.3, 0.3});
    picture_add(c, "gap", 3, (const double[]){0.0, 1.0, 2.0}, (const double[]){0.1, 0.3, nan});
    cr_expect_eq(c->curves, 5);
    picture_add(c, "same gap", 3, (const double[]){0.0, 1.0, 2.0}, (const double[]){0.1, 0.3, nan});
    cr_expect_eq(c->curves, 5);
    cr_expect_str_eq(c->last->name, "gap, same gap");
    baronet_answer_destroy(p);
}

Test(picture, a_full_one_goes_on_in_another_with_its_marks) {
    page *p = page_create(NULL, BARONET_METRIC);
    const double x[] = {0.0, 1.0};
    picture *c = page_picture(p, "bend", time_axis, height_axis);
    picture_mark_at(c, 0.4, "a switch");
    picture_ask(c);
    for (int k = 0; k < PICTURE_CURVES + 2; k++) {
        const double y[] = {0.1 * k, 0.2};
        c = picture_add(c, "a", 2, x, y);
    }
    cr_expect_eq(pictures_of(p), 2);
    cr_expect_eq(c->curves, 2);
    cr_expect(c->asked);
    cr_expect_str_eq(c->title, "bend, continued");
    cr_expect_str_eq(c->first_mark->word, "a switch");
    baronet_answer_destroy(p);
}

Test(picture, what_is_asked_for_is_a_quantity_of_one_part_or_of_all) {
    cr_expect(picture_is_asked(NULL, "RL", "load"));
    cr_expect(picture_is_asked("load", "RL", "load"));
    cr_expect(picture_is_asked("RL.load", "RL", "load"));
    cr_expect_not(picture_is_asked("RR.load", "RL", "load"));
    cr_expect_not(picture_is_asked("R.load", "RL", "load"));
    cr_expect_not(picture_is_asked("RL.loa", "RL", "load"));
    cr_expect_not(picture_is_asked("RL", "RL", "load"));
}

Test(picture, survives_running_out_of_memory) {
    failing f;
    for (size_t k = 1;; k++) {
        page *p = page_create(failing_start(&f, k), BARONET_METRIC);
        if (p != NULL) {
            const double x[] = {0.0, 1.0}, y[] = {0.1, 0.2};
            picture *c = page_picture(p, "bend", time_axis, height_axis);
            for (int i = 0; i < 400 && c != NULL; i++) {
                const double other[] = {0.1 * i, 0.2};
                c = picture_add(c, "a", 2, x, other);
            }
            picture_mark_at(c, 0.5, "a switch");
            picture_add(c, "b", 2, x, y);
            cr_expect_eq(p->failed, f.failed, "request %zu", k);
        }
        baronet_answer_destroy(p);
        cr_assert_eq(f.live, 0);
        if (!f.failed) {
            break;
        }
    }
}

Test(picture, an_axis_without_a_name_is_its_unit) {
    page *p = page_create(NULL, BARONET_METRIC);
    static const picture_axis axes[] = {
        {"", BARONET_LENGTH, false}, {"share", BARONET_NUMBER, false}, {"", BARONET_NUMBER, false}};
    static const char *const words[] = {"mm", "share", ""};
    for (int k = 0; k < 3; k++) {
        text_buffer out = {0};
        picture_axis_words(p, &axes[k], &out);
        cr_expect_str_eq(out.bytes, words[k]);
        text_buffer_free(&out);
    }
    baronet_answer_destroy(p);
}

/* A picture for which there was no memory is none, which all that is done to it takes. */
Test(picture, what_is_none_is_left_alone) {
    picture_ask(NULL);
    picture_mark_at(NULL, 1.3, "a bump");
    cr_expect_null(picture_add(NULL, "left", 0, NULL, NULL));
}
