/*
 * sweep_line.h - inside the coach: along the lines of the search, what is met there, and which
 * place is worth going to. Pure.
 */
#ifndef COACH_SWEEP_LINE_H
#define COACH_SWEEP_LINE_H

#include "coach/step.h"

enum { SWEEP_LOOKS = 16 }; /* places looked at before the search gives up */

/* The hand is turning and has not yet said how far it came. */
bool sweep_is_untold(const struct sweep *sweep);

/* For how long it has turned, less its reaction. */
double sweep_turning_s(const struct step_context *context);

/* Azimuth coordinate now: as told, or as time stands for it. */
double sweep_here(const struct step_context *context);

/* Azimuth coordinate of the line's end to the left (-1) or right (+1); its elevation. */
double sweep_line_end(const struct sweep *sweep, int way);
double sweep_line_elevation(const struct sweep *sweep);

/* False when a hand took the wrong bolt, or leans on the antenna. */
bool sweep_is_on_line(const struct step_context *context);

/* Begin to move an axis in a phase. */
void sweep_go(const struct step_context *context, enum sweep_phase phase, enum axis axis, double x,
              double tolerance);

/* Which way to go along a line that is begun: away from an end that is at hand. */
void sweep_face_line(const struct step_context *context);

/* Along the line to an end; to where it begins; on to what is left of it, or to the next line. */
void sweep_run(const struct step_context *context, int way);
void sweep_go_to_start(const struct step_context *context);
void sweep_next_run(const struct step_context *context);

/* Everything was searched. */
void sweep_lose(const struct step_context *context);

/* An end of the line was reached. */
void sweep_end_run(const struct step_context *context);

/* A level at a place. True when there is a place worth going to. */
bool sweep_observe(const struct step_context *context, double level);

/* How likely a top must be the target's to be looked at. */
double sweep_worth(const struct step_context *context);

/* Choose a place to go to: a top that likely, or one that follows from others. False: none. */
bool sweep_choose(const struct step_context *context, double worth);

/* To the place chosen; and when no carrier shows there: about it. */
void sweep_go_to_place(const struct step_context *context);
void sweep_look_nearby(const struct step_context *context);

#endif
