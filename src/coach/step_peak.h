/* step_peak.h - inside the peak step: what its two ways of finding the top share. Pure. */
#ifndef COACH_STEP_PEAK_H
#define COACH_STEP_PEAK_H

#include "coach/step.h"

/* Begin to move the axis in hand. */
void peak_go(const struct step_context *context, enum peak_phase phase, double x, double tolerance);

/* Read anew around a place, by passes or stations. */
void peak_plan(const struct step_context *context, double middle);

/* How far below a place to go so that the bolt's play is surely taken up on the way back. */
double peak_runup_deg(const struct state *state, const struct peak *peak);

/* What is known of the lobe; noise is that of one reading that the fit is given. */
struct lobe_prior peak_prior(const struct step_context *context, double noise);

/* The neighbours, to the left and to the right, that may steepen a flank: into prior->near. */
void peak_find_neighbours(const struct state *state, enum axis axis, struct lobe_prior *prior);

/* Where the top may be was read enough: peak->fit is filled, go to its centre. */
void peak_conclude(const struct step_context *context);

/* Over all that was read this time the level has not changed by as much as a carrier makes. */
bool peak_is_flat(const struct step_context *context);

/* The axis is peaked: on, or once more from the first axis. */
enum step_outcome peak_end(const struct step_context *context);

/* There is no lobe here. Then, with each record: to the search before, or ask what next. */
void peak_lose(const struct step_context *context);
enum step_outcome peak_leave(const struct step_context *context);

/* Passes: begin a new pair around a place; a record came while on the way. */
void peak_passes_plan(const struct step_context *context, double middle);
void peak_passes_update(const struct step_context *context);

/* Back below a place, so that it can be come to from below. */
void peak_return(const struct step_context *context, double centre_x);

/*
 * Stations: begin, the hand having been off till now; begin anew; begin where the top and its level
 * are known already. A record came; below the next station; one was read; below the flank; the
 * flank was read; near enough for the last turn; the top was read: true when that is good enough.
 */
void peak_stations_enter(const struct step_context *context, double middle);
void peak_stations_plan(const struct step_context *context, double middle);
void peak_stations_begin(const struct step_context *context, double middle, double level);
void peak_stations_note(const struct step_context *context);
void peak_stations_go(const struct step_context *context);
void peak_stations_read(const struct step_context *context);
void peak_stations_approach(const struct step_context *context);
void peak_stations_leave_flank(const struct step_context *context);
void peak_stations_finish(const struct step_context *context);
bool peak_stations_verify(const struct step_context *context);

/* How far below the centre the flank is read; 0 = the angle can be trusted to the end. */
double peak_flank_deg(const struct peak *peak);

/*
 * The meter at its end: it was, at the newest reading; where, from here, a reading beside the flat
 * top is still missing (0 = both of its edges are known); how far below the top its flank is read;
 * from there to the top, in strokes.
 */
bool peak_is_clipped(const struct step_context *context);
double peak_missing_edge_deg(const struct step_context *context);
double peak_clipped_flank_deg(const struct peak *peak);
void peak_clipped_climb(const struct step_context *context);

#endif
