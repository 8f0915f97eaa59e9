/*
 * identity.h - is it the target? From what is known of the place where the antenna stands to a
 * verdict, and to the words that say on what grounds. Pure.
 */
#ifndef COACH_IDENTITY_H
#define COACH_IDENTITY_H

#include "coach/arc.h"
#include "peaking/verdict.h"
#include "session/state.h"

/* Everything that speaks for or against the top chosen. waited: the receiver had its time. */
struct verdict_evidence identity_evidence(const struct state *state, const struct arc *arc,
                                          bool waited);

/*
 * The grounds in words: "its place on the arc fits the target (99 %), it is locked, ..." with the
 * weightiest first; "not sure, because ..." when the verdict is not.
 */
void identity_say(const struct state *state, const struct arc *arc,
                  const struct verdict_evidence *evidence, const struct verdict *verdict,
                  char ret_text[RECORD_TEXT_SIZE]);

#endif
