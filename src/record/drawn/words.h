/* words.h - figures and their origin in words, as the page has them. Pure. */
#ifndef RECORD_DRAWN_WORDS_H
#define RECORD_DRAWN_WORDS_H

#include "record/handover.h"

enum { WORDS_SIZE = 320 };

/* "163.29°", with the sign when it is a difference; "-" when it is not finite. */
const char *words_degrees(char text[WORDS_SIZE], double deg, bool sign);

/* "12.95 dB"; "not measured" when it is not finite. */
const char *words_level(char text[WORDS_SIZE], double level, enum level_unit unit);

/* A time of the job: "14:32:06 UTC", or "2:47" since its start when no clock told. */
const char *words_time(char text[WORDS_SIZE], const struct handover *handover, double t);

/* "2 min 47 s". */
const char *words_duration(char text[WORDS_SIZE], double seconds);

/* How the found angle was told: "by sensor", "off the scale", "turns counted", "not measured". */
const char *words_found_by(enum handover_origin origin);

#endif
