/* The page of `faults`. */
#include "baronet/studies.h"

#include <criterion/criterion.h>
#include <stdlib.h>

#include "ask.h"

Test(faults_page, the_worst_comes_first_and_is_cautioned) {
    baronet_netlist *netlist = ask_file("netlists/camper.air");
    const baronet_question question = {.state = "easy"};
    baronet_answer *answer = ask(netlist, baronet_faults, &question);
    const char *page = ask_render(answer, BARONET_TEXT, false);
    ask_check_page("faults", page);
    ask_expect(page, "not to be driven");
    ask_table read = ask_read_csv("faults", ask_render(answer, BARONET_CSV, false));
    cr_expect_str_eq(read.field[2], "fault");
    cr_expect_str_eq(read.field[3], "undrivable");
    double before = 1.0;
    for (size_t row = 1; row < read.rows; row++) {
        const double undrivable = strtod(read.field[row * read.columns + 3], NULL);
        cr_expect_leq(undrivable, before, "those that leave it undrivable come first");
        before = undrivable;
    }
    ask_free_csv(&read);
    baronet_answer_destroy(answer);
    baronet_netlist_destroy(netlist);
}
