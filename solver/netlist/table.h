/* table.h: the physical lines of numbers under a statement.
   SPDX-License-Identifier: MIT */
#ifndef NETLIST_TABLE_H
#define NETLIST_TABLE_H

#include "netlist/cursor.h"

/* Reads the header and the rows from the cursor to the end of the statement, whose keyword has
   columns; the arena's. Sets `*bad` after a complaint; a row that is wrong is dropped. NULL where
   nothing is left of it. */
statement_table *table_read(cursor *c, bool *bad);

#endif
