/* valve.h: what passes an edge of the network, be it a plain path or a valve with a will of its
   own.
   SPDX-License-Identifier: MIT */
#ifndef MODEL_VALVE_H
#define MODEL_VALVE_H

#include "model/flow.h"
#include "model/network.h"

/* Mass flow from the edge's `from` to its `to`, continuous in both pressures and monotonic:
   - hoses and restrictors by their law; solenoids by their law where `open`, else by their bypass;
   - a piloted solenoid where `open` by its bypass up to its `opens_above`, either way, and by its
   law from VALVE_BAND above that on: what holds it open is the difference across it;
   - a one-way solenoid that is shut is lifted from behind, fully from VALVE_LEAST_BAND on;
   - a check valve by its law with `opens_at` taken off the upstream pressure, and nothing back: the
     spring that holds it costs that much at any flow;
   - a relief by its law, from `set` above its outlet on, fully open VALVE_BAND above that;
   - a regulator by its law towards its outlet, shut from `set` on and fully open VALVE_BAND below;
     nothing back;
   - a compressor by its table at its outlet's pressure: as in the first row below it, and beyond
   the last one on the last slope until nothing is left. It displaces volume, so it delivers in
     proportion to the pressure that it draws from, the table being for air at sea level. Flow must
     not rise with pressure in the table.
   `open` is of interest to solenoids only; `ambient` is in Pa. */
flow valve_flow(const edge *e, bool open, flow_side from, flow_side to, double ambient);

/* The band over which reliefs, regulators and piloted solenoids open, linearly, as a part of the
   set gauge pressure or difference and at least so much: common practice, no source. Where a valve
   stands within it depends on the flow, so pressures near `set` are good to this and no better. */
#define VALVE_BAND       0.1
#define VALVE_LEAST_BAND 1e4 /* Pa */

#endif
