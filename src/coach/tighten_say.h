/* tighten_say.h - inside the coach: fastening the bolts in words. Pure. */
#ifndef COACH_TIGHTEN_SAY_H
#define COACH_TIGHTEN_SAY_H

#include "coach/step.h"

/* A loss of this size is noticed while bolts are turned, with a mistake in so long. */
extern const double tighten_noticed_db, tighten_false_alarm_every_s;

/* Append " It went right 0.2 deg." for each axis that has moved, else about how far it is off. */
void tighten_say_drift(const struct job *job, const double moved_deg[TIGHTEN_AXES], double off_deg,
                       char text[RECORD_TEXT_SIZE]);

/* Fill the advice for what the step is at. */
void tighten_say(const struct step_context *context);

#endif
