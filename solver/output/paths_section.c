#include "output/paths_section.h"

void paths_section(page *p, const model *m, const bool *open) {
    const char *const header[] = {"path", "kind", "from", "to", open != NULL ? "is" : NULL};
    table *t = page_table(p, open != NULL ? 5 : 4, 5, header);
    static const char *const kinds[] = {[EDGE_HOSE] = "hose",
                                        [EDGE_RESTRICTOR] = "restrictor",
                                        [EDGE_SOLENOID] = "solenoid",
                                        [EDGE_CHECK_VALVE] = "check-valve",
                                        [EDGE_REGULATOR] = "regulator",
                                        [EDGE_RELIEF] = "relief",
                                        [EDGE_COMPRESSOR] = "compressor"};
    table_set_prose(t);
    for (int i = 0; i < m->network.edges; i++) {
        const edge *e = &m->network.edge[i];
        const bool valve = e->kind == EDGE_SOLENOID && open != NULL;
        const char *cells[] = {e->name, kinds[e->kind], m->network.node[e->from].name,
                               m->network.node[e->to].name,
                               valve ? (open[e->solenoid] ? "open" : "shut") : NULL};
        table_add(t, cells);
    }
}
