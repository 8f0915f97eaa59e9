/*
 * handover_judge.h - the judgement, line by line: each step of the procedure against its limit,
 * then what the job demands. Met, not met or not measured; a limit counts as kept when what was
 * measured is not beyond it by more than twice its standard error, as the coach has it. Pure.
 */
#ifndef RECORD_HANDOVER_JUDGE_H
#define RECORD_HANDOVER_JUDGE_H

#include "record/handover.h"

/* Fill checks from the rest of it. */
void handover_judge(struct handover *handover);

/* How many lines ended so. */
int handover_judge_count(const struct handover *handover, enum handover_verdict verdict);

#endif
