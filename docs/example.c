/* What does each valve state of a netlist do to the roll of the vehicle?  example FILE
   SPDX-License-Identifier: MIT */
#include <math.h>
#include <stdio.h>
#include <baronet/baronet.h>

/* One line a state: the roll rate that is felt, and how far it is from the first state's. */
static void print_states(const baronet_netlist *netlist, const baronet_answer *answer) {
    double first = NAN;
    const char *state;
    for (size_t k = 0; (state = baronet_netlist_state(netlist, k)) != NULL; k++) {
        const double rate = baronet_answer_value(answer, state, "ride", "roll_rate", "");
        if (isnan(rate)) /* no balance there, or the same as a state that is shown */
            continue;
        first = isnan(first) ? rate : first;
        printf("%-12s %8.0f N.m/deg %+6.1f %%\n", state, rate * acos(-1.0) / 180.0,
               100.0 * (rate / first - 1.0));
    }
}

int main(int count, char **arguments) {
    baronet_diagnostics *said = baronet_diagnostics_create(NULL, 0);
    baronet_netlist *netlist = NULL;
    baronet_answer *answer = NULL;
    const baronet_question question = {0}; /* every state of the base case */
    const char *path = count > 1 ? arguments[1] : "-";
    baronet_status status = baronet_netlist_read(path, NULL, NULL, said, &netlist);
    if (status == BARONET_OK)
        status = baronet_rates(netlist, &question, &answer, NULL);
    if (status == BARONET_OK) {
        status = baronet_answer_status(answer);
        print_states(netlist, answer);
    } else {
        fputs(baronet_diagnostics_text(said, false), stderr);
    }
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
    baronet_diagnostics_destroy(said);
    return baronet_status_exit_code(status);
}
