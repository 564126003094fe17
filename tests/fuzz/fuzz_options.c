/* Any lines as the words of a command line; then the changes and figures that it names, of a sound
   netlist. The first byte chooses the command.
   SPDX-License-Identifier: MIT */
#include <assert.h>
#include <string.h>

#include "cli/commands.h"
#include "input.h"
#include "netlist/edit.h"
#include "netlist/patch.h"
#include "netlist/wish.h"

static const char sound[] =
    "let it 4 L\nvehicle cg-height 0.9 m\n"
    "corner L at 0 m 0.8 m load 455 kg unsprung 55 kg tyre 240 N/mm\n"
    "corner R at 0 m -0.8 m load 430 kg coil 31 N/mm carries 90 kg\n"
    "profile p\n height mm area cm2 volume L\n 110 79 0.98\n 160 76.5 1.37\n 210 75.5 1.75\n"
    "spring a on L profile p height 160 mm\nspring b on R profile p height 155 mm\n"
    "tank t volume it\nhose h from a to t bore 8 mm length 1.3 m\n"
    "solenoid v from b to t normally closed kv 1.7 m3/h xt 0.66\n"
    "state off shut v\nstate on open v\ncase full L 80 kg\n";

/* The netlist with all of the dials at their lowest: as numbers in its model, and read again. */
static void turn_down(const baronet_netlist *n, const dial *d, int dials) {
    double low[OPTIONS_CHANGES];
    patch *p = NULL;
    baronet_netlist *again = NULL;
    for (int k = 0; k < dials; k++)
        low[k] = d[k].low;
    if (patch_create(&p, n, dials, d, NULL) == BARONET_OK)
        patch_set(p, low);
    patch_destroy(p);
    (void)!netlist_again(n, dials, d, low, NULL, &again);
    baronet_netlist_destroy(again);
}

static void read_words(const baronet_netlist *n, const baronet_question *q) {
    baronet_diagnostics *const said = baronet_diagnostics_create(NULL, 0);
    arena *const a = arena_create(NULL);
    dial d[OPTIONS_CHANGES];
    requirement wish;
    int dials = 0;
    for (int k = 0; k < q->changes; k++)
        dials += netlist_dial(n, "--change", q->change[k].said, q->change[k].list, a, said,
                              &d[dials]) == BARONET_OK;
    turn_down(n, d, dials);
    for (int k = 0; k < q->wishes; k++)
        for (int form = WISH_BOUND; form <= WISH_FIGURE; form++)
            (void)!netlist_wish(n, "--want", q->wish[k], (wish_form)form, a, said, &wish);
    (void)baronet_diagnostics_text(said, false);
    arena_destroy(a);
    baronet_diagnostics_destroy(said);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size) {
    char *argument[40], lines[2000] = "";
    int words = 0, commands = 0;
    if (size < 2 || size > sizeof lines)
        return 0;
    memcpy(lines, data + 1, size - 1);
    for (char *at = lines; at && words < 40;) {
        argument[words++] = at;
        at = strchr(at, '\n');
        if (at)
            *at++ = '\0';
    }
    while (commands_at(commands))
        commands++;
    const command *const c = commands_at(data[0] % commands);
    settings s = {.format = c->format};
    if (!options_read(&s, c->name, c->options, words, argument))
        return 0;
    baronet_netlist *const n = input_netlist((const uint8_t *)sound, sizeof sound - 1);
    assert(n);
    read_words(n, &s.question);
    baronet_netlist_destroy(n);
    return 0;
}
