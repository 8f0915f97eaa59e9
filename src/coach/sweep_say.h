/* sweep_say.h - inside the coach: the search in words. Pure. */
#ifndef COACH_SWEEP_SAY_H
#define COACH_SWEEP_SAY_H

#include "coach/step.h"

/* Fill the advice for what the search is at. */
void sweep_say(const struct step_context *context);

#endif
