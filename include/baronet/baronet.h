/* baronet.h: all of the library: compressed-air networks under a vehicle, from a netlist to
   answers.
   SPDX-License-Identifier: MIT */
#ifndef BARONET_BARONET_H
#define BARONET_BARONET_H

#include "baronet/allocator.h"
#include "baronet/answer.h"
#include "baronet/api.h"
#include "baronet/diagnostics.h"
#include "baronet/netlist.h"
#include "baronet/status.h"
#include "baronet/studies.h"
#include "baronet/units.h"

#endif
