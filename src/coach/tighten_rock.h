/*
 * tighten_rock.h - once the bolts are tight: push and pull the antenna at its edge, and see where
 * it stands (peaking/rock.h). For the axes that no sensor watches. Pure.
 */
#ifndef COACH_TIGHTEN_ROCK_H
#define COACH_TIGHTEN_ROCK_H

#include "coach/step.h"

/* Some axis has no sensor. */
bool tighten_rock_may(const struct step_context *context);

/* The bolts are tight: which axes are to be tried, those that are not known yet or were moved far
 * since. All of them: the level fell by more than a move can be blamed for. */
void tighten_rock_ask(const struct step_context *context);
void tighten_rock_ask_all(const struct step_context *context);

/* It was turned, and nobody had asked for that: where it stands is not known any more. */
void tighten_rock_forget(const struct step_context *context, enum axis axis);

/* An axis is to be tried, and nobody stands at its edge yet. */
bool tighten_rock_waits(const struct step_context *context);

/* The level at rest was read: begin. False: there is nothing to try. */
bool tighten_rock_begin(const struct step_context *context);

/* A record came. True once all that was asked for is known. */
bool tighten_rock_update(const struct step_context *context);

/* Where it is worth easing the bolts once more for: degrees from the top to where it stands, or 0.
 */
double tighten_rock_off_deg(const struct step_context *context, enum axis axis);

/* That will be taken back. */
void tighten_rock_moved(const struct step_context *context, enum axis axis);

/* What is lost by standing beside the top, dB: most likely, and at most. INFINITY = not known. */
double tighten_rock_loss_db(const struct step_context *context);
double tighten_rock_most_lost_db(const struct step_context *context);

/* The advice; and for the record, how sure it is. */
void tighten_rock_say(const struct step_context *context);
void tighten_rock_say_result(const struct step_context *context);

#endif
