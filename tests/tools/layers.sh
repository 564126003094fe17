#!/bin/sh
# layers.sh: proves from the #include lines that each folder knows only the layers it may, and that
# each foreign header stands in one file only.
# SPDX-License-Identifier: MIT
set -u

awk '
BEGIN {
    may["base"] = " base "
    may["numeric"] = " base numeric "
    may["model"] = " base model "
    may["netlist"] = " base numeric model netlist "
    may["studies"] = may["netlist"] "studies "
    may["output"] = may["studies"] "output "
    may["cli"] = may["output"] "cli "
    standard = "^(assert|complex|ctype|errno|fcntl|float|inttypes|limits|locale|math|signal|stdarg|stdbool|" \
               "stddef|stdint|stdio|stdlib|string|time|unistd|sys/[a-z]+)[.]h$"
}
function wrong(what) { print FILENAME ":" FNR ": " what; broken = 1 }
/^#include "/ {
    split($2, quoted, "\"")
    split(quoted[2], path, "/")
    split(FILENAME, place, "/")
    if (path[1] == "baronet") next
    if (place[1] == "include") wrong("a public header includes only public ones")
    else if (!index(may[place[2]], " " path[1] " ")) wrong(place[2] " may not include " quoted[2])
}
/^#include </ {
    header = $2
    gsub(/[<>]/, "", header)
    if (header ~ standard) next
    if (header ~ /^libxml\//) {
        if (FILENAME !~ /^solver\/output\/xml[^\/]*$/) wrong(header " belongs to solver/output/xml*")
    } else if (FILENAME !~ /^solver\/(base|numeric|output)\//) {
        wrong("a foreign library is wrapped in base, numeric or output: " header)
    } else if (header in owner && owner[header] != FILENAME) {
        wrong(header " is already wrapped by " owner[header])
    } else {
        owner[header] = FILENAME
    }
}
END { exit broken }
' include/baronet/*.h solver/*/*.[ch] >&2
