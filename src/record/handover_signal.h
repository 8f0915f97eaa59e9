/*
 * handover_signal.h - what the final level and the skew come to: isolation, modulation, throughput.
 * Pure.
 */
#ifndef RECORD_HANDOVER_SIGNAL_H
#define RECORD_HANDOVER_SIGNAL_H

#include "record/handover_fold.h"

/* Fill isolation and link once level and axes are known. */
void handover_signal_end(struct handover_fold *fold);

/*
 * Es/N0 from a meter's level.
 *
 *   quantity  what the meter says it shows: C/N counts as measured in the symbol rate's bandwidth
 *   returns   dB; NaN when the quantity is another one
 */
double handover_signal_esn0_db(enum level_unit unit, const char *quantity, double level);

#endif
